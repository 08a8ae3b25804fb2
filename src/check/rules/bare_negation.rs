//! Leads that deny the other lead and say nothing else.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Said, WordId, Wording, body, read};
use crate::key::{LeadId, Value};
use crate::text::finding::Finding;

rule! {
    /// A lead says nothing but that the other is not so.
    ///
    /// ## What it finds
    /// Leads with the words of another lead of the couplet and one `not` more.
    ///
    /// ## Why it matters
    /// Where the part is missing, half grown or in between, `not opposite` is no help: the reader
    /// cannot see what is to be seen.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves in pairs ..................... Acer campestre
    /// 1b  Leaves not in pairs ................. Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves in pairs ..................... Acer campestre
    /// 1b  Leaves one at a time ................ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Give the alternatives outright.
    ///
    /// ## Source
    /// W. Lamboy on the Taxacom list, 1995 (thread on bad keys): `not x` leads are useless when the
    /// part is missing or half-way.
    "bare-negation", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let leads = wording.couplet(id);
        let mut plain: HashMap<Vec<WordId>, usize> = HashMap::new();
        for (i, said) in leads.iter().enumerate() {
            plain.entry(words(wording, said, Kinds::UNSTRESSED)).or_insert(i);
        }
        for (i, said) in leads.iter().enumerate() {
            let denials = denials(wording, said);
            let without = words(wording, said, Kinds::UNSTRESSED.and(Kinds::NOT));
            let Some(&other) = plain.get(&without).filter(|o| **o != i) else { continue };
            if denials != 1 {
                continue;
            }
            let lead = LeadId { couplet: id, index: i as u16 };
            let affirmed = LeadId { couplet: id, index: other as u16 };
            let mut finding = RULE
                .at(
                    body(exam.key, lead),
                    format!(
                        "{} only denies lead {}",
                        exam.lead_name(lead),
                        exam.key.lead_name(affirmed)
                    ),
                )
                .why("Where the part is missing or in between, nobody can tell.")
                .remedy("Give the alternatives outright.")
                .related(body(exam.key, affirmed), "denied by it");
            if let Some(others) = alternatives(exam, lead, said) {
                finding = finding.remedy(format!("Give the alternatives outright: {others}."));
            }
            out.push(finding);
        }
    }
}

fn words(wording: &Wording, said: &Said, but: Kinds) -> Vec<WordId> {
    let kept = said.words.iter().filter(|w| !w.in_remark && !wording.kinds(w).has(but));
    kept.map(|w| w.id).collect()
}

fn denials(wording: &Wording, said: &Said) -> usize {
    said.words.iter().filter(|w| !w.in_remark && wording.kinds(w).has(Kinds::NOT)).count()
}

// The states that `not x` stands for, where it was read.
fn alternatives(exam: &Examination, lead: LeadId, said: &Said) -> Option<String> {
    let [feature] = said.features.as_slice() else { return None };
    let (statement, character) = read(exam.key, lead, feature)?;
    let Value::States(_) = &statement.value else { return None };
    let set = statement.value.accepts().filter(|s| (1..=6).contains(&s.len()))?;
    Some(format!("`{}`", character.set_in_words(&set, exam.key.heading.language)))
}
