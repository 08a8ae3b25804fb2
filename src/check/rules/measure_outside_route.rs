//! Measures outside the range that the route has required already.

use super::contradicted_statement::earlier;
use crate::check::Examination;
use crate::check::reason::words::sentence;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A measure lies outside the range that is required already.
    ///
    /// ## What it finds
    /// A measure, a count or a ratio in a lead that shares no value with what the statements on
    /// the way to it left, extremes included; and two measures in one lead that exclude each
    /// other.
    ///
    /// ## Why it matters
    /// No plant that arrives can take the lead. Usually a digit or a unit slipped, or the couplet
    /// stands in the wrong branch.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// edge: Leaf edge _
    ///   states    entire, toothed
    ///
    /// key
    ///
    /// 1a  Leaf blade 2-6 cm long; leaf edge toothed .......... 2
    /// 1b  Leaf blade 10-20 cm long; leaf edge entire ......... Magnolia kobus
    ///
    /// 2a  Leaf blade 2-3 cm long ............................. Betula nana
    /// 2b  Leaf blade 40-60 cm long ........................... Betula pendula
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// edge: Leaf edge _
    ///   states    entire, toothed
    ///
    /// key
    ///
    /// 1a  Leaf blade 2-6 cm long; leaf edge toothed .......... 2
    /// 1b  Leaf blade 10-20 cm long; leaf edge entire ......... Magnolia kobus
    ///
    /// 2a  Leaf blade 2-3 cm long ............................. Betula nana
    /// 2b  Leaf blade 4-6 cm long ............................. Betula pendula
    /// ```
    ///
    /// ## Remedy
    /// Look at the figures and their units in both places.
    ///
    /// ## Source
    /// Follows from what a route is; common practice of editors, cited from memory.
    "measure-outside-route", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for clash in &exam.bounds().clashes {
        if clash.implied_by.is_some() || !clash.left.is_number() {
            continue;
        }
        let left = sentence(exam.key, clash.character, &clash.left);
        let finding = RULE
            .at(
                clash.span,
                format!(
                    "the measure in {} lies outside what the way to it requires: `{left}`",
                    exam.lead_name(clash.lead)
                ),
            )
            .why("No plant that arrives can take this lead.")
            .remedy("Look at the figures and their units in both places.");
        out.push(earlier(exam, finding, &clash.reasons));
    }
    for (lead, _) in exam.key.leads() {
        for own in &exam.ground().demands(lead).clashes {
            let character = exam.key.character(own.character);
            if own.implied_by.is_some() || character.unit().is_none() {
                continue;
            }
            out.push(
                RULE.at(
                    own.second,
                    format!(
                        "{} contradicts itself about `{}`",
                        exam.lead_name(lead),
                        character.name
                    ),
                )
                .why("No plant can satisfy both measures.")
                .remedy("Correct one of the two; alternatives are joined with `or`.")
                .related(own.first, "the other measure"),
            );
        }
    }
}
