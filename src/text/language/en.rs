//! English.

use std::borrow::Cow;

use super::{Comparing, Dimension, Language};
use crate::text::frequency::Frequency as F;
use crate::text::tree::SectionKind as S;

pub(super) static ENGLISH: Language = Language {
    code: "en",
    name: "English",
    sections: &[
        ("conditions", S::Conditions),
        ("characters", S::Characters),
        ("key", S::Key),
        ("taxa", S::Taxa),
        ("glossary", S::Glossary),
    ],
    key_to: &["key to", "key for", "key of"],
    at: &["at"],
    in_file: &["in"],
    stop: &["stop"],
    go_to: &["go to", "goto", "see", "see couplet", "go to couplet", "couplet", "to", "->", "→"],
    or: &["or"],
    and: &["and"],
    to: &["to"],
    not: &["not"],
    binding: &["or", "and", "but", "except", "unless", "to", "if"],
    unstressed: &["a", "an", "the", "is", "are"],
    frequency: &[
        ("extremely rarely", F::ExtremelyRarely),
        ("very rarely", F::VeryRarely),
        ("rarely", F::Rarely),
        ("seldom", F::Rarely),
        ("exceptionally", F::VeryRarely),
        ("perhaps", F::Perhaps),
        ("possibly", F::Perhaps),
        ("occasionally", F::Occasionally),
        ("sometimes", F::Sometimes),
        ("often", F::Often),
        ("frequently", F::Often),
        ("commonly", F::Commonly),
        ("probably", F::Probably),
        ("usually", F::Usually),
        ("mostly", F::Usually),
        ("generally", F::Usually),
        ("typically", F::Usually),
        ("normally", F::Usually),
        ("nearly always", F::AlmostAlways),
        ("almost always", F::AlmostAlways),
        ("by misinterpretation", F::ByMisinterpretation),
    ],
    cannot_tell: &["cannot tell", "can't tell", "unknown", "not seen", "unclear"],
    about: &["ca.", "ca", "c.", "circa", "about", "approximately", "more or less", "±"],
    at_most: &[
        "up to",
        "to",
        "at most",
        "not more than",
        "not over",
        "not exceeding",
        "no more than",
        "maximum",
    ],
    less_than: &["less than", "under", "below", "shorter than", "fewer than", "narrower than", "<"],
    at_least: &["at least", "not less than", "no less than", "from", "minimum"],
    more_than: &["more than", "over", "above", "longer than", "exceeding", "wider than", ">"],
    or_more: &["or more", "and more", "and over", "or over", "or longer", "or wider"],
    or_less: &["or less", "or fewer", "and less", "or under", "or shorter"],
    numbers: &[
        ("one", 1),
        ("two", 2),
        ("three", 3),
        ("four", 4),
        ("five", 5),
        ("six", 6),
        ("seven", 7),
        ("eight", 8),
        ("nine", 9),
        ("ten", 10),
        ("eleven", 11),
        ("twelve", 12),
    ],
    many: &["many", "numerous"],
    long: &["long", "in length"],
    wide: &["wide", "broad", "in width"],
    compare: Comparing {
        dimensions: &[
            Dimension { name: "length", plain: &["long"], more: &["longer"], less: &["shorter"] },
            Dimension {
                name: "width",
                plain: &["wide", "broad"],
                more: &["wider", "broader"],
                less: &["narrower"],
            },
            Dimension {
                name: "height",
                plain: &["tall", "high"],
                more: &["taller", "higher"],
                less: &["shorter", "lower"],
            },
            Dimension {
                name: "thickness",
                plain: &["thick"],
                more: &["thicker"],
                less: &["thinner"],
            },
            Dimension {
                name: "size",
                plain: &["large", "big"],
                more: &["larger", "bigger"],
                less: &["smaller"],
            },
            Dimension { name: "number", plain: &["many"], more: &["more"], less: &["fewer"] },
        ],
        as_before: &["as"],
        as_after: &["as"],
        than: &["than"],
        times: &["times", "x", "×"],
        factors: &[
            ("half", 1, 2),
            ("a third", 1, 3),
            ("one third", 1, 3),
            ("two thirds", 2, 3),
            ("a quarter", 1, 4),
            ("one quarter", 1, 4),
            ("three quarters", 3, 4),
            ("twice", 2, 1),
            ("thrice", 3, 1),
        ],
    },
    cannot_be_seen: &["cannot be seen", "can't be seen", "lost", "not to be seen"],
    looks: &["looks", "look", "becomes", "become", "turns", "turn"],
    not_here: &[
        "not here",
        "not present",
        "not on this specimen",
        "not on the specimen",
        "missing",
    ],
    does_not_apply: &["does not apply", "do not apply", "not applicable"],
    where_: &["where", "when", "if"],
    abbreviations: &[
        "ca",
        "c",
        "cf",
        "var",
        "subsp",
        "ssp",
        "f",
        "fig",
        "figs",
        "aff",
        "sp",
        "spp",
        "e.g",
        "i.e",
        "viz",
        "approx",
        "nothosubsp",
        "subf",
        "subvar",
        "no",
        "p",
        "pp",
        "vol",
        "incl",
    ],
    singular,
    months: [
        &["january", "jan"],
        &["february", "feb"],
        &["march", "mar"],
        &["april", "apr"],
        &["may"],
        &["june", "jun"],
        &["july", "jul"],
        &["august", "aug"],
        &["september", "sept", "sep"],
        &["october", "oct"],
        &["november", "nov"],
        &["december", "dec"],
    ],
    abundance: &[
        ("very common", 2.0),
        ("common", 1.0),
        ("frequent", 0.7),
        ("locally common", 0.5),
        ("occasional", 0.3),
        ("local", 0.2),
        ("scarce", 0.1),
        ("very rare", 0.02),
        ("rare", 0.05),
    ],
};

/// Words ending in s that are no plurals, and nouns whose plural does not end in s.
fn singular(word: &str) -> Cow<'_, str> {
    match word {
        "leaves" => return Cow::Borrowed("leaf"),
        "halves" => return Cow::Borrowed("half"),
        "teeth" => return Cow::Borrowed("tooth"),
        "feet" => return Cow::Borrowed("foot"),
        "calyces" => return Cow::Borrowed("calyx"),
        "apices" => return Cow::Borrowed("apex"),
        "bases" => return Cow::Borrowed("base"),
        "axes" => return Cow::Borrowed("axis"),
        "ovaries" => return Cow::Borrowed("ovary"),
        "as" | "is" | "this" | "less" | "times" | "always" | "perhaps" | "sometimes" => {
            return Cow::Borrowed(word);
        }
        _ => {}
    }
    if word.len() < 4 || !word.ends_with('s') || word.bytes().any(|b| b.is_ascii_digit()) {
        return Cow::Borrowed(word);
    }
    if let Some(stem) = word.strip_suffix("ies") {
        return Cow::Owned(format!("{stem}y"));
    }
    for end in ["sses", "shes", "ches", "xes"] {
        if word.ends_with(end) {
            return Cow::Borrowed(&word[..word.len() - 2]);
        }
    }
    if word.ends_with("ss") || word.ends_with("us") || word.ends_with("is") {
        return Cow::Borrowed(word);
    }
    Cow::Borrowed(&word[..word.len() - 1])
}
