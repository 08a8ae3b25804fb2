//! A specimen as an occurrence, its current determination in it.

use crate::notebook::date::When;
use crate::notebook::record::{Gathering, Part};
use crate::notebook::settings::Settings;
use crate::notebook::specimen::Specimen;

use super::table::{Row, set};
use super::{BAR, identification};

pub(super) const ROW_TYPE: &str = "http://rs.tdwg.org/dwc/terms/Occurrence";

pub(super) const TERMS: &[&str] = &[
    "occurrenceID",
    "type",
    "license",
    "institutionCode",
    "collectionCode",
    "basisOfRecord",
    "informationWithheld",
    "dataGeneralizations",
    "recordNumber",
    "recordedBy",
    "occurrenceStatus",
    "reproductiveCondition",
    "degreeOfEstablishment",
    "preparations",
    "disposition",
    "associatedMedia",
    "associatedTaxa",
    "occurrenceRemarks",
    "eventDate",
    "year",
    "month",
    "day",
    "verbatimEventDate",
    "habitat",
    "fieldNotes",
    "country",
    "countryCode",
    "stateProvince",
    "locality",
    "minimumElevationInMeters",
    "maximumElevationInMeters",
    "verbatimElevation",
    "decimalLatitude",
    "decimalLongitude",
    "geodeticDatum",
    "coordinateUncertaintyInMeters",
    "verbatimCoordinates",
    "previousIdentifications",
    "identificationID",
    "verbatimIdentification",
    "identificationQualifier",
    "typeStatus",
    "identifiedBy",
    "dateIdentified",
    "identificationReferences",
    "identificationVerificationStatus",
    "identificationRemarks",
    "scientificName",
    "scientificNameAuthorship",
    "family",
    "genus",
    "genericName",
    "infragenericEpithet",
    "specificEpithet",
    "infraspecificEpithet",
    "cultivarEpithet",
    "taxonRank",
    "verbatimTaxonRank",
    "nomenclaturalCode",
];

/// The row of a specimen.
pub(super) fn row(specimen: &Specimen, g: &Gathering, id: &str, settings: &Settings) -> Row {
    let mut row = Row::new();
    let mut put = |term, value: Option<&str>| set(&mut row, term, value.unwrap_or_default());
    put("occurrenceID", Some(id));
    put("type", Some("PhysicalObject"));
    put("basisOfRecord", Some("PreservedSpecimen"));
    put("occurrenceStatus", Some("detected"));
    put("license", settings.licence.as_deref());
    put("institutionCode", settings.institution.as_deref());
    put("collectionCode", settings.collection.as_deref());
    put("recordNumber", Some(&specimen.citation.number.cited()));
    let people = std::iter::once(&specimen.citation.collector).chain(&g.with);
    put("recordedBy", Some(&join(people)));
    put("reproductiveCondition", Some(&g.stage.join(BAR)));
    put("degreeOfEstablishment", g.establishment.as_deref());
    put("preparations", Some(&preparations(specimen)));
    put("disposition", Some(&disposition(specimen)));
    put("associatedMedia", Some(&g.photographs.join(BAR)));
    put("associatedTaxa", Some(&g.associated.join(BAR)));
    put("occurrenceRemarks", Some(&remarks(g)));
    let notes: Vec<String> = specimen.notes.iter().map(|n| n.body.text.clone()).collect();
    put("fieldNotes", Some(&notes.join(BAR)));
    put("habitat", Some(&habitat(g)));
    put("country", g.country.as_deref().or(settings.country.as_deref()));
    put("countryCode", g.country_code.as_deref().or(settings.country_code.as_deref()));
    put("stateProvince", g.province.as_deref());
    put("locality", g.place.as_deref());
    date(&mut row, &g.date, g.date_as_written.as_deref());
    place(&mut row, g, settings);
    if let Some(current) = specimen.current() {
        identification::fill(&mut row, specimen, current.named);
        let earlier = specimen.determinations.iter().rev();
        let earlier = earlier.filter(|d| d.id != current.named.id && !d.body.is_confirmation());
        let earlier: Vec<&String> = earlier.map(|d| &d.body.name).collect();
        set(&mut row, "previousIdentifications", join(earlier));
    }
    row
}

fn join<'a>(words: impl IntoIterator<Item = &'a String>) -> String {
    words.into_iter().map(String::as_str).collect::<Vec<_>>().join(BAR)
}

/// Partial dates as the standard has them: parts dropped from the right only.
fn date(row: &mut Row, when: &When, as_written: Option<&str>) {
    set(row, "eventDate", when.to_string());
    set(row, "verbatimEventDate", as_written.unwrap_or_default());
    let last = when.last.unwrap_or(when.first);
    if last.year == when.first.year {
        set(row, "year", when.first.year.to_string());
    }
    if when.last.is_none() {
        let figure = |n: Option<i8>| n.map(|n| n.to_string()).unwrap_or_default();
        set(row, "month", figure(when.first.month));
        set(row, "day", figure(when.first.day));
    }
}

fn place(row: &mut Row, g: &Gathering, settings: &Settings) {
    if let Some(a) = &g.altitude {
        set(row, "minimumElevationInMeters", a.lowest.to_string());
        set(row, "maximumElevationInMeters", a.highest.to_string());
        set(row, "verbatimElevation", &a.verbatim);
    }
    if let Some(c) = &g.coordinates {
        set(row, "decimalLatitude", c.latitude.to_string());
        set(row, "decimalLongitude", c.longitude.to_string());
        set(row, "verbatimCoordinates", &c.verbatim);
        let datum = g.datum.as_deref().or(settings.datum.as_deref());
        set(row, "geodeticDatum", datum.unwrap_or("not recorded"));
        if let Some(u) = &g.uncertainty {
            set(row, "coordinateUncertaintyInMeters", u.metres.to_string());
        }
    }
}

fn habitat(g: &Gathering) -> String {
    let substrate = g.substrate.as_ref().map(|s| format!("on {}", s.trim_start_matches("on ")));
    g.habitat.iter().cloned().chain(substrate).collect::<Vec<_>>().join("; ")
}

/// Habit, abundance and what was noted fresh, as a label would have them.
fn remarks(g: &Gathering) -> String {
    let mut out: Vec<String> = Vec::new();
    out.extend(g.habit.clone());
    out.extend(g.height.as_ref().map(|h| format!("{h} high")));
    out.extend(g.abundance.clone());
    out.extend(g.plants.map(|n| format!("{n} plants seen")));
    out.extend(g.fresh.iter().map(|(name, value)| format!("{name}: {}", value.in_a_line())));
    out.extend(g.permit.as_ref().map(|p| format!("permit {p}")));
    out.extend(g.remarks.clone());
    out.join("; ")
}

/// `sheet (pressed) | 2 seed packets`: what there is, and how it was kept.
fn preparations(specimen: &Specimen) -> String {
    let line = |p: &Part| {
        let kept = p.condition.as_ref().map(|c| format!(" ({c})")).unwrap_or_default();
        let many = if p.how_many() == 1 { String::new() } else { format!("{} × ", p.how_many()) };
        format!("{many}{}{kept}", p.what)
    };
    specimen.parts.iter().map(|k| line(&k.body)).collect::<Vec<_>>().join(BAR)
}

/// What became of the parts: said once where it is the same for all.
fn disposition(specimen: &Specimen) -> String {
    let all: Vec<&Part> = specimen.parts.iter().map(|k| &k.body).collect();
    match all.split_first() {
        None => String::new(),
        Some((first, rest)) if rest.iter().all(|p| p.standing() == first.standing()) => {
            first.standing().to_string()
        }
        Some(_) => {
            let lines = all.iter().map(|p| format!("{}: {}", p.what, p.standing()));
            lines.collect::<Vec<_>>().join(BAR)
        }
    }
}
