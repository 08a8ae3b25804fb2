//! Leads that differ only in what is not compared.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Said, WordId, Wording, body};
use crate::key::{CoupletId, LeadId};
use crate::text::finding::Finding;

rule! {
    /// Two leads differ only in their parentheses.
    ///
    /// ## What it finds
    /// Leads of one couplet with the same words, but for what stands in parentheses.
    ///
    /// ## Why it matters
    /// Parentheses hold what is good to know and does not part: it is shown and never compared. As
    /// they stand, nobody can choose between the leads.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed (bark rough) ........... Quercus robur
    /// 1b  Leaves lobed (bark smooth) .......... Quercus rubra
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves lobed; bark smooth ........... Quercus rubra
    /// ```
    ///
    /// ## Remedy
    /// Take what parts them out of the parentheses.
    ///
    /// ## Source
    /// H. A. Gleason 1918, preface to the keys: information in parentheses "should not be used as
    /// means of distinguishing species".
    "difference-in-parentheses", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, _) in exam.key.couplets() {
        for (first, second) in pairs(exam.wording(), id) {
            let lead = |index: usize| LeadId { couplet: id, index: index as u16 };
            out.push(
                RULE.at(
                    body(exam.key, lead(second)),
                    format!(
                        "leads {} and {}{} differ only in their parentheses",
                        exam.key.lead_name(lead(first)),
                        exam.key.lead_name(lead(second)),
                        exam.of_key(exam.couplet(id).subkey)
                    ),
                )
                .why("What stands in parentheses is shown, and never compared.")
                .remedy("Take what parts them out of the parentheses.")
                .related(body(exam.key, lead(first)), "the other lead"),
            );
        }
    }
}

/// Leads of a couplet that differ in their remarks only, the earlier one first.
pub(in crate::check) fn pairs(wording: &Wording, couplet: CoupletId) -> Vec<(usize, usize)> {
    let leads = wording.couplet(couplet);
    let mut seen: HashMap<Vec<WordId>, usize> = HashMap::new();
    let mut out = Vec::new();
    for (i, said) in leads.iter().enumerate() {
        let outside = words(wording, said, false);
        if outside.is_empty() {
            continue;
        }
        match seen.get(&outside) {
            Some(&other) if words(wording, said, true) != words(wording, &leads[other], true) => {
                out.push((other, i));
            }
            Some(_) => {}
            None => {
                seen.insert(outside, i);
            }
        }
    }
    out
}

fn words(wording: &Wording, said: &Said, in_remark: bool) -> Vec<WordId> {
    let kept = said
        .words
        .iter()
        .filter(|w| w.in_remark == in_remark && !wording.kinds(w).has(Kinds::UNSTRESSED));
    kept.map(|w| w.id).collect()
}
