//! Couplets that can only be answered with a knife or a microscope.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::read;
use crate::key::character::Tool;
use crate::text::finding::Finding;

rule! {
    /// A couplet can only be answered by dissection or under a microscope.
    ///
    /// ## What it finds
    /// Couplets whose characters all have `tool  dissection` or `tool  microscope`, or, where no tool
    /// is declared, name such a part in prose (embryo, ovule, placentation, pollen).
    ///
    /// ## Why it matters
    /// In the field, and with one specimen, the reader is stuck; often an easy character goes with
    /// the hidden one.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Embryo curved ....................... Chenopodium album
    /// 1b  Embryo straight ..................... Sinapis arvensis
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Embryo curved; leaves mealy ......... Chenopodium album
    /// 1b  Embryo straight; leaves bristly ..... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Add a character that the eye or a lens can see.
    ///
    /// ## Source
    /// J. Laferriere on the Taxacom list, 1995: not the curved embryo where the inflorescence is a
    /// spike. The list of words is ours.
    "obscure-character", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let hidden = wording.decided_by(id, |lead, said, f| {
            match read(exam.key, lead, f).map(|(_, c)| c.tool) {
                Some(tool) if tool > Tool::Eye => tool >= Tool::Dissection,
                // The part that is spoken of, and not one that is named on the way.
                _ => wording
                    .first_of(said, f, Kinds::OBSCURE.and(Kinds::PART))
                    .is_some_and(|w| wording.kinds(w).has(Kinds::OBSCURE)),
            }
        });
        if !hidden {
            continue;
        }
        out.push(
            RULE.at(
                exam.place(id),
                format!("{} needs dissection or a microscope", exam.couplet_name(id)),
            )
            .why("In the field the reader is stuck.")
            .remedy("Add a character that the eye or a lens can see."),
        );
    }
}
