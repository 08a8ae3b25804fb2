//! One label on two leads.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::claims::label_name;
use crate::check::rule::rule;
use crate::key::{LeadId, SubkeyId};
use crate::text::finding::Finding;

rule! {
    /// The same label stands before two leads of one key.
    ///
    /// ## What it finds
    /// A number with its letter that was already given to another lead, as two `3a`, or a whole
    /// couplet whose number is taken. Keys of one file number their couplets each for itself.
    ///
    /// ## Why it matters
    /// A pointer to that number could mean either. The reader is sent to the first one.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1a  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Give the lead its own label. A couplet that was put in later may have a capital, as `84A`
    /// after `84`, so that the others keep their numbers.
    ///
    /// ## Source
    /// Practice of printed keys; met in print (own count of floras of 1901-1922).
    "label-twice", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    type Label = (SubkeyId, u32, Option<char>, Option<char>);
    let mut seen: HashMap<Label, LeadId> = HashMap::new();
    let mut told: Option<(SubkeyId, u32, Option<char>)> = None;
    let mut leads: Vec<LeadId> = exam.key.leads().map(|(id, _)| id).collect();
    leads.sort_by_key(|&l| exam.lead(l).label.span);
    for id in leads {
        let label = exam.lead(id).label;
        let subkey = exam.couplet(id.couplet).subkey;
        // A lead without its letter is the matter of another rule.
        if label.letter.is_none() {
            continue;
        }
        let first = *seen.entry((subkey, label.number, label.capital, label.letter)).or_insert(id);
        if first == id {
            told = None;
            continue;
        }
        // The second lead of a repeated couplet adds nothing.
        if told.replace((subkey, label.number, label.capital))
            == Some((subkey, label.number, label.capital))
        {
            continue;
        }
        let name = label_name(label);
        let mut finding = RULE
            .at(label.span, format!("the label {name} is used twice{}", exam.of_key(subkey)))
            .why("A pointer to it could mean either lead.")
            .remedy("Give this lead its own label.")
            .related(exam.lead(first).label.span, format!("{name} stands here already"));
        let next = label.letter.and_then(|c| ('a'..='z').find(|n| *n as u32 == c as u32 + 1));
        let free = |c| !seen.contains_key(&(subkey, label.number, label.capital, Some(c)));
        // `3a` twice in a row is `3a` and `3b`, if no `3b` follows.
        if let Some(next) = next
            && first.couplet == id.couplet
            && free(next)
            && !exam.couplet(id.couplet).leads.iter().any(|l| l.label.letter == Some(next))
        {
            let new = label_name(crate::text::tree::Label { letter: Some(next), ..label });
            finding = finding.remedy(format!("Should it be {new}?")).mend(label.span, new);
        }
        out.push(finding);
    }
}
