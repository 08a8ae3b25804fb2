//! Names of taxa as keys write them: name and authors apart, abbreviated genera written out.

use crate::key::taxon::Rank;

/// A name parted from its authors.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// Without authors: `Rosa gallica var. versicolor`.
    pub name: String,
    pub authors: String,
    pub rank: Rank,
}

const RANKS: [&str; 12] = [
    "subsp.",
    "ssp.",
    "var.",
    "subvar.",
    "f.",
    "subf.",
    "nothosubsp.",
    "nothovar.",
    "sect.",
    "subg.",
    "ser.",
    "cv.",
];

/// Parts a written name into name and authors. Autonyms and names with authors between the
/// epithets (`Rosa gallica L. var. gallica`) keep only the last authors.
pub fn split_name(text: &str) -> Name {
    let words: Vec<&str> = text.split_whitespace().collect();
    // A formula names two parents; it is kept as it stands.
    let formula = words.iter().enumerate().any(|(i, w)| {
        i > 0
            && is_times(w)
            && words.get(i + 1).is_some_and(|n| n.starts_with(char::is_uppercase) || i > 1)
    });
    if formula {
        return Name { name: words.join(" "), authors: String::new(), rank: Rank::Species };
    }
    let mut name: Vec<String> = Vec::new();
    let mut authors: Vec<&str> = Vec::new();
    let mut rank = Rank::Genus;
    let mut i = 0;
    while i < words.len() {
        let w = words[i];
        if is_times(w) && i + 1 < words.len() && authors.is_empty() {
            // `× hispanica` and `×hispanica` are one.
            name.push(format!("×{}", words[i + 1]));
            if i > 0 {
                rank = Rank::Species;
            }
            i += 2;
            continue;
        }
        if RANKS.contains(&w)
            && i > 0
            && words.get(i + 1).is_some_and(|n| {
                is_epithet(n) || n.starts_with(char::is_uppercase) && rank == Rank::Genus
            })
        {
            name.push(w.to_string());
            name.push(words[i + 1].to_string());
            rank = if rank == Rank::Genus { Rank::Group } else { Rank::BelowSpecies };
            authors.clear();
            i += 2;
            continue;
        }
        if name.is_empty() {
            name.push(w.to_string());
        } else if authors.is_empty() && rank == Rank::Genus && is_epithet(w) {
            name.push(w.to_string());
            rank = Rank::Species;
        } else {
            authors.push(w);
        }
        i += 1;
    }
    let name = name.join(" ");
    if rank == Rank::Genus
        && (name.ends_with("aceae")
            || name.ends_with("ales")
            || !name.starts_with(|c: char| c.is_uppercase() || c == '×'))
    {
        rank = Rank::Group;
    }
    Name { name, authors: authors.join(" "), rank }
}

/// The name with which taxa are compared: case and blanks aside, `×` without a blank after it.
pub(crate) fn folded(name: &str) -> String {
    let mut out = crate::text::language::fold(name);
    for x in ["× ", "x "] {
        if out.starts_with(x) {
            out = format!("×{}", &out[x.len()..]);
        }
    }
    // Most names have neither, and need not be written twice.
    for (written, meant) in [(" × ", " ×"), (" ssp. ", " subsp. ")] {
        if out.contains(written) {
            out = out.replace(written, meant);
        }
    }
    out
}

/// Whether a word stands for a genus written out before: `G.`, `Ga.`
pub(crate) fn is_abbreviated(word: &str) -> bool {
    let core = word.trim_start_matches('×');
    core.len() >= 2
        && core.ends_with('.')
        && core.starts_with(char::is_uppercase)
        && core[..core.len() - 1].chars().all(char::is_alphabetic)
        && core.chars().count() <= 4
}

fn is_times(word: &str) -> bool {
    matches!(word, "×" | "x" | "X")
}

/// A specific epithet: lower case, letters and hyphens, no author's particle.
fn is_epithet(word: &str) -> bool {
    let core = word.strip_prefix('×').unwrap_or(word);
    core.chars().count() > 1
        && core.starts_with(char::is_lowercase)
        && core.chars().all(|c| c.is_alphabetic() || c == '-')
        && !matches!(
            core,
            "ex" | "et" | "in" | "de" | "von" | "van" | "emend" | "non" | "auct" | "and"
        )
}
