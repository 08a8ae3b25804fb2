//! Couplets that stand on what varies most: height, colour, month.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Wording, read};
use crate::key::character::{Character, Kind};
use crate::key::{LeadId, Value};
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// A couplet stands on height, colour or month alone.
    ///
    /// ## What it finds
    /// Couplets whose leads are all parted by how tall the plant is, by a colour, or by the month in
    /// which it flowers, and by nothing else.
    ///
    /// ## Why it matters
    /// A starved plant is low, a white flower turns up in every population, and the year is late.
    /// What is constant parts better.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals yellow ....................... Sinapis arvensis
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ Papaver rhoeas
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Add a character of shape or number.
    ///
    /// ## Source
    /// H. A. Gleason 1918, preface; University of Wisconsin-Madison, Botany 400, hints; a school
    /// handout: constant characters, not plastic ones.
    "plastic-character", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let what = |lead: LeadId, said: &Said, f: &Feature| plastic(exam, wording, lead, said, f);
        if !wording.decided_by(id, |lead, said, f| what(lead, said, f).is_some()) {
            continue;
        }
        let Some(lead) = exam.leads(id).next() else { continue };
        let said = wording.said(lead);
        let named = said.features.iter().find_map(|f| what(lead, said, f));
        let Some(named) = named else { continue };
        out.push(
            RULE.at(exam.place(id), format!("{} stands on {named} alone", exam.couplet_name(id)))
                .why("It varies more than most characters do.")
                .remedy("Add a character of shape or number."),
        );
    }
}

fn plastic(
    exam: &Examination,
    wording: &Wording,
    lead: LeadId,
    said: &Said,
    feature: &Feature,
) -> Option<&'static str> {
    if let Some((statement, character)) = read(exam.key, lead, feature) {
        return match &statement.value {
            Value::States(_) => is_colour(wording, character).then_some("colour"),
            Value::Number(_) => is_height(wording, character).then_some("height"),
        };
    }
    let speaks = |kind| wording.speaks_of(said, feature, kind);
    let figure = speaks(Kinds::NUMBER);
    if speaks(Kinds::MONTH) {
        return Some("the month");
    }
    if figure && speaks(Kinds::HEIGHT) {
        return Some("height");
    }
    wording.only_says(said, feature, Kinds::COLOUR).then_some("colour")
}

fn is_colour(wording: &Wording, character: &Character) -> bool {
    let Some(lists) = wording.lists else { return false };
    let is = |word: &str| lists.kinds(word).has(Kinds::COLOUR);
    fold(&character.name).split(' ').any(|w| matches!(w, "colour" | "color"))
        || character.declared() > 1
            && character.states()[..character.declared()]
                .iter()
                .all(|s| fold(&s.word).split([' ', '-']).any(is))
}

fn is_height(wording: &Wording, character: &Character) -> bool {
    let Some(lists) = wording.lists else { return false };
    matches!(character.kind, Kind::Measure { .. })
        && fold(&character.sentence).split(' ').any(|w| lists.kinds(w).has(Kinds::HEIGHT))
}
