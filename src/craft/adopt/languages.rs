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

/// The code of the language that a manuscript is written in, whether it has a table or not;
/// English where nothing tells.
pub fn tongue(book: &Book) -> &'static str {
    let count =
        |words: &[&str]| -> u32 { words.iter().filter_map(|w| book.vocabulary.get(*w)).sum() };
    let counts = [
        (count(&GERMAN), "de"),
        (count(&FRENCH), "fr"),
        (count(&DUTCH), "nl"),
        (count(&LATIN), "la"),
        (count(&ENGLISH), "en"),
    ];
    let best = counts.iter().max_by_key(|c| c.0).copied().unwrap_or((0, "en"));
    let second = counts.iter().filter(|c| c.1 != best.1).map(|c| c.0).max().unwrap_or(0);
    if best.0 >= 4 && best.0 * 2 >= second * 3 { best.1 } else { "en" }
}

/// The table of a language; English where there is none.
pub fn table(tongue: &str) -> &'static Language {
    Language::of(tongue).unwrap_or(Language::english())
}

/// The words that stand between names of taxa: those for "or" first.
pub fn between_names(tongue: &str) -> &'static [&'static str] {
    match tongue {
        "de" => &["oder", "od.", "und", "u.", "&", "/"],
        "fr" => &["ou", "et", "&", "/"],
        "nl" => &["of", "en", "&", "/"],
        "la" => &["vel", "aut", "et", "&", "/"],
        _ => &["or", "and", "&", "/"],
    }
}

/// Whether a word parts alternatives.
pub fn is_or(word: &str, tongue: &str) -> bool {
    let ors: &[&str] = match tongue {
        "de" => &["oder", "od."],
        "fr" => &["ou"],
        "nl" => &["of"],
        "la" => &["vel", "aut"],
        _ => &["or"],
    };
    ors.contains(&word)
}
