//! What was seen and measured: one row a character (MeasurementOrFact).

use crate::notebook::record::{Gathering, Observation, Seen};
use crate::notebook::specimen::Specimen;

use super::table::{Row, set};
use super::{BAR, urn};

pub(super) const ROW_TYPE: &str = "http://rs.tdwg.org/dwc/terms/MeasurementOrFact";

pub(super) const TERMS: &[&str] = &[
    "measurementID",
    "measurementType",
    "measurementValue",
    "measurementUnit",
    "measurementDeterminedBy",
    "measurementDeterminedDate",
    "measurementMethod",
    "measurementRemarks",
];

/// What the collector noted fresh, then everything observed, in order.
pub(super) fn rows(specimen: &Specimen, gathering: &Gathering) -> Vec<Row> {
    let mut out = Vec::new();
    let height = gathering.height.as_ref().map(|h| ("height of the plant", h.clone()));
    let fresh = gathering.fresh.iter().map(|(name, value)| (name.as_str(), value.in_a_line()));
    for (name, value) in fresh.chain(height) {
        let mut row = Row::new();
        set(&mut row, "measurementType", name);
        set(&mut row, "measurementValue", value);
        set(&mut row, "measurementDeterminedBy", &specimen.citation.collector);
        set(&mut row, "measurementDeterminedDate", gathering.date.to_string());
        set(&mut row, "measurementMethod", "noted fresh in the field");
        out.push(row);
    }
    for kept in &specimen.observations {
        for (i, seen) in kept.body.seen.iter().enumerate() {
            let mut row = seen_row(&kept.body, seen);
            set(&mut row, "measurementID", format!("{}#{}", urn(&kept.id), i + 1));
            out.push(row);
        }
    }
    out
}

fn seen_row(sitting: &Observation, seen: &Seen) -> Row {
    let mut row = Row::new();
    match (&seen.character, &seen.value) {
        (Some(character), Some(value)) => {
            set(&mut row, "measurementType", character);
            set(&mut row, "measurementValue", value);
            let remark = seen.remark.as_ref().map(|r| format!("; {r}")).unwrap_or_default();
            set(&mut row, "measurementRemarks", format!("{}{remark}", seen.says));
        }
        _ => {
            let character = seen.character.as_deref().unwrap_or("observation");
            set(&mut row, "measurementType", character);
            set(&mut row, "measurementValue", &seen.says);
            set(&mut row, "measurementRemarks", seen.remark.clone().unwrap_or_default());
        }
    }
    set(&mut row, "measurementUnit", seen.unit.clone().unwrap_or_default());
    set(&mut row, "measurementDeterminedBy", sitting.by.join(BAR));
    if let Some(date) = &sitting.date {
        set(&mut row, "measurementDeterminedDate", date.to_string());
    }
    let condition = seen.condition.as_ref().or(sitting.condition.as_ref());
    let key = sitting.key.as_ref().map(|k| format!("in the sentences of: {}", k.title));
    let method: Vec<String> =
        condition.map(|c| format!("seen {c}")).into_iter().chain(key).collect();
    set(&mut row, "measurementMethod", method.join("; "));
    row
}
