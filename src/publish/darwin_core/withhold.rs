//! Places of protected plants: not given away, and said so in the standard's terms.

use rust_decimal::Decimal;

use crate::notebook::record::Gathering;
use crate::notebook::settings::Settings;
use crate::notebook::specimen::Specimen;
use crate::text::name::list::{NameList, Unread};

use super::table::{Row, set};

/// The names whose places are withheld.
#[derive(Clone, Debug, Default)]
pub struct Protected {
    names: NameList,
    /// Nothing is withheld, whatever the names and the gatherings say.
    pub precise: bool,
}

/// What could lead to the place.
const WITHHELD: &[&str] = &[
    "locality",
    "verbatimCoordinates",
    "minimumElevationInMeters",
    "maximumElevationInMeters",
    "verbatimElevation",
    "associatedMedia",
    "occurrenceRemarks",
    "fieldNotes",
    "habitat",
];

/// Decimal places that are left of coordinates: a tenth of a degree.
const PLACES: u32 = 1;

/// Half the diagonal of a tenth of a degree at the equator, where it is longest, in metres,
/// rounded up: 0.05° × 111,320 m × √2 = 7,871.5 m.
const RADIUS: i64 = 7_872;

impl Protected {
    /// The names in the notebook's settings; those that are no names are handed back.
    pub fn of(settings: &Settings) -> (Protected, Vec<Unread>) {
        let (names, unread) = NameList::read(&settings.protected.join("\n"));
        (Protected { names, precise: false }, unread)
    }

    /// Whether the gathering says so, or any name that it was ever given is protected.
    pub fn covers(&self, specimen: &Specimen) -> bool {
        if self.precise {
            return false;
        }
        let said = specimen.gatherings.iter().any(|g| g.body.withhold);
        let mut names = specimen.determinations.iter().filter_map(|d| d.body.read_name());
        said || names.any(|n| self.names.covers(&n))
    }
}

/// Takes the precise place out of a row.
pub(super) fn generalise(row: &mut Row, g: &Gathering, settings: &Settings) {
    let mut gone = Vec::new();
    for term in WITHHELD {
        if row.remove(term).is_some() {
            gone.push(*term);
        }
    }
    if let Some(c) = &g.coordinates {
        let rounded = |v: Decimal| v.round_dp(PLACES).to_string();
        set(row, "decimalLatitude", rounded(c.latitude));
        set(row, "decimalLongitude", rounded(c.longitude));
        let own = g.uncertainty.as_ref().map_or(Decimal::ZERO, |u| u.metres);
        let radius = own.checked_add(Decimal::from(RADIUS)).unwrap_or(Decimal::from(RADIUS));
        set(row, "coordinateUncertaintyInMeters", radius.round().to_string());
        set(row, "dataGeneralizations", "coordinates rounded to a tenth of a degree");
    }
    if !gone.is_empty() {
        let ask = match settings.contact.first() {
            Some(contact) => format!("; available on request from {contact}"),
            None => String::new(),
        };
        let what = format!("withheld to protect the plant: {}{ask}", gone.join(", "));
        set(row, "informationWithheld", what);
    }
}
