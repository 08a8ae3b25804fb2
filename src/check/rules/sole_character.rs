//! Couplets that stand on one character.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::rules::not_as_above;
use crate::text::finding::Finding;

rule! {
    /// Every lead of a couplet has only one character.
    ///
    /// ## What it finds
    /// Couplets none of whose leads says more than one thing. In prose, commas part things too (`long,
    /// narrow`).
    ///
    /// ## Why it matters
    /// Where that one part is missing, the reader is stuck; and nothing shows whether the right lead
    /// was taken. These couplets are the ones to try out in the field.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed ........................ Quercus robur
    /// 1b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Add a character that is seen on another part, or in another season.
    ///
    /// ## Source
    /// W. Wuster and J. Laferriere on the Taxacom list, 1995; C. H. Otis 1915, preface: more than one
    /// character lessens "the liability of confusion" and shows the user that he is on the right
    /// track.
    "sole-character", Note, Sure, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let leads = wording.couplet(id);
        let sole = leads.iter().all(|said| wording.sole(said).is_some())
            && !leads.iter().any(|said| not_as_above::dismisses(wording, said).is_some());
        if leads.len() < 2 || !sole {
            continue;
        }
        out.push(
            RULE.at(exam.place(id), format!("{} has only one character", exam.couplet_name(id)))
                .why("Where that part is missing the reader is stuck.")
                .remedy("Add a character that is seen on another part, or in another season."),
        );
    }
}
