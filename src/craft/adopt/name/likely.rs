//! How likely a text is the name of a taxon.

use crate::craft::adopt::book::{Book, shouted};
use crate::craft::adopt::line::{ON, tidy_blanks};
use crate::craft::adopt::mark::of_roman;

/// How sure it is that a text is a name of a taxon.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likely {
    No,
    /// It could be: it is short and begins with a capital.
    Perhaps,
    Yes,
}

const GENUS_ENDS: &[&str] = &[
    "a", "us", "um", "ae", "æ", "ales", "opsis", "go", "io", "ix", "ax", "ex", "ys", "yx", "on",
    "is", "as", "os", "es", "ops", "ens",
];

/// Genera of plants that end as no others do.
const GENERA: &[&str] = &[
    "acer",
    "aster",
    "papaver",
    "cotoneaster",
    "piper",
    "cicer",
    "silene",
    "anemone",
    "daphne",
    "secale",
    "aloe",
    "crambe",
    "statice",
    "raphanistrum",
    "abies",
    "ruppia",
    "clematis",
    "oxalis",
    "taraxacum",
];

const EPITHET_ENDS: &[&str] = &[
    "a", "us", "um", "is", "i", "ae", "æ", "ense", "oides", "oídes", "ale", "are", "ile", "ans",
    "ens", "or", "bre", "iforme", "ax", "ix", "ex", "ior", "os", "on", "es", "nse", "rne", "nale",
    "stre", "ústre", "urpureum", "ilis", "ebe", "ace",
];

/// Epithets of common plants that end as no others do.
const EPITHETS: &[&str] =
    &["robur", "suber", "niger", "ruber", "asper", "glaber", "tener", "julibrissin"];

/// Words between the parts of a name.
const RANKS: &[&str] = &[
    "var", "var.", "subsp", "subsp.", "ssp.", "f.", "forma", "sp.", "spp.", "spp", "sp", "ex",
    "et", "and", "in", "de", "von", "der", "fil.", "hort.", "auct.", "agg.", "aggr.", "s.l.",
    "s.str.", "cf.", "aff.", "non", "nec", "x", "×", "&", "part", "pp.",
];

fn letters_only(word: &str) -> bool {
    word.chars().count() >= 3
        && word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | '’' | '\'' | '.' | 'ǣ'))
}

pub(super) fn genus_like(word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';']);
    let abbreviated = word.ends_with('.') && bare.chars().count() <= 2;
    let mut chars = bare.trim_start_matches('×').chars();
    let capital = chars.next().is_some_and(char::is_uppercase);
    let low = bare.to_lowercase();
    let english = low.ends_with("ous")
        || low.ends_with("ves")
        || low.ends_with("ers")
        || low.ends_with("ness");
    capital
        && (abbreviated
            || (letters_only(bare)
                && chars.all(|c| !c.is_uppercase())
                && !english
                && (GENERA.contains(&low.as_str()) || GENUS_ENDS.iter().any(|e| low.ends_with(e)))))
}

pub(super) fn epithet_like(word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';', ')']);
    let low = bare.to_lowercase();
    bare.chars().next().is_some_and(char::is_lowercase)
        && letters_only(bare)
        && !low.ends_with("ous")
        && (EPITHETS.contains(&low.as_str()) || EPITHET_ENDS.iter().any(|e| low.ends_with(e)))
}

/// How likely a text is one name or several. It may hold authors, ranks, remarks and a page.
pub fn likely(text: &str, book: &Book) -> Likely {
    let text = tidy_blanks(text);
    let core = strip_remarks(&strip_number(&text).1);
    let all: Vec<&str> = core.split_whitespace().collect();
    let Some(&first) = all.first() else { return Likely::No };
    let low = first.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let opens = book.openings.get(&low).copied().unwrap_or(0);
    let common = book.vocabulary.get(&low).copied().unwrap_or(0);
    if all.len() > 14
        || !first.starts_with(|c: char| c.is_uppercase() || matches!(c, '×' | '“' | '"'))
    {
        return Likely::No;
    }
    if shouted(&core) && all.len() <= 6 && first.chars().filter(|c| c.is_alphabetic()).count() >= 3
    {
        return Likely::Yes;
    }
    let binomial =
        all.windows(2).any(|w| genus_like(w[0]) && (epithet_like(w[1]) || w[1].starts_with("sp")));
    if binomial
        && (opens < 3 || epithet_like(all.get(1).copied().unwrap_or_default()))
        && all.len() <= 12
    {
        return Likely::Yes;
    }
    if opens >= 2 && opens * 2 >= common {
        return Likely::No;
    }
    let plain_words =
        all.iter().filter(|w| w.starts_with(char::is_lowercase) && !RANKS.contains(w)).count();
    if genus_like(first) && plain_words == 0 {
        return Likely::Yes;
    }
    if all.len() <= 5 && plain_words <= 3 { Likely::Perhaps } else { Likely::No }
}

/// Whether what follows a name in emphasis can belong to it: authors, ranks, a remark, a page.
pub fn is_name_tail(text: &str) -> bool {
    let bare = strip_remarks(&tidy_blanks(text));
    let bare = bare.trim_matches(|c: char| c.is_whitespace() || ".,;:)]".contains(c));
    let mut count = 0;
    for word in bare.split_whitespace() {
        count += 1;
        let low = word.to_lowercase();
        let after_p =
            low.trim_start_matches("pp.").trim_start_matches("p.").trim_start_matches("s.");
        let page = after_p.starts_with(|c: char| c.is_ascii_digit())
            || matches!(
                low.trim_end_matches('.'),
                "p" | "pp" | "page" | "s" | "seite" | "fig" | "pl" | "plate" | "bl"
            );
        let fits = word.starts_with(|c: char| c.is_uppercase() || "&×(’'“\"".contains(c))
            || RANKS.contains(&low.as_str())
            || RANKS.contains(&format!("{low}.").as_str())
            || page;
        if !fits || count > 8 {
            return false;
        }
    }
    true
}

/// The text without what stands in brackets.
pub fn strip_remarks(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut depth = 0usize;
    for c in text.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            c if depth == 0 => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `12. Quercus` as its number and the rest; the number may be Roman.
pub fn strip_number(text: &str) -> (Option<String>, String) {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_alphanumeric()).unwrap_or(0);
    let (number, rest) = text.split_at(end);
    let digits = number.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let counted =
        !digits.is_empty() && digits.len() <= 4 && digits.bytes().all(|b| b.is_ascii_digit());
    let roman =
        number.len() > 1 && of_roman(number).is_some() && number.starts_with(char::is_uppercase);
    let stopped = rest.starts_with(['.', ')', ',']) || (counted && rest.starts_with(' '));
    if number.is_empty() || !(counted || roman) || !stopped {
        return (None, text.to_string());
    }
    let rest = rest.trim_start_matches(['.', ')', ',']).trim_start();
    if !rest.starts_with(char::is_alphabetic) && !rest.starts_with(['×', ON]) {
        return (None, text.to_string());
    }
    (Some(number.to_string()), rest.to_string())
}
