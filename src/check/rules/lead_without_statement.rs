//! Leads that say nothing of the plant.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A lead has an outcome but says nothing of the plant.
    ///
    /// ## What it finds
    /// A label that the leader and the outcome follow at once.
    ///
    /// ## Why it matters
    /// There is nothing by which to choose it.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  ..................................... Quercus robur
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
    /// Say what its plants show. "Not as above" is a poor lead, but better than none.
    ///
    /// ## Source
    /// Follows from what a lead is.
    "lead-without-statement", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, lead) in exam.key.leads().filter(|(_, l)| l.body.is_empty()) {
        out.push(
            RULE.at(lead.label.span, format!("{} says nothing of the plant", exam.lead_name(id)))
                .why("There is nothing by which to choose it.")
                .remedy("Say what its plants show."),
        );
    }
}
