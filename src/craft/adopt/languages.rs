//! In which language a manuscript is written, by its smallest words.

use crate::text::language::Language;

use super::book::Book;

const ENGLISH: [&str; 14] = [
    "the", "of", "with", "and", "or", "not", "in", "at", "to", "than", "leaves", "flowers", "by",
    "on",
];
const GERMAN: [&str; 18] = [
    "und", "oder", "nicht", "mit", "der", "die", "das", "am", "im", "als", "so", "bis", "ohne",
    "blätter", "od", "zur", "den", "u",
];
const FRENCH: [&str; 12] =
    ["et", "ou", "les", "des", "non", "avec", "la", "le", "sans", "plus", "feuilles", "fleurs"];
const DUTCH: [&str; 14] = [
    "en", "of", "niet", "met", "de", "het", "een", "van", "aan", "bloemen", "bladeren", "zonder",
    "dan", "der",
];
const LATIN: [&str; 14] = [
    "vel", "et", "foliis", "folia", "floribus", "flores", "caule", "cum", "non", "sed", "saepe",
    "corolla", "calyce", "petala",
];

/// The table of the manuscript's language; English where there is none or nothing tells.
pub fn of(book: &Book) -> &'static Language {
    let count =
        |words: &[&str]| -> u32 { words.iter().filter_map(|w| book.vocabulary.get(*w)).sum() };
    let counts = [
        (count(&GERMAN), "de"),
        (count(&FRENCH), "fr"),
        (count(&DUTCH), ""),
        (count(&LATIN), ""),
        (count(&ENGLISH), "en"),
    ];
    let best = counts.iter().max_by_key(|c| c.0).copied().unwrap_or((0, "en"));
    let second =
        counts.iter().filter(|c| c.1 != best.1 || c.0 != best.0).map(|c| c.0).max().unwrap_or(0);
    if best.0 >= 4 && best.0 * 2 >= second * 3 {
        return Language::of(best.1).unwrap_or(Language::english());
    }
    Language::english()
}
