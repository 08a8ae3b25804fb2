//! The words by which a determiner expresses doubt: cf., aff., ?.
//!
//! Herbaria read cf. as "does not exactly match" and palaeontologists as plain uncertainty
//! (Bridson & Forman 1999; Bengtson 1988), so a qualifier is kept as written and never turned
//! into a figure.

use serde::Serialize;

use super::rank::Rank;

/// Which word expresses the doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Doubt {
    /// cf. (confer): does not exactly match, but should be compared.
    Compare,
    /// aff. (affinis): does not exactly match, but is related.
    Related,
    /// `?`, forsan, and their like: doubt.
    Doubtful,
    /// haud, not: disagrees with an earlier determination.
    Denied,
}

/// A qualifier in its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Qualifier {
    pub doubt: Doubt,
    /// `cf.`, as written.
    pub word: String,
    /// The rank of what it stands before; of what it follows for a `?` behind.
    pub on: Rank,
    /// The word with what it stands before, without authors: `aff. agrifolia var. oxyadenia`.
    pub phrase: String,
}

impl Doubt {
    pub(super) fn of(word: &str) -> Option<Doubt> {
        Some(match word {
            "cf." | "cf" | "cfr." | "conf." | "confer" => Doubt::Compare,
            "aff." | "aff" | "affinis" => Doubt::Related,
            "?" | "forsan" | "prob." | "probably" => Doubt::Doubtful,
            "haud" | "not" => Doubt::Denied,
            _ => return None,
        })
    }
}
