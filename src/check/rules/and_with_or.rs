//! Leads in which "and" meets "or".

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A statement joins with both `and` and `or`.
    ///
    /// ## What it finds
    /// Prose with `and/or`, or with an `and` and an `or` between the same two commas or semicolons.
    /// Statements that were read are left out: there it is settled what is joined with what.
    ///
    /// ## Why it matters
    /// `Hairy and sticky or smooth`: nobody knows which two go together.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Stem hairy and sticky or smooth ..... Silene noctiflora
    /// 1b  Stem prickly ........................ Galium aparine
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Stem hairy, or sticky ............... Silene noctiflora
    /// 1b  Stem prickly ........................ Galium aparine
    /// ```
    ///
    /// ## Remedy
    /// Say which is meant; part the statement in two.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, hints for using keys: `and` and `or` mean
    /// different things.
    "and-with-or", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    let (and, or) = (exam.key.heading.language.and, exam.key.heading.language.or);
    let joined: Vec<String> =
        and.iter().flat_map(|a| or.iter().map(move |o| format!("{a}/{o}"))).collect();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        for feature in said.features.iter().filter(|f| f.is_prose()) {
            let words = feature.words(said);
            let both = words.iter().find(|w| joined.iter().any(|j| j == wording.text(w.id)));
            let place = both.map(|w| w.span).or_else(|| {
                // Between the same two commas.
                words.chunk_by(|_, b| !b.after_comma).find_map(|clause| {
                    let find =
                        |kind| clause.iter().find(|w| !w.in_remark && wording.kinds(w).has(kind));
                    Some(find(Kinds::AND)?.span.to(find(Kinds::OR)?.span))
                })
            });
            let Some(place) = place else { continue };
            out.push(
                RULE.at(place, format!("{} joins with both `and` and `or`", exam.lead_name(lead)))
                    .why("Nobody knows which of them go together.")
                    .remedy("Say which is meant, or part the statement in two."),
            );
        }
    }
}
