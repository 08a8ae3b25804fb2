//! Scientific names by the Code: read into parts, written again, compared.
//!
//! Knows nothing of any list of names that exist; only of how a name is written.

mod author;
mod parse;
mod qualifier;
mod rank;
mod token;
mod write;

pub mod list;

pub use author::{Authorship, Team};
pub use parse::read;
pub use qualifier::{Doubt, Qualifier};
pub use rank::Rank;

use serde::Serialize;

/// A name read into its parts.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ScientificName {
    /// Exactly as it was given.
    pub verbatim: String,
    /// The genus, or the only word of a name above it (`Rosaceae`); `×` is in [`Self::hybrid`].
    pub genus: String,
    /// A subdivision of the genus: `subgenus Albersia`.
    pub within_genus: Option<(Rank, String)>,
    pub species: Option<String>,
    /// Below the species, outermost first: `subsp. fuchsii var. expansus`.
    pub below_species: Vec<Epithet>,
    /// Without quotation marks.
    pub cultivar: Option<String>,
    pub hybrid: Hybrid,
    /// The authors of the name as a whole; for an autonym nothing (Art. 46 Ex. 1).
    pub authorship: Authorship,
    /// The authors after the species' epithet where something follows it.
    pub species_authorship: Authorship,
    /// The ends of a hybrid formula, at least two; empty for every other name.
    pub formula: Vec<ScientificName>,
    pub qualifiers: Vec<Qualifier>,
    /// `sp. 1`, `sp. nov.`, `spp.`: what stands where an epithet would, as written.
    pub open: Option<String>,
    /// `s.l.`, `auct.`, `sensu Mill.`, `nom. nud.`: kept, no part of the name.
    pub remark: Option<String>,
}

/// An epithet below the species with its rank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Epithet {
    pub rank: Rank,
    /// The rank as written: `ssp.`, `nothovar.`.
    pub rank_as_written: String,
    pub epithet: String,
    /// `nothosubsp.`, or `×` before the epithet.
    pub hybrid: bool,
    pub authorship: Authorship,
}

/// Where a name says that it is a hybrid's (Art. H.3.1).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Hybrid {
    /// `×Agropogon`.
    pub genus: bool,
    /// `Salix ×capreola`.
    pub species: bool,
}

/// Why a text is no name, and where in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{what}")]
pub struct NameFault {
    pub what: String,
    pub remedy: String,
    /// Byte offsets in the text as given.
    pub start: usize,
    pub end: usize,
}

impl ScientificName {
    /// The rank of the name, qualifiers left aside.
    pub fn rank(&self) -> Rank {
        if self.cultivar.is_some() {
            return Rank::Cultivar;
        }
        if let Some(last) = self.below_species.last() {
            return last.rank;
        }
        if self.species.is_some() {
            return Rank::Species;
        }
        match &self.within_genus {
            Some((rank, _)) => *rank,
            None => Rank::of_single_word(&self.genus),
        }
    }

    /// Whether `×`, `notho-` or a formula says that the taxon is a hybrid.
    pub fn is_hybrid(&self) -> bool {
        self.hybrid.genus
            || self.hybrid.species
            || !self.formula.is_empty()
            || self.below_species.iter().any(|e| e.hybrid)
    }

    /// `Rosa gallica var. gallica`: the last epithet repeats the species' (Art. 26.1, 46 Ex. 1).
    pub fn is_autonym(&self) -> bool {
        match (self.below_species.last(), &self.species) {
            (Some(last), Some(species)) => last.epithet == *species,
            _ => false,
        }
    }

    /// Whether the determiner expressed any doubt.
    pub fn is_qualified(&self) -> bool {
        !self.qualifiers.is_empty() || self.formula.iter().any(ScientificName::is_qualified)
    }

    /// The phrase of `identificationQualifier`: the first qualifier with what it stands before
    /// (`cf. var. oxyadenia`); `sp. 1` and its like where there is no other.
    pub fn qualifier_phrase(&self) -> Option<String> {
        if let Some(first) = self.qualifiers.first() {
            return Some(first.phrase.clone());
        }
        if let Some(phrase) = self.formula.iter().find_map(ScientificName::qualifier_phrase) {
            return Some(phrase);
        }
        let open = self.open.as_deref()?;
        (!matches!(open, "sp." | "sp" | "spp." | "spp" | "indet." | "indet"))
            .then(|| open.to_string())
    }
}
