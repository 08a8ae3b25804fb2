//! The words that rules on wording look for: one list a file, English; a key in a language without
//! lists is spared the rules that need them.

mod colours;
mod dismissals;
mod drying;
mod negatives;
mod obscure;
mod openers;
mod parts;
mod places;
mod sizes;
mod terms;

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::text::language::Language;

pub(super) use parts::Organ;

/// What is known of a word: a set of marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Kinds(u32);

impl Kinds {
    /// A part of a plant.
    pub const PART: Kinds = Kinds(1);
    /// A size that means something only beside another plant.
    pub const SIZE: Kinds = Kinds(1 << 1);
    /// How tall something stands.
    pub const HEIGHT: Kinds = Kinds(1 << 2);
    pub const COLOUR: Kinds = Kinds(1 << 3);
    pub const SMELL: Kinds = Kinds(1 << 4);
    pub const SAP: Kinds = Kinds(1 << 5);
    /// What withers: fleshy, sticky.
    pub const FLESH: Kinds = Kinds(1 << 6);
    /// A direction, or a noun for a region.
    pub const REGION: Kinds = Kinds(1 << 7);
    /// A word that speaks of where a plant grows, on its own.
    pub const RANGE: Kinds = Kinds(1 << 8);
    /// A small word that stands between the names of places.
    pub const PREPOSITION: Kinds = Kinds(1 << 9);
    /// Needs cutting open or a microscope.
    pub const OBSCURE: Kinds = Kinds(1 << 10);
    pub const NEGATIVE: Kinds = Kinds(1 << 11);
    /// Begins a lead that does not begin with a part.
    pub const OPENER: Kinds = Kinds(1 << 12);
    /// A verb that a lead can do without.
    pub const VERB: Kinds = Kinds(1 << 13);
    /// A technical term.
    pub const TERM: Kinds = Kinds(1 << 14);
    /// In a title: says what it covers; says when.
    pub const SCOPE: Kinds = Kinds(1 << 15);
    pub const SEASON: Kinds = Kinds(1 << 16);
    /// `very`, `rather`: says how much, and nothing else.
    pub const DEGREE: Kinds = Kinds(1 << 26);
    // The following come from the language tables, for every language.
    /// `not`.
    pub const NOT: Kinds = Kinds(1 << 17);
    pub const AND: Kinds = Kinds(1 << 18);
    pub const OR: Kinds = Kinds(1 << 19);
    /// `usually`, `often`: words of frequency other than those for exceptions.
    pub const HEDGE: Kinds = Kinds(1 << 20);
    pub const MONTH: Kinds = Kinds(1 << 21);
    /// Figures, number words, factors.
    pub const NUMBER: Kinds = Kinds(1 << 22);
    /// Articles and forms of "to be".
    pub const UNSTRESSED: Kinds = Kinds(1 << 23);
    /// `than`, and the `as` of comparisons.
    pub const COMPARES: Kinds = Kinds(1 << 24);
    /// `rarely`: a word of frequency for an exception.
    pub const EXCEPTION: Kinds = Kinds(1 << 25);

    pub fn has(self, any: Kinds) -> bool {
        self.0 & any.0 != 0
    }

    pub const fn and(self, other: Kinds) -> Kinds {
        Kinds(self.0 | other.0)
    }
}

/// The lists of one language. Words are in the form in which the reader compares them: lower case,
/// nouns in the singular.
#[derive(Debug)]
pub(super) struct Lists {
    kinds: HashMap<&'static str, Kinds>,
    organs: HashMap<&'static str, Organ>,
    /// `not as above` and its like.
    pub dismissals: &'static [&'static str],
    /// Technical terms with the plain words that mean exactly the same.
    pub same: &'static [(&'static str, &'static [&'static str])],
}

impl Lists {
    /// What the lists know of a word.
    pub fn kinds(&self, word: &str) -> Kinds {
        self.kinds.get(word).copied().unwrap_or_default()
    }

    /// The organ on which a part is seen.
    pub fn organ(&self, word: &str) -> Option<Organ> {
        self.organs.get(word).copied()
    }

    /// The part that a compound names last: `leaf` of `stem-leaves`.
    pub fn last_part(&self, word: &str, language: &Language) -> Option<&'static str> {
        let (_, last) = word.rsplit_once('-')?;
        let (part, kinds) = self.kinds.get_key_value(&*(language.singular)(last))?;
        kinds.has(Kinds::PART).then_some(*part)
    }
}

/// The lists of a language, where there are any.
pub(super) fn of(language: &Language) -> Option<&'static Lists> {
    (language.code == "en").then(|| &*ENGLISH)
}

static ENGLISH: LazyLock<Lists> = LazyLock::new(|| {
    let lists = [
        (Kinds::SIZE, sizes::SIZES),
        (Kinds::HEIGHT, sizes::HEIGHTS),
        (Kinds::DEGREE, sizes::DEGREES),
        (Kinds::COLOUR, colours::COLOURS),
        (Kinds::SMELL, drying::SMELLS),
        (Kinds::SAP, drying::SAPS),
        (Kinds::FLESH, drying::FLESH),
        (Kinds::REGION, places::REGIONS),
        (Kinds::RANGE, places::RANGES),
        (Kinds::PREPOSITION, places::PREPOSITIONS),
        (Kinds::OBSCURE, obscure::OBSCURE),
        (Kinds::NEGATIVE, negatives::NEGATIVES),
        (Kinds::OPENER, openers::OPENERS),
        (Kinds::VERB, openers::VERBS),
        (Kinds::TERM, terms::ALONE),
        (Kinds::SCOPE, places::SCOPES),
        (Kinds::SEASON, places::SEASONS),
    ];
    let mut kinds: HashMap<&'static str, Kinds> = HashMap::new();
    let mut add = |word, kind: Kinds| {
        let own = kinds.entry(word).or_default();
        *own = own.and(kind);
    };
    for (kind, words) in lists {
        words.split(' ').for_each(|w| add(w, kind));
    }
    terms::SAME.iter().for_each(|(w, _)| add(w, Kinds::TERM));
    let mut organs = HashMap::new();
    for (organ, words) in parts::PARTS {
        for word in words.split(' ') {
            add(word, Kinds::PART);
            if let Some(organ) = organ {
                organs.insert(word, organ);
            }
        }
    }
    Lists { kinds, organs, dismissals: dismissals::DISMISSALS, same: terms::SAME }
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_in_the_form_that_is_compared() {
        let lists = of(Language::english()).unwrap();
        let phrases = lists.same.iter().flat_map(|(_, plain)| plain.iter());
        let words = lists.kinds.keys().chain(phrases).chain(lists.dismissals);
        for word in words.flat_map(|w| w.split(' ')) {
            let compared = (Language::english().singular)(word);
            assert_eq!(*word, *compared.to_lowercase());
            assert!(!word.is_empty(), "two blanks in a list");
        }
    }

    #[test]
    fn other_languages_have_no_lists() {
        for code in ["de", "fr"] {
            assert!(of(Language::of(code).unwrap()).is_none());
        }
    }
}
