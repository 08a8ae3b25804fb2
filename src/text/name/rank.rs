//! The ranks of Art. 4, their abbreviations (Rec. 5A) and the spellings met in notebooks.

use serde::Serialize;

/// Ranks in the order of Art. 4.1-4.2, as far as collectors write them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Rank {
    Order,
    Family,
    Subfamily,
    Tribe,
    Subtribe,
    Genus,
    Subgenus,
    Section,
    Subsection,
    Series,
    Subseries,
    Species,
    Subspecies,
    Variety,
    Subvariety,
    Form,
    Subform,
    /// Not a rank of this Code; cultivated plants have their own.
    Cultivar,
}

/// Rank, word, standard abbreviation, other spellings (full Latin first).
const TABLE: &[(Rank, &str, &str, &[&str])] = &[
    (Rank::Order, "order", "ord.", &[]),
    (Rank::Family, "family", "fam.", &[]),
    (Rank::Subfamily, "subfamily", "subfam.", &[]),
    (Rank::Tribe, "tribe", "tr.", &[]),
    (Rank::Subtribe, "subtribe", "subtr.", &[]),
    (Rank::Genus, "genus", "gen.", &[]),
    (Rank::Subgenus, "subgenus", "subg.", &["subgen."]),
    (Rank::Section, "section", "sect.", &["sectio"]),
    (Rank::Subsection, "subsection", "subsect.", &["subsectio"]),
    (Rank::Series, "series", "ser.", &[]),
    (Rank::Subseries, "subseries", "subser.", &[]),
    (Rank::Species, "species", "sp.", &[]),
    (Rank::Subspecies, "subspecies", "subsp.", &["ssp.", "subspec.", "subsp", "ssp"]),
    (Rank::Variety, "variety", "var.", &["varietas", "var", "v."]),
    (Rank::Subvariety, "subvariety", "subvar.", &["subvarietas", "subvar"]),
    (Rank::Form, "form", "f.", &["forma", "fo.", "form."]),
    (Rank::Subform, "subform", "subf.", &["subforma", "subfo."]),
    (Rank::Cultivar, "cultivar", "cv.", &[]),
];

/// The eight family names that do not end in -aceae (Art. 18.5) [MEM].
const OLD_FAMILIES: &[&str] = &[
    "Compositae",
    "Cruciferae",
    "Gramineae",
    "Guttiferae",
    "Labiatae",
    "Leguminosae",
    "Palmae",
    "Umbelliferae",
];

impl Rank {
    fn row(self) -> &'static (Rank, &'static str, &'static str, &'static [&'static str]) {
        // The table is written in the order of the enum; a test holds it to that.
        &TABLE[self as usize]
    }

    /// `subspecies`, `variety`.
    pub fn word(self) -> &'static str {
        self.row().1
    }

    /// `subsp.`, `var.` (Rec. 5A).
    pub fn abbreviation(self) -> &'static str {
        self.row().2
    }

    /// What the word of a name above species says of its rank by its ending; a genus otherwise.
    pub fn of_single_word(word: &str) -> Rank {
        if word.ends_with("aceae") || OLD_FAMILIES.contains(&word) {
            Rank::Family
        } else if word.ends_with("oideae") {
            Rank::Subfamily
        } else if word.ends_with("eae") && word.len() > 5 {
            Rank::Tribe
        } else if word.ends_with("ales") && word.len() > 6 {
            Rank::Order
        } else {
            Rank::Genus
        }
    }

    /// A rank below the species from its written form; the flag is `notho-` (or `n-`).
    pub(super) fn below_species(word: &str) -> Option<(Rank, bool)> {
        let exact = |w: &str| {
            TABLE[Rank::Subspecies as usize..=Rank::Subform as usize]
                .iter()
                .find(|r| r.1 == w || r.2 == w || r.3.contains(&w))
                .map(|r| r.0)
        };
        if let Some(rank) = exact(word) {
            return Some((rank, false));
        }
        let rest = word.strip_prefix("notho").or_else(|| word.strip_prefix('n'))?;
        exact(rest).map(|rank| (rank, true))
    }

    /// A rank between genus and species from its written form.
    pub(super) fn within_genus(word: &str) -> Option<Rank> {
        TABLE[Rank::Subgenus as usize..=Rank::Subseries as usize]
            .iter()
            .find(|r| r.1 == word || r.2 == word || r.3.contains(&word))
            .map(|r| r.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_enum() {
        for (i, row) in TABLE.iter().enumerate() {
            assert_eq!(row.0 as usize, i);
        }
    }
}
