//! Couplets that part more than two ways.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A couplet has three leads or more.
    ///
    /// ## What it finds
    /// Couplets with more than two leads. Silent unless the key's heading says `profile  two leads`.
    ///
    /// ## Why it matters
    /// Some editors accept keys of two leads only; and with each lead more, more has to be held in
    /// the mind at once. Many good floras part three ways or more where the plants do.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   two leads
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are scales ................... Thuja plicata
    /// 1c  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   two leads
    ///
    /// key
    ///
    /// 1a  Leaves are needles or scales ........ 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Leaves are needles .................. Pinus sylvestris
    /// 2b  Leaves are scales ................... Thuja plicata
    /// ```
    ///
    /// ## Remedy
    /// Part it into two couplets; or say under one of its leads why it has more:
    /// `intended  three leads: ...`.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7: "Polychotomies will not be
    /// accepted". Against it: in a flora of 1918 one couplet in ten has three leads or more (own
    /// count).
    "three-leads", Note, Sure, ["two leads", "two-leads"], examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, couplet) in exam.key.couplets().filter(|(_, c)| c.leads.len() > 2) {
        out.push(
            RULE.at(
                exam.place(id),
                format!("{} has {} leads", exam.couplet_name(id), couplet.leads.len()),
            )
            .why("The key's profile asks for two leads in every couplet.")
            .remedy("Part it into several couplets, or write under a lead why it has more."),
        );
    }
}
