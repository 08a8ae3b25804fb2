//! Couplets whose first lead says what is not there.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Word, Wording};
use crate::text::finding::Finding;

rule! {
    /// The first lead is negative, a later one positive.
    ///
    /// ## What it finds
    /// Couplets whose first lead begins with something denied (`not`, `no`, `none`, `without`,
    /// `absent`), while another lead begins with the same thing affirmed.
    ///
    /// ## Why it matters
    /// The reader learns what to look for only from the second lead.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Tendrils none; petals red ........... Papaver rhoeas
    /// 1b  Tendrils present; petals purple ..... Vicia sativa
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Tendrils present; petals purple ..... Vicia sativa
    /// 1b  Tendrils none; petals red ........... Papaver rhoeas
    /// ```
    ///
    /// ## Remedy
    /// Change the order of the leads, or say in both what is there.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, on key construction, rule 4; Michigan State
    /// University, PLB 418; a school handout. Met in 1.5 to 4.4 couplets of 100 in five printed
    /// floras (own count).
    "negative-first", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let [first, others @ ..] = wording.couplet(id) else { continue };
        let Some(feature) = first.features.first() else { continue };
        let Some(denied) = denial(wording, first, feature) else { continue };
        let affirmed = others.iter().find_map(|said| {
            let f = said.features.first()?;
            let same = match (feature.character, f.character) {
                (Some(a), Some(b)) => a == b,
                _ => wording.first(first).map(|w| w.id) == wording.first(said).map(|w| w.id),
            };
            (same && denial(wording, said, f).is_none()).then_some(f)
        });
        let Some(affirmed) = affirmed else { continue };
        let lead = crate::key::LeadId { couplet: id, index: 0 };
        out.push(
            RULE.at(
                denied.span,
                format!("{} denies first what a later lead affirms", exam.lead_name(lead),),
            )
            .why("The reader learns what to look for only from the later lead.")
            .remedy("Change the order of the leads, or say in both what is there.")
            .related(affirmed.span, "affirmed here"),
        );
    }
}

// The denial before the first comma. With a figure it is a limit: `not more than 8 mm`.
fn denial<'s>(wording: &Wording, said: &'s Said, feature: &Feature) -> Option<&'s Word> {
    let words = feature.words(said).iter().filter(|w| !w.in_remark);
    let mut clause = words.enumerate().take_while(|(i, w)| *i == 0 || !w.after_comma);
    if wording.speaks_of(said, feature, Kinds::NUMBER) {
        return None;
    }
    clause.find(|(_, w)| wording.kinds(w).has(Kinds::NEGATIVE)).map(|(_, w)| w)
}
