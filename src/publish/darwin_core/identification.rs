//! The history of names: one row a determination (extension Identification History, 2025-07-10).

use crate::notebook::record::Determination;
use crate::notebook::specimen::{Kept, Specimen};

use super::table::{Row, set};
use super::{BAR, name, urn};

pub(super) const ROW_TYPE: &str = "http://rs.tdwg.org/dwc/terms/Identification";

pub(super) const TERMS: &[&str] = &[
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

/// A determination as a row of its own.
pub(super) fn row(specimen: &Specimen, det: &Kept<Determination>) -> Row {
    let mut row = Row::new();
    fill(&mut row, specimen, det);
    row
}

/// Sets the terms of a determination, in its own row or in its specimen's.
pub(super) fn fill(row: &mut Row, specimen: &Specimen, det: &Kept<Determination>) {
    let body = &det.body;
    set(row, "identificationID", urn(&det.id));
    set(row, "identifiedBy", body.by.join(BAR));
    if let Some(date) = &body.date {
        set(row, "dateIdentified", date.to_string());
    }
    set(row, "typeStatus", body.type_status.clone().unwrap_or_default());
    set(row, "identificationReferences", references(body));
    set(row, "identificationVerificationStatus", status(specimen, det));
    set(row, "identificationRemarks", remarks(body));
    name::fill(row, body);
}

/// The key with its issue, then other literature.
fn references(det: &Determination) -> String {
    let key = det.key.as_ref().map(|key| {
        let issue = key.issue.as_ref().map(|i| format!(", issue {i}")).unwrap_or_default();
        let hash = key.hash.as_ref().map(|h| format!(" ({h})")).unwrap_or_default();
        format!("{}{issue}{hash}", key.title)
    });
    key.into_iter().chain(det.references.iter().cloned()).collect::<Vec<_>>().join(BAR)
}

fn status(specimen: &Specimen, det: &Kept<Determination>) -> String {
    if det.body.is_confirmation() {
        return "confirmation".to_string();
    }
    let by: Vec<String> = specimen
        .confirmations(det)
        .map(|c| c.body.by.join(" & "))
        .filter(|b| !b.is_empty())
        .collect();
    match (specimen.confirmations(det).next(), by.is_empty()) {
        (None, _) => "unverified".to_string(),
        (Some(_), true) => "verified".to_string(),
        (Some(_), false) => format!("verified by {}", by.join(BAR)),
    }
}

/// What the name leaves out: open nomenclature and sensu, the verdict, the route, remarks.
fn remarks(det: &Determination) -> String {
    let mut out = Vec::new();
    if let Some(name) = det.read_name() {
        out.extend(name.remark.clone());
    }
    out.extend(det.verdict.clone());
    if !det.route.is_empty() {
        out.push(format!("route in the key: {}", det.route.join(", ")));
    }
    out.extend(det.remarks.clone());
    out.join("; ")
}
