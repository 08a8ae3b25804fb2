//! Leads that part by where the plant grows, and by nothing else.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Wording, body, read};
use crate::key::LeadId;
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// A lead says only where the plant grows.
    ///
    /// ## What it finds
    /// Leads all of whose features are places: words such as `native`, `endemic`, `restricted to`;
    /// directions and regions; names with a capital after `in`, `from` or `of`; and declared
    /// characters whose `part` is `place` or `range`.
    ///
    /// ## Why it matters
    /// A plant outside its known range gets the wrong name, and that plant is the one that matters.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the Oren valley
    ///
    /// key
    ///
    /// 1a  Northern part of the valley ......... Quercus robur
    /// 1b  Known only from the Lower Oren ...... Quercus cerris
    /// ```
    /// ```key-good
    /// Trees of the Oren valley
    ///
    /// key
    ///
    /// 1a  Acorn cup scaly; northern part of the valley .......... Quercus robur
    /// 1b  Acorn cup bristly; known only from the Lower Oren ..... Quercus cerris
    /// ```
    ///
    /// ## Remedy
    /// Add what parts the plants themselves, before the place.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.3; H. M. Hall 1951, who calls his
    /// own use of it a fault.
    "geography-alone", Warning, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        let all = said.features.iter().all(|f| is_place(exam, wording, lead, said, f));
        if said.features.is_empty() || !all {
            continue;
        }
        out.push(
            RULE.at(
                body(exam.key, lead),
                format!("{} says only where the plant grows", exam.lead_name(lead)),
            )
            .why("A plant outside its known range gets the wrong name.")
            .remedy("Add what parts the plants themselves, before the place."),
        );
    }
}

/// Whether a feature speaks of a place and of nothing else.
pub(in crate::check) fn is_place(
    exam: &Examination,
    wording: &Wording,
    lead: LeadId,
    said: &Said,
    feature: &Feature,
) -> bool {
    if let Some((_, character)) = read(exam.key, lead, feature) {
        let part = character.part.as_deref().map(fold);
        return matches!(part.as_deref(), Some("place" | "range" | "distribution" | "locality"));
    }
    // Where nouns are written with capitals, and without lists of words, no name is known by them.
    if wording.lists.is_none() {
        return false;
    }
    // A first word with a capital may be any word: it is a name only where another sign is sure.
    let (mut sure, mut sign, mut place, mut unknown) = (false, false, true, false);
    for (i, word) in feature.words(said).iter().filter(|w| !w.in_remark).enumerate() {
        let kinds = wording.kinds(word);
        if kinds.has(Kinds::PART) {
            return false;
        }
        let name = word.capital && i > 0;
        let known = kinds.has(PLACE);
        sure |= name || kinds.has(Kinds::RANGE);
        sign |= kinds.has(Kinds::REGION);
        unknown |= word.capital && i == 0 && !known;
        place &= name || known || (word.capital && i == 0);
    }
    place && (sure || (sign && !unknown))
}

const PLACE: Kinds = Kinds::REGION.and(Kinds::RANGE).and(Kinds::PREPOSITION).and(Kinds::UNSTRESSED);
