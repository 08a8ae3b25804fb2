//! How probable each taxon is before anything is seen: abundance, place, month.

use serde::Serialize;

use super::specimen::Specimen;
use super::table::Table;
use crate::key::{Key, Taxon};
use crate::text::language::fold;

/// The weight of a taxon of whose abundance nothing is said, beside others of which something is:
/// that of `occasional`. Our choice, as are all figures here.
pub const NOTHING_SAID: f64 = 0.3;

/// How much more is expected of a taxon whose account names one of the place's words.
pub const PLACE: f64 = 3.0;

/// What is left for a taxon in flower (or fruit) a month before or after its months, and in any
/// other month.
pub const NEXT_MONTH: f64 = 0.5;
pub const OUT_OF_SEASON: f64 = 0.1;

/// A weight for each row, and what went into it.
#[derive(Clone, Debug, PartialEq)]
pub struct Prior {
    pub weights: Vec<f64>,
    pub used: Used,
}

/// What the weights stand on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Used {
    /// Words of abundance in accounts.
    pub abundance: bool,
    pub place: bool,
    pub month: bool,
}

impl Prior {
    /// All taxa alike.
    pub fn equal(rows: usize) -> Prior {
        Prior { weights: vec![1.0; rows], used: Used::default() }
    }

    /// From what the accounts say of abundance, and what is known of the specimen.
    pub fn of(key: &Key, table: &Table, specimen: &Specimen) -> Prior {
        let mut out = Prior::equal(table.rows());
        for row in 0..table.rows() {
            let taxon = key.taxon(table.taxon(row));
            out.used.abundance |= taxon.abundance.is_some();
            out.used.place |= is_found_there(taxon, specimen);
            out.used.month |= season(taxon, specimen).is_some();
        }
        for (row, weight) in out.weights.iter_mut().enumerate() {
            let taxon = key.taxon(table.taxon(row));
            if out.used.abundance {
                *weight *= taxon.abundance.as_ref().map_or(NOTHING_SAID, |(_, w)| *w);
            }
            if is_found_there(taxon, specimen) {
                *weight *= PLACE;
            }
            *weight *= season(taxon, specimen).unwrap_or(1.0);
        }
        out
    }
}

fn is_found_there(taxon: &Taxon, specimen: &Specimen) -> bool {
    let found: Vec<String> = taxon.found.iter().map(|f| fold(f)).collect();
    specimen.place.iter().map(|p| fold(p)).any(|place| {
        !place.is_empty()
            && found.iter().any(|f| {
                f.split(|c: char| !c.is_alphanumeric() && c != '-')
                    .any(|w| w == place || w.strip_suffix('s') == Some(&place))
            })
    })
}

/// How well the month of gathering suits a taxon; `None` where nothing is said of it.
fn season(taxon: &Taxon, specimen: &Specimen) -> Option<f64> {
    let month = specimen.month.filter(|m| (1..=12).contains(m))?;
    let suits = |months: &[u8]| -> Option<f64> {
        let distance = months
            .iter()
            .map(|m| {
                let d = m.abs_diff(month);
                d.min(12u8.saturating_sub(d))
            })
            .min()?;
        Some(match distance {
            0 => 1.0,
            1 => NEXT_MONTH,
            _ => OUT_OF_SEASON,
        })
    };
    let flowers = specimen.in_flower.then(|| suits(&taxon.flowers)).flatten();
    let fruits = specimen.in_fruit.then(|| suits(&taxon.fruits)).flatten();
    match (flowers, fruits) {
        (Some(a), Some(b)) => Some(a * b),
        (a, b) => a.or(b),
    }
}
