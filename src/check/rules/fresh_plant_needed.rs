//! Couplets that can only be answered while the plant is fresh.

use crate::check::Examination;
use crate::check::lists::{Kinds, Organ};
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Wording, read};
use crate::key::character::Reading;
use crate::key::{Character, ConditionId, LeadId};
use crate::text::finding::Finding;

rule! {
    /// A couplet can only be answered while the plant is fresh.
    ///
    /// ## What it finds
    /// Couplets whose characters all are lost in the press: declared so (`pressed  cannot be seen`),
    /// or, where nothing is declared, smells, saps, fleshy or sticky parts and the colours of flowers
    /// by their words.
    ///
    /// ## Why it matters
    /// The name is often settled weeks later, from the sheet. What is not noted before pressing is
    /// lost.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Sap milky ........................... Euphorbia peplus
    /// 1b  Sap watery .......................... Urtica dioica
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Sap milky; leaves one at a time ..... Euphorbia peplus
    /// 1b  Sap watery; leaves in pairs ......... Urtica dioica
    /// ```
    ///
    /// ## Remedy
    /// Add a character that the pressed plant still shows; or remind the reader, before the first
    /// couplet, to note this one.
    ///
    /// ## Source
    /// E. Stillwell 1939, preface; herbarium guides (Wollongong, Florida, Zimbabwe); J. M. Coulter
    /// 1894, on tubercles that change in drying.
    "fresh-plant-needed", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        if !wording.decided_by(id, |lead, said, f| is_lost(exam, wording, lead, said, f)) {
            continue;
        }
        out.push(
            RULE.at(exam.place(id), format!("{} needs a fresh plant", exam.couplet_name(id)))
                .why("What is not noted before pressing is lost.")
                .remedy("Add a character that the pressed plant still shows."),
        );
    }
}

fn is_lost(
    exam: &Examination,
    wording: &Wording,
    lead: LeadId,
    said: &Said,
    feature: &Feature,
) -> bool {
    if let Some((_, character)) = read(exam.key, lead, feature)
        && let Some(reading) = pressed(character)
    {
        return matches!(reading, Reading::CannotBeSeen);
    }
    let kept = Kinds::SMELL.and(Kinds::SAP).and(Kinds::FLESH);
    wording.speaks_of(said, feature, kept)
        || feature.organ == Some(Organ::Flower) && colour(wording, said, feature)
}

fn colour(wording: &Wording, said: &Said, feature: &Feature) -> bool {
    match feature.is_prose() {
        true => wording.only_says(said, feature, Kinds::COLOUR),
        false => wording.speaks_of(said, feature, Kinds::COLOUR),
    }
}

/// What the key says of a character on a pressed plant.
pub(in crate::check) fn pressed(character: &Character) -> Option<&Reading> {
    let mut readings = character.readings.iter();
    readings.find(|(c, _, _)| *c == ConditionId::PRESSED).map(|(_, r, _)| r)
}
