//! Statements that deny what the route has required already.

use crate::check::Examination;
use crate::check::reason::bounds::Clash;
use crate::check::reason::words::sentence;
use crate::check::rule::rule;
use crate::key::{CharacterId, LeadId};
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A statement contradicts an earlier one on the same route.
    ///
    /// ## What it finds
    /// A statement about states, none of which is left after the statements on the way to it; and
    /// two statements of one lead that exclude each other. Where routes meet, what any of them
    /// leaves open is open. The condition on which a character applies counts as stated with it.
    ///
    /// ## Why it matters
    /// No plant that arrives can take the lead: what lies behind it is never named. Usually one of
    /// the two statements is a slip, or the couplet stands in the wrong place.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red or white; leaves lobed .......... 2
    /// 1b  Petals blue; leaves entire ................. Centaurea cyanus
    ///
    /// 2a  Petals white; leaves lobed ................. Papaver alpinum
    /// 2b  Petals red; leaves entire .................. Papaver rhoeas
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red or white; leaves lobed .......... 2
    /// 1b  Petals blue; leaves entire ................. Centaurea cyanus
    ///
    /// 2a  Petals white ............................... Papaver alpinum
    /// 2b  Petals red ................................. Papaver rhoeas
    /// ```
    ///
    /// ## Remedy
    /// Look at both places: correct the statement that is wrong, or widen the earlier one.
    ///
    /// ## Source
    /// Follows from what a route is; common practice of editors, cited from memory.
    "contradicted-statement", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for clash in &exam.bounds().clashes {
        if clash.implied_by.is_none() && !clash.left.is_number() {
            out.push(finding(exam, clash));
        }
    }
    for (lead, _) in exam.key.leads() {
        for own in &exam.ground().demands(lead).clashes {
            let is_number = exam.key.character(own.character).unit().is_some();
            if own.implied_by.is_none() && !is_number {
                out.push(within(exam, lead, own.character, own.first, own.second));
            }
        }
    }
}

fn finding(exam: &Examination, clash: &Clash) -> Finding {
    let left = sentence(exam.key, clash.character, &clash.left);
    let finding = RULE
        .at(
            clash.span,
            format!(
                "{} asks for what the way to it has ruled out: `{left}` is required there",
                exam.lead_name(clash.lead)
            ),
        )
        .why("No plant that arrives can take this lead.")
        .remedy("Correct the statement that is wrong, here or there.");
    earlier(exam, finding, &clash.reasons)
}

fn within(
    exam: &Examination,
    lead: LeadId,
    character: CharacterId,
    first: Span,
    second: Span,
) -> Finding {
    let name = &exam.key.character(character).name;
    RULE.at(second, format!("{} contradicts itself about `{name}`", exam.lead_name(lead)))
        .why("No plant can satisfy both statements.")
        .remedy("Correct one of the two; alternatives are joined with `or`.")
        .related(first, "the other statement")
}

/// The places that left no more.
pub(super) fn earlier(
    exam: &Examination,
    mut finding: Finding,
    reasons: &[(LeadId, Span)],
) -> Finding {
    for (lead, span) in reasons {
        finding = finding.related(*span, format!("required by {}", exam.lead_name(*lead)));
    }
    finding
}
