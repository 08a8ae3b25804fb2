//! A determination's name in the parts of the standard; doubt never stands in the name.

use crate::notebook::record::Determination;
use crate::text::name::{Rank, ScientificName};

use super::table::{Row, set};

/// Fills in the name: as written, and in parts where it follows the Code.
pub(super) fn fill(row: &mut Row, det: &Determination) {
    set(row, "verbatimIdentification", &det.name);
    if let Some(family) = &det.family {
        set(row, "family", family);
    }
    let Some(name) = det.read_name() else {
        if let Some(qualifier) = &det.qualifier {
            set(row, "identificationQualifier", qualifier);
        }
        return;
    };
    set(row, "identificationQualifier", name.qualifier_phrase().unwrap_or_default());
    set(row, "scientificName", name.full());
    set(row, "nomenclaturalCode", "ICN");
    if !name.formula.is_empty() {
        // A formula has no epithet of its own; the genus is said where the parents share it.
        if name.formula.iter().all(|n| n.genus == name.genus) {
            set(row, "genus", &name.genus);
        }
        return;
    }
    set(row, "scientificNameAuthorship", name.authorship.cited());
    set(row, "taxonRank", rank_word(&name));
    match name.rank() {
        Rank::Family => set(row, "family", &name.genus),
        rank if rank < Rank::Genus => {}
        _ => {
            set(row, "genus", &name.genus);
            set(row, "genericName", &name.genus);
        }
    }
    if let Some((_, epithet)) = &name.within_genus {
        set(row, "infragenericEpithet", epithet);
    }
    set(row, "specificEpithet", name.species.clone().unwrap_or_default());
    if let Some(last) = name.below_species.last() {
        set(row, "infraspecificEpithet", &last.epithet);
        set(row, "verbatimTaxonRank", &last.rank_as_written);
    }
    set(row, "cultivarEpithet", name.cultivar.clone().unwrap_or_default());
}

/// `subspecies`, `nothospecies`.
fn rank_word(name: &ScientificName) -> String {
    let hybrid = match name.rank() {
        Rank::Genus => name.hybrid.genus,
        Rank::Species => name.hybrid.species,
        Rank::Cultivar => false,
        _ => name.below_species.last().is_some_and(|e| e.hybrid),
    };
    format!("{}{}", if hybrid { "notho" } else { "" }, name.rank().word())
}
