//! Leads between which there is nothing to choose.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::rules::difference_in_parentheses;
use crate::key::statement::Choice;
use crate::key::{CharacterId, CoupletId, Lead, Value};
use crate::text::finding::Finding;
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

/// Couplets of more leads are compared by their words only, and those through a table.
const FEW: usize = 16;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, couplet) in exam.key.couplets() {
        let leads = &couplet.leads;
        if leads.len() > FEW {
            let mut words: HashMap<Vec<String>, usize> = HashMap::new();
            for (i, lead) in leads.iter().enumerate().filter(|(_, l)| !l.body.is_empty()) {
                let said: Vec<String> = words_of(exam, lead).map(fold).collect();
                let first = *words.entry(said).or_insert(i);
                if first != i {
                    out.push(finding(exam, id, first, i));
                }
            }
            continue;
        }
        for (i, lead) in leads.iter().enumerate().skip(1) {
            // A lead without words has a rule of its own.
            let same = |other: &Lead| {
                !other.body.is_empty()
                    && !lead.body.is_empty()
                    && (same_words(exam, other, lead) || same_meaning(other, lead))
            };
            // Leads that differ in a remark have a rule of their own.
            let remark = |first: &usize| {
                difference_in_parentheses::pairs(exam.wording(), id).contains(&(*first, i))
            };
            if let Some(first) = leads[..i].iter().position(same).filter(|f| !remark(f)) {
                out.push(finding(exam, id, first, i));
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

// The words that count: without punctuation at their ends, and without what is not compared.
fn words_of<'a>(exam: &'a Examination<'_>, lead: &'a Lead) -> impl Iterator<Item = &'a str> {
    let language: &Language = exam.key.heading.language;
    let text = exam.key.source.text();
    lead.body
        .segments
        .iter()
        .flat_map(|s| text[s.range()].split_whitespace())
        .map(|w| w.trim_end_matches([',', '.', ':', ';']))
        .filter(|w| !w.is_empty() && !language.unstressed.iter().any(|u| u.eq_ignore_ascii_case(w)))
}

fn same_word(a: &str, b: &str) -> bool {
    a.eq_ignore_ascii_case(b)
        || !(a.is_ascii() && b.is_ascii())
            && a.chars().flat_map(char::to_lowercase).eq(b.chars().flat_map(char::to_lowercase))
}

fn same_words(exam: &Examination, a: &Lead, b: &Lead) -> bool {
    let (mut a, mut b) = (words_of(exam, a), words_of(exam, b));
    loop {
        match (a.next(), b.next()) {
            (None, None) => return true,
            (Some(x), Some(y)) if same_word(x, y) => {}
            _ => return false,
        }
    }
}

// Whether two leads, all of them read, say the same in whatever words and order.
fn same_meaning(a: &Lead, b: &Lead) -> bool {
    let read = |l: &Lead| !l.parts.is_empty() && l.parts.iter().all(|p| p.prose.is_none());
    let number = a.statements().count();
    if number == 0 || number != b.statements().count() || !read(a) || !read(b) {
        return false;
    }
    let sorted = |l: &'_ Lead| {
        let mut all: Vec<(CharacterId, usize)> =
            l.statements().enumerate().map(|(i, s)| (s.character, i)).collect();
        all.sort_unstable();
        all
    };
    let (said_a, said_b): (Vec<_>, Vec<_>) = (a.statements().collect(), b.statements().collect());
    sorted(a)
        .into_iter()
        .zip(sorted(b))
        .all(|((c, i), (d, j))| c == d && same_value(&said_a[i].value, &said_b[j].value))
}

fn same_value(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::States(a), Value::States(b)) => {
            let said = |c: &Choice| (c.accepts.clone(), c.frequency);
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| said(a) == said(b))
        }
        (Value::Number(a), Value::Number(b)) => a == b,
        _ => false,
    }
}
