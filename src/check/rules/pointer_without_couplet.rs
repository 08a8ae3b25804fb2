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

/// Where more couplets than this lost their pointers, none of them is named.
const MOST: usize = 4;

// A pointer that leads nowhere and a couplet to which none leads may belong together.
fn lost_couplet(exam: &Examination, out: &mut [Finding]) {
    if out.iter().all(|f| f.rule != RULE.id) {
        return;
    }
    let heads: Vec<_> = exam.graph.cut_off(&exam.reached).into_iter().map(|c| c.head).collect();
    if heads.is_empty() || heads.len() > MOST {
        return;
    }
    let leads: std::collections::BTreeMap<_, _> =
        exam.key.leads().map(|(id, l)| (l.outcome_words.span(), id)).collect();
    for finding in out.iter_mut().filter(|f| f.rule == RULE.id) {
        let Some(lead) = leads.get(&finding.span) else { continue };
        let own = exam.couplet(lead.couplet).subkey;
        let mut near: Vec<_> =
            heads.iter().copied().filter(|h| exam.couplet(*h).subkey == own).collect();
        // What follows the lead first.
        near.sort_by_key(|h| (*h <= lead.couplet, *h));
        let names: Vec<String> = near.iter().map(|h| exam.couplet(*h).name()).collect();
        finding.remedy = match names.as_slice() {
            [] => continue,
            [one] => format!("No lead points to couplet {one}: should this one?"),
            all => format!(
                "No lead points to couplets {}: should this one point to one of them?",
                crate::check::examination::list(all, MOST)
            ),
        };
        finding.mend = None;
    }
}
