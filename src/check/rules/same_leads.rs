//! Leads between which there is nothing to choose.

use std::collections::HashMap;

use rust_decimal::Decimal;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::{CharacterId, CoupletId, Lead, StateSet, Value};
use crate::text::amount::Amount;
use crate::text::finding::Finding;
use crate::text::frequency::Frequency;
use crate::text::language::{Language, fold};

rule! {
    /// Two leads of one couplet say the same.
    ///
    /// ## What it finds
    /// Leads with the same words, whatever their case, articles and punctuation; and leads whose
    /// statements, all of them read, mean the same in other words.
    ///
    /// ## Why it matters
    /// Nobody can choose. Usually the second lead was copied from the first and never finished.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are lobed; bark is rough ..... Quercus robur
    /// 1b  Leaves lobed; bark rough ............ Acer campestre
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves alternate; bark rough ........ Quercus robur
    /// 1b  Leaves opposite; bark smooth ........ Acer campestre
    /// ```
    ///
    /// ## Remedy
    /// Write into each lead what sets its plants apart from those of the others.
    ///
    /// ## Source
    /// Follows from what a couplet is.
    "same-leads", Error, Sure, examine
}

/// Beyond this many leads a couplet is only compared by its words.
const FEW: usize = 16;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, couplet) in exam.key.couplets() {
        let mut words: HashMap<String, usize> = HashMap::new();
        let mut meanings: Vec<Option<Meaning>> = Vec::new();
        for (i, lead) in couplet.leads.iter().enumerate() {
            let said = folded(exam, lead);
            // A lead without words has a rule of its own.
            if said.is_empty() {
                meanings.push(None);
                continue;
            }
            let mut same = words.get(&said).copied();
            words.entry(said).or_insert(i);
            if couplet.leads.len() <= FEW {
                let meaning = meaning(lead);
                same = same.or_else(|| meanings.iter().position(|m| m.is_some() && *m == meaning));
                meanings.push(meaning);
            }
            if let Some(other) = same {
                out.push(finding(exam, id, other, i));
            }
        }
    }
}

fn finding(exam: &Examination, id: CoupletId, first: usize, second: usize) -> Finding {
    let leads = &exam.couplet(id).leads;
    let name = |i: usize| exam.key.lead_name(crate::key::LeadId { couplet: id, index: i as u16 });
    let of = exam.of_key(exam.couplet(id).subkey);
    RULE.at(
        leads[second].body.span(),
        format!("leads {} and {}{of} say the same", name(first), name(second)),
    )
    .why("Nobody can choose between them.")
    .remedy("Write into each what sets its plants apart.")
    .related(leads[first].body.span(), format!("lead {} says it already", name(first)))
}

// Words without case, punctuation and what is not compared.
fn folded(exam: &Examination, lead: &Lead) -> String {
    let language: &Language = exam.key.heading.language;
    let text = lead.body.text(exam.key.source.text());
    let mut out = String::with_capacity(text.len());
    for word in fold(&text).split(' ') {
        let bare = word.trim_end_matches([',', '.', ':']);
        if bare.is_empty() || language.unstressed.contains(&bare) {
            continue;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(bare);
    }
    let end = out.trim_end_matches([';', ' ']).len();
    out.truncate(end);
    out
}

type Meaning = Vec<(CharacterId, Said)>;

#[derive(PartialEq)]
enum Said {
    States(Vec<(StateSet, Frequency)>),
    Number(Amount),
}

// What a lead means, where all of it was read; `None` where some of it is prose.
fn meaning(lead: &Lead) -> Option<Meaning> {
    if lead.parts.is_empty() || lead.parts.iter().any(|p| p.prose.is_some()) {
        return None;
    }
    let mut all: Meaning = lead
        .statements()
        .map(|s| {
            let said = match &s.value {
                Value::States(choices) => {
                    Said::States(choices.iter().map(|c| (c.accepts.clone(), c.frequency)).collect())
                }
                Value::Number(amount) => Said::Number(amount.scaled(Decimal::ONE)?),
            };
            Some((s.character, said))
        })
        .collect::<Option<_>>()?;
    all.sort_by_key(|(c, _)| *c);
    (!all.is_empty()).then_some(all)
}
