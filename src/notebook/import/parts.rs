//! The cell of a table that says which parts were taken: `sheet; 2 seed packets`, `2 Samentüten`.

use crate::notebook::value::{Fields, Value};

/// The usual parts (see [`crate::notebook::record::part::USUAL`]), and how field books call them
/// in English, German and French, one and several.
const WORDS: &[(&str, &[&str])] = &[
    (
        "sheet",
        &[
            "sheets",
            "herbarium sheet",
            "herbarium sheets",
            "herbarbeleg",
            "herbarbelege",
            "beleg",
            "belege",
            "bogen",
            "bögen",
            "herbarbogen",
            "herbarbögen",
            "planche",
            "planches",
            "planche d'herbier",
            "planches d'herbier",
            "part d'herbier",
            "parts d'herbier",
        ],
    ),
    (
        "seed packet",
        &[
            "seed packets",
            "packet of seed",
            "packets of seed",
            "samentüte",
            "samentüten",
            "samenprobe",
            "samenproben",
            "sachet de graines",
            "sachets de graines",
        ],
    ),
    (
        "fruit box",
        &[
            "fruit boxes",
            "fruchtschachtel",
            "fruchtschachteln",
            "früchteschachtel",
            "boîte de fruits",
            "boîtes de fruits",
        ],
    ),
    (
        "wood block",
        &[
            "wood blocks",
            "holzprobe",
            "holzproben",
            "holzklotz",
            "holzklötze",
            "échantillon de bois",
            "échantillons de bois",
            "bloc de bois",
            "blocs de bois",
        ],
    ),
    ("bark", &["rinde", "rinden", "rindenprobe", "rindenproben", "écorce", "écorces"]),
    (
        "spirit",
        &["alkoholpräparat", "alkoholpräparate", "in alkohol", "alkohol", "alcool", "en alcool"],
    ),
    (
        "phytolith sample",
        &[
            "phytolith samples",
            "phytolithprobe",
            "phytolithproben",
            "phytolithenprobe",
            "phytolithenproben",
            "échantillon de phytolithes",
            "échantillons de phytolithes",
        ],
    ),
    (
        "DNA sample",
        &[
            "dna samples",
            "dna-probe",
            "dna-proben",
            "dns-probe",
            "dns-proben",
            "échantillon d'adn",
            "échantillons d'adn",
        ],
    ),
];

/// What may stand behind a figure that says how large a part is, not how many there are.
const UNITS: &[&str] = &["mm", "cm", "m", "g", "mg", "kg", "ml", "l", "mal", "jahre", "years"];

/// Each part of a cell as fields of its own; what else is known of the parts (store, individuals)
/// holds for each.
pub(super) fn each(fields: Fields) -> Vec<Fields> {
    let text = fields.get("what").and_then(Value::as_text).unwrap_or_default();
    let own = |(what, count): (String, Option<u32>)| {
        let mut own = fields.clone();
        own.insert("what".to_string(), Value::text(what));
        if let Some(count) = count {
            own.insert("count".to_string(), Value::text(count.to_string()));
        }
        own
    };
    read(text).into_iter().map(own).collect()
}

/// The parts that a cell names, each with the count before it.
fn read(text: &str) -> Vec<(String, Option<u32>)> {
    let signs = [';', '|'];
    if text.contains(signs) {
        let pieces = text.split(signs).map(str::trim).filter(|p| !p.is_empty());
        return pieces.map(one).collect();
    }
    // A comma may belong to one part; between words that are all known it parts them.
    let pieces: Vec<_> = text.split([',', '+', '&']).map(str::trim).map(one).collect();
    if pieces.len() > 1 && pieces.iter().all(|(what, _)| WORDS.iter().any(|(w, _)| w == what)) {
        return pieces;
    }
    vec![one(text)]
}

fn one(text: &str) -> (String, Option<u32>) {
    let behind = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let count = text[..text.len() - behind.len()].parse().ok().filter(|n| (1..1000).contains(n));
    let rest = behind.trim_start();
    let rest = rest.strip_prefix(['×', 'x', 'X']).filter(|r| r.starts_with(' ')).unwrap_or(rest);
    let rest = rest.trim_start();
    let first = rest.split_whitespace().next().unwrap_or_default().to_lowercase();
    let counts = rest.starts_with(char::is_alphabetic) && !UNITS.contains(&first.as_str());
    match count.filter(|_| counts) {
        Some(count) => (usual(rest), Some(count)),
        None => (usual(text), None),
    }
}

/// The usual word for a part, or the text as it stands.
fn usual(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let low = words.join(" ").to_lowercase().replace('’', "'");
    let known = |(usual, names): &&(&str, &[&str])| {
        usual.to_lowercase() == low || names.contains(&low.as_str())
    };
    WORDS.iter().find(known).map_or_else(|| text.to_string(), |(usual, _)| usual.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::record::part::USUAL;

    fn said(text: &str) -> Vec<String> {
        let shown = |(what, count): (String, Option<u32>)| match count {
            Some(n) => format!("{n} of {what}"),
            None => what,
        };
        read(text).into_iter().map(shown).collect()
    }

    #[test]
    fn parts_as_field_books_call_them() {
        assert_eq!(said("Herbarbeleg; 2 Samentüten"), ["sheet", "2 of seed packet"]);
        assert_eq!(said("1 sheet"), ["1 of sheet"]);
        assert_eq!(said("2 x Bogen"), ["2 of sheet"]);
        assert_eq!(said("planche, sachet de graines"), ["sheet", "seed packet"]);
        assert_eq!(said("3 DNA samples|Rinde"), ["3 of DNA sample", "bark"]);
        for untouched in ["branch, 3 cm thick", "5 cm core", "Ähre in Schachtel", "xylem", "2 %"] {
            assert_eq!(said(untouched), [untouched]);
        }
        assert!(WORDS.iter().map(|w| w.0).eq(USUAL.iter().copied()));
    }
}
