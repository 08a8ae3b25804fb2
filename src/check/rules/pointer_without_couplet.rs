//! Pointers to what does not exist.

use crate::check::Examination;
use crate::check::beside::{Found, follow};
use crate::check::rule::rule;
use crate::key::Outcome;
use crate::text::finding::Finding;

rule! {
    /// A lead points to a couplet, or to a key, that does not exist.
    ///
    /// ## What it finds
    /// A number, a lead such as `9b`, or a key's heading for which there is no place in the file; or
    /// a place in another file that this other file does not have.
    ///
    /// ## Why it matters
    /// Whoever takes the lead stands before nothing.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 3
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Correct the number or the heading, or write the couplet.
    ///
    /// ## Source
    /// Follows from what a key is; met in printed floras of 1901-1922 (own count).
    "pointer-without-couplet", Error, Sure, examine
}

// Pointers within the file are followed while it is read.
fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    lost_couplet(exam, out);
    for (id, lead) in exam.key.leads() {
        let Outcome::Elsewhere { key: head, file, at } = &lead.outcome else { continue };
        let (missing, heads) = match follow(exam.key, id, exam.beside) {
            Some(Found::NoKey(other)) => {
                let heads: Vec<String> =
                    other.subkeys.iter().map(|s| format!("`{}`", s.head)).collect();
                (format!("`{head}`"), heads)
            }
            Some(Found::NoPlace) => {
                (at.clone().unwrap_or_else(|| "a first couplet".to_string()), Vec::new())
            }
            _ => continue,
        };
        let remedy = if heads.is_empty() {
            "Correct the place, or write the couplet there.".to_string()
        } else {
            format!("Its keys are {}.", crate::check::examination::list(&heads, 6))
        };
        out.push(
            RULE.at(exam.outcome_place(id), format!("{file} has no {missing}"))
                .why("Whoever takes this lead stands before nothing.")
                .remedy(remedy),
        );
    }
}

// Where one pointer leads nowhere and one couplet is led to by none, the two belong together.
fn lost_couplet(exam: &Examination, out: &mut [Finding]) {
    let mut nowhere = out.iter_mut().filter(|f| f.rule == RULE.id);
    let (Some(finding), None) = (nowhere.next(), nowhere.next()) else { return };
    let heads: Vec<_> = exam.graph.cut_off(&exam.reached).into_iter().map(|c| c.head).collect();
    let [head] = heads[..] else { return };
    let lead = exam.key.leads().find(|(_, l)| l.outcome_words.span() == finding.span);
    let same =
        |id: crate::key::LeadId| exam.couplet(id.couplet).subkey == exam.couplet(head).subkey;
    if lead.is_some_and(|(id, _)| same(id)) {
        let name = exam.couplet(head).name();
        finding.remedy = format!("No lead points to couplet {name}: should this one?");
        finding.mend = None;
    }
}
