//! Leads whose only character holds only usually.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Word, Wording, read};
use crate::key::{LeadId, Value};
use crate::text::finding::Finding;

rule! {
    /// The only character of a lead holds only usually.
    ///
    /// ## What it finds
    /// Leads with one character on which a word such as `usually`, `mostly` or `often` stands. Where
    /// the lead also says what the others show (`usually red, rarely white`), it is in order.
    ///
    /// ## Why it matters
    /// The plant in hand may be one of the others, and the lead has nothing else to go by.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves usually lobed ................ Quercus robur
    /// 1b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves usually lobed; bark rough .... Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Add a second character; or say what the exceptions show.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, hints for using keys ("weasel words"). A word of
    /// this kind stands in 11 to 30 leads of 100 in five printed floras (own count), so that it is no
    /// fault by itself.
    "hedged-sole-character", Warning, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        let Some(feature) = wording.sole(said) else { continue };
        let Some(word) = hedge(exam, wording, lead, said, feature) else { continue };
        out.push(
            RULE.at(
                word.span,
                format!(
                    "all that {} says holds only `{}`",
                    exam.lead_name(lead),
                    exam.key.source.slice(word.span)
                ),
            )
            .why("The plant in hand may be one of the others, and there is nothing else to go by.")
            .remedy("Add a second character, or say what the exceptions show."),
        );
    }
}

fn hedge<'s>(
    exam: &Examination,
    wording: &Wording,
    lead: LeadId,
    said: &'s Said,
    feature: &Feature,
) -> Option<&'s Word> {
    // Alternatives are told apart by their own words of frequency.
    let more = match read(exam.key, lead, feature).map(|(s, _)| &s.value) {
        Some(Value::States(choices)) => choices.len() > 1,
        Some(Value::Number(amount)) => amount.extents.len() > 1,
        None => feature.words(said).iter().any(|w| {
            let kinds = wording.kinds(w);
            kinds.has(Kinds::EXCEPTION) || (kinds.has(Kinds::HEDGE) && w.after_comma)
        }),
    };
    if more {
        return None;
    }
    wording.first_of(said, feature, Kinds::HEDGE)
}
