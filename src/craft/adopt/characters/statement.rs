//! One statement of a lead as words, and what two statements share.

use crate::text::language::{Language, fold};

/// A statement's words, without the stop at its end.
#[derive(Clone, Debug)]
pub struct Words<'a> {
    pub all: Vec<&'a str>,
    folded: Vec<String>,
}

impl<'a> Words<'a> {
    pub fn of(text: &'a str, language: &Language) -> Words<'a> {
        let all: Vec<&str> =
            text.trim_end_matches(['.', ';', ',', ' ']).split_whitespace().collect();
        let folded = all
            .iter()
            .map(|w| {
                let low = fold(w);
                let bare = low.trim_end_matches([',', ':']);
                (language.singular)(bare).into_owned()
            })
            .collect();
        Words { all, folded }
    }

    /// Words at the beginning that both have.
    pub fn same_start(&self, other: &Words) -> usize {
        self.folded.iter().zip(&other.folded).take_while(|(a, b)| a == b).count()
    }

    /// Words at the end that both have.
    pub fn same_end(&self, other: &Words) -> usize {
        self.folded.iter().rev().zip(other.folded.iter().rev()).take_while(|(a, b)| a == b).count()
    }

    pub fn len(&self) -> usize {
        self.all.len()
    }
}

const UNITS: [(&str, &str); 14] = [
    ("mm", "mm"),
    ("mm.", "mm"),
    ("cm", "cm"),
    ("cm.", "cm"),
    ("dm", "dm"),
    ("dm.", "dm"),
    ("m", "m"),
    ("µm", "µm"),
    ("inches", "in"),
    ("inch", "in"),
    ("in", "in"),
    ("feet", "ft"),
    ("foot", "ft"),
    ("%", "%"),
];

/// What fills a gap: a measure with its unit, a number, or words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Filling {
    /// The unit, and the words after it (`long`).
    Measure(&'static str, String),
    Count,
    Words,
}

/// What the words of a gap are.
pub fn filling(words: &[&str]) -> Filling {
    let number = |w: &str| {
        let core = w.trim_matches(|c: char| "()~±,;".contains(c));
        core.starts_with(|c: char| c.is_ascii_digit() || c == '(')
            && core.chars().all(|c| c.is_ascii_digit() || "()-–—.,/½¼¾⅓⅔+".contains(c))
    };
    let between = [
        "to",
        "or",
        "about",
        "ca.",
        "ca",
        "rarely",
        "usually",
        "up",
        "than",
        "more",
        "less",
        "over",
        "under",
        "at",
        "least",
        "most",
        "not",
        "bis",
        "oder",
        "über",
        "mindestens",
        "höchstens",
        "selten",
        "fast",
        "nearly",
        "and",
        "fewer",
    ];
    if !words.iter().any(|w| number(w)) {
        return Filling::Words;
    }
    if let Some(at) =
        words.iter().position(|w| UNITS.iter().any(|u| u.0 == w.trim_end_matches([',', ';'])))
    {
        let unit = UNITS
            .iter()
            .find(|u| u.0 == words[at].trim_end_matches([',', ';']))
            .map_or("mm", |u| u.1);
        let before =
            words[..at].iter().all(|w| number(w) || between.contains(&w.to_lowercase().as_str()));
        let after = words[at + 1..].join(" ");
        let dimension = after.is_empty()
            || after.split(' ').count() <= 3 && !after.chars().any(|c| c.is_ascii_digit());
        return if before && dimension { Filling::Measure(unit, after) } else { Filling::Words };
    }
    if words.iter().all(|w| number(w) || between.contains(&w.to_lowercase().as_str())) {
        return Filling::Count;
    }
    Filling::Words
}

/// The states that the words of a gap name: parted at "or" and at words of frequency. None where
/// they are no states.
pub fn states(words: &[&str], language: &Language) -> Vec<String> {
    let text = words.join(" ");
    if text.is_empty()
        || text.contains(['(', '[', '_', ':'])
        || text.chars().any(|c| c.is_ascii_digit())
    {
        return Vec::new();
    }
    let low = text.to_lowercase();
    let begins = |w: &str| low.strip_prefix(w).is_some_and(|r| r.starts_with(' '));
    let unfit = language.not.iter().chain(language.binding).any(|w| low == *w || begins(w))
        || low.split(' ').any(|w| matches!(w, "so" | "such" | "above" | "preceding"))
        || [
            "more", "less", "longer", "shorter", "wider", "equaling", "mehr", "länger", "kürzer",
            "never", "as", "als", "so",
        ]
        .iter()
        .any(|w| low == *w || begins(w));
    if unfit {
        return Vec::new();
    }
    let mut out = Vec::new();
    let mut current: Vec<&str> = Vec::new();
    let mut i = 0;
    while i < words.len() {
        let bare = words[i].trim_end_matches(',').to_lowercase();
        let frequency = language.frequency.iter().filter(|(w, _)| {
            let count = w.split(' ').count();
            i + count <= words.len()
                && words[i..i + count].join(" ").to_lowercase().trim_end_matches(',') == *w
        });
        if let Some((phrase, _)) = frequency.max_by_key(|(w, _)| w.len()) {
            out.push(std::mem::take(&mut current));
            i += phrase.split(' ').count();
            continue;
        }
        if language.or.contains(&bare.as_str()) {
            out.push(std::mem::take(&mut current));
        } else {
            current.push(words[i]);
        }
        i += 1;
    }
    out.push(current);
    let pieces: Vec<String> = out
        .into_iter()
        .map(|p| p.join(" ").trim_matches(|c: char| c == ',' || c.is_whitespace()).to_string())
        .filter(|p| !p.is_empty())
        .collect();
    let fits = |s: &String| s.split(' ').count() <= 8 && !s.contains(',');
    if pieces.iter().all(fits) { pieces } else { Vec::new() }
}
