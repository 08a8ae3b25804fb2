//! A gathering: who took what from where, when, and how it looked alive.

use crate::notebook::altitude::{Altitude, Uncertainty};
use crate::notebook::coordinates::Coordinates;
use crate::notebook::date::When;
use crate::notebook::value::Fields;

use super::field::fields;

fields! {
    /// One gathering under one number. Only the date is required; the rest can come later by a
    /// correction or a note.
    pub struct Gathering {
        required {
            date: When = "date",
        }
        /// Companions, in the order they are to be named.
        with: Vec<String> = "with",
        /// The date as the field book has it, where it was read from elsewhere.
        date_as_written: Option<String> = "date as written",
        /// The place in words.
        place: Option<String> = "place",
        country: Option<String> = "country",
        /// ISO 3166-1, two letters.
        country_code: Option<String> = "country code",
        province: Option<String> = "province",
        coordinates: Option<Coordinates> = "coordinates",
        /// `EPSG:4326`, else the datum's name.
        datum: Option<String> = "datum",
        uncertainty: Option<Uncertainty> = "uncertainty",
        altitude: Option<Altitude> = "altitude",
        habitat: Option<String> = "habitat",
        substrate: Option<String> = "substrate",
        /// How much of it stood there, in words.
        abundance: Option<String> = "abundance",
        /// How many plants stood there.
        plants: Option<u32> = "plants",
        habit: Option<String> = "habit",
        height: Option<String> = "height",
        /// vegetative, flowering, fruiting.
        stage: Vec<String> = "stage",
        /// What drying takes away: colour, scent, sap and more, each by its name.
        fresh: Fields = "fresh",
        /// Plants that stood with it.
        associated: Vec<String> = "associated",
        permit: Option<String> = "permit",
        photographs: Vec<String> = "photographs",
        project: Option<String> = "project",
        /// native, cultivated, casual ...
        establishment: Option<String> = "establishment",
        /// The precise place is not to be given away.
        withhold: bool = "withhold",
        remarks: Option<String> = "remarks",
        /// Where the record was taken from: a table and its row.
        source: Option<String> = "source",
    }
}
