//! Characters that change in the press, of which the key does not say how.

use crate::check::Examination;
use crate::check::lists::{Kinds, Organ};
use crate::check::rule::rule;
use crate::check::rules::fresh_plant_needed::pressed;
use crate::key::CharacterId;
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// A character changes in the press, and its declaration does not say how.
    ///
    /// ## What it finds
    /// Declared smells, saps, fleshy or sticky states and colours of flowers without a `pressed`
    /// line; each once.
    ///
    /// ## Why it matters
    /// Without it a pressed plant is held against the fresh colour, and the right taxon counts as a
    /// misfit.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// characters
    ///
    /// petal colour: Petals _
    ///   states    red, yellow
    ///   part      flower
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ Papaver rhoeas
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// characters
    ///
    /// petal colour: Petals _
    ///   states    red, yellow
    ///   part      flower
    ///   pressed   red looks red or purple
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ Papaver rhoeas
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Write `pressed  cannot be seen`, or what each state looks like: `pressed  red looks purple`.
    ///
    /// ## Source
    /// E. Stillwell 1939, preface; herbarium guides (Wollongong, Florida, Zimbabwe): colour, smell,
    /// sap and habit are lost, and are noted in the field.
    "drying-not-said", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for id in exam.key.character_ids() {
        let Some(what) = changes_unsaid(exam, id) else { continue };
        let character = exam.key.character(id);
        out.push(
            RULE.at(
                character.name_span,
                format!("`{}` is {what}, and nothing is said of the press", character.name),
            )
            .why("A pressed plant is held against what only the fresh one shows.")
            .remedy("Write `pressed  cannot be seen`, or what each state looks like."),
        );
    }
}

/// What a character is that changes in the press, where its declaration does not say how.
pub(in crate::check) fn changes_unsaid(
    exam: &Examination,
    id: CharacterId,
) -> Option<&'static str> {
    let wording = exam.wording();
    let lists = wording.lists?;
    let character = exam.key.character(id);
    if pressed(character).is_some() {
        return None;
    }
    let organ = wording.subject(id).organ;
    let kinds = |text: &str| {
        let words = fold(text);
        words.split([' ', '-', ',']).fold(Kinds::default(), |k, w| k.and(lists.kinds(w)))
    };
    let states = &character.states()[..character.declared()];
    let all = states.iter().fold(kinds(&character.sentence), |k, s| k.and(kinds(&s.word)));
    match organ {
        _ if all.has(Kinds::SMELL) => Some("a smell"),
        // A seed may be milky white, and is dry as it is.
        Some(Organ::Seed | Organ::Fruit | Organ::Bark) | None => None,
        _ if all.has(Kinds::SAP) => Some("sap"),
        _ if all.has(Kinds::FLESH) => Some("a fleshy or sticky part"),
        Some(Organ::Flower) if all.has(Kinds::COLOUR) => Some("the colour of a flower"),
        _ => None,
    }
}
