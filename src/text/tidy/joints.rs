//! Words between which a line must not end: numbers and their units, abbreviations and what they
//! shorten.

use crate::text::language::{Language, fold};

const UNITS: [&str; 19] = [
    "µm", "μm", "um", "mm", "cm", "dm", "m", "km", "in", "ft", "inch", "inches", "foot", "feet",
    "°", "%", "′", "″", "degrees",
];

/// Whether the word at `i` belongs to the one after it. A matter of the words near by only, so
/// that a text broken between two words that do not belong together is read alike again.
pub(super) fn joined_to_next(words: &[&str], i: usize, language: &Language) -> bool {
    let (Some(&a), Some(&b)) = (words.get(i), words.get(i + 1)) else { return false };
    let before = i.checked_sub(1).map(|i| words[i]);
    let after = words.get(i + 2).copied();
    if ends_number(a) && (is_unit(b) || begins_number(b) || is_times(b)) {
        return true;
    }
    // `3 mm × 2 mm`
    if is_times(b) && is_unit(a) && after.is_some_and(begins_number)
        || is_times(a) && begins_number(b) && before.is_some_and(|w| ends_number(w) || is_unit(w))
    {
        return true;
    }
    // `3 - 5`, `4 or 5`, `4 to 5`
    if is_between(b, language) && ends_number(a) && after.is_some_and(begins_number)
        || is_between(a, language) && begins_number(b) && before.is_some_and(ends_number)
    {
        return true;
    }
    // `5(or 10)`
    if open_after_number(a) {
        return true;
    }
    // `ca. 8`, `± 8`
    if matches!(a, "±" | "<" | ">" | "~" | "c." | "ca") && begins_number(b) {
        return true;
    }
    // `var. alba`, `cf. sylvestris`, `G. tricornutum`
    match a.trim_start_matches(['(', '[']).strip_suffix('.') {
        Some(core) => {
            let initial = core.chars().count() <= 2 && core.starts_with(char::is_uppercase);
            language.abbreviations.contains(&core.to_lowercase().as_str())
                || initial && b.starts_with(char::is_lowercase)
        }
        None => false,
    }
}

fn ends_number(word: &str) -> bool {
    let digit = |c: char| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔');
    word.ends_with(digit)
        || word.ends_with([')', ']'])
            && word.starts_with(|c| digit(c) || c == '(')
            && word.contains(digit)
}

fn begins_number(word: &str) -> bool {
    let core = word.trim_start_matches(['(', '[', '-', '–', '±', '<', '>', '.', ',']);
    core.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔'))
}

fn is_unit(word: &str) -> bool {
    let core = word.trim_end_matches(['.', ',', ';', ':', ')', ']']);
    UNITS.contains(&core)
}

fn is_times(word: &str) -> bool {
    matches!(word, "×" | "x" | "X" | "*")
}

fn is_between(word: &str, language: &Language) -> bool {
    matches!(word, "-" | "–" | "—" | "‐" | "‑") || {
        let low = fold(word);
        language.or.contains(&low.as_str()) || language.to.contains(&low.as_str())
    }
}

fn open_after_number(word: &str) -> bool {
    word.rfind(['(', '[']).is_some_and(|at| {
        !word[at..].contains([')', ']'])
            && word[..at].ends_with(|c: char| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾'))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The text with `_` where a line must not end.
    fn shown(text: &str) -> String {
        let words: Vec<&str> = text.split(' ').collect();
        let mut out = String::new();
        for (i, word) in words.iter().enumerate() {
            out.push_str(word);
            if i + 1 < words.len() {
                let joined = joined_to_next(&words, i, Language::english());
                out.push(if joined { '_' } else { ' ' });
            }
        }
        out
    }

    #[test]
    fn numbers_stay_with_their_units() {
        for (text, wanted) in [
            ("blade (2-)3-5(-7) mm long", "blade (2-)3-5(-7)_mm long"),
            ("leaves 3-6 × 1-2 cm; petals", "leaves 3-6_×_1-2_cm; petals"),
            ("leaves 3 mm x 2 mm, hairy", "leaves 3_mm_x_2_mm, hairy"),
            ("stamens 4 or 5 only", "stamens 4_or_5 only"),
            ("stamens 5(or 10) or more", "stamens 5(or_10) or more"),
            ("blade 3 - 5 cm", "blade 3_-_5_cm"),
            ("up to ca. 8 mm", "up to ca._8_mm"),
            ("red or white", "red or white"),
        ] {
            assert_eq!(shown(text), wanted);
        }
    }

    #[test]
    fn abbreviations_stay_with_what_they_shorten() {
        assert_eq!(shown("Galium aparine or G. tricornutum"), "Galium aparine or G._tricornutum");
        assert_eq!(shown("Rosa gallica var. alba"), "Rosa gallica var._alba");
        assert_eq!(shown("Papaver rhoeas L. Petals"), "Papaver rhoeas L. Petals");
    }
}
