//! Couplets with a lead that every plant satisfies that arrives there.

use super::contradicted_statement::earlier;
use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// Every plant that arrives satisfies the lead.
    ///
    /// ## What it finds
    /// A lead, all of it read, whose every statement is settled by the statements on the way to
    /// it, or names all states that there are. Leads whose neighbour no plant can take are told of
    /// there.
    ///
    /// ## Why it matters
    /// The couplet decides nothing: its other leads are taken by nobody who reads the first one
    /// through, or by plants that fit both.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// leaves: Leaves _
    ///   states    alternate, opposite
    ///
    /// bark: Bark _
    ///   states    rough, smooth
    ///
    /// key
    ///
    /// 1a  Leaves alternate; bark rough ........ 2
    /// 1b  Leaves opposite; bark smooth ........ Acer campestre
    ///
    /// 2a  Leaves alternate .................... Quercus robur
    /// 2b  Twigs with cork wings ............... Ulmus minor
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// leaves: Leaves _
    ///   states    alternate, opposite
    ///
    /// bark: Bark _
    ///   states    rough, smooth
    ///
    /// key
    ///
    /// 1a  Leaves alternate; bark rough ........ 2
    /// 1b  Leaves opposite; bark smooth ........ Acer campestre
    ///
    /// 2a  Twigs round ......................... Quercus robur
    /// 2b  Twigs with cork wings ............... Ulmus minor
    /// ```
    ///
    /// ## Remedy
    /// Ask for a character that is still open, or take the couplet out.
    ///
    /// ## Source
    /// Follows from what a couplet is.
    "couplet-decides-nothing", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let bounds = exam.bounds();
    for certain in &bounds.certain {
        let couplet = certain.lead.couplet;
        let leads = exam.couplet(couplet).leads.len() as u16;
        let mut others = (0..leads).map(|index| crate::key::LeadId { couplet, index });
        let ruled_out =
            others.any(|l| bounds.is_ruled_out(l) || !exam.ground().demands(l).clashes.is_empty());
        if ruled_out || leads < 2 {
            continue;
        }
        let finding = RULE
            .at(
                exam.lead(certain.lead).body.span(),
                format!("every plant that arrives satisfies {}", exam.lead_name(certain.lead)),
            )
            .why("The couplet decides nothing.")
            .remedy("Ask for a character that is still open, or take the couplet out.");
        out.push(earlier(exam, finding, &certain.reasons));
    }
}
