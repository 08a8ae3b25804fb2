//! Specimens as Darwin Core (list of terms 2026-05-26): a simple CSV, or an archive with the
//! history of names and with what was measured.

pub mod archive;
mod identification;
mod measurement;
mod name;
mod occurrence;
mod table;
pub mod withhold;

pub use table::{Table, Term};

use serde::Serialize;

use crate::notebook::number::Citation;
use crate::notebook::record::Id;
use crate::notebook::settings::Settings;
use crate::notebook::specimen::Specimen;

use withhold::Protected;

/// Specimens in the three tables of an archive.
#[derive(Clone, Debug)]
pub struct Tables {
    /// One row a specimen; its current determination stands in it.
    pub occurrences: Table,
    /// Every determination, the current one included, of a specimen the oldest first.
    pub identifications: Table,
    /// Every character seen.
    pub measurements: Table,
    pub told: Vec<Told>,
}

/// Something about an export that its maker should know.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    pub specimen: Citation,
    pub what: String,
}

/// Lists within a field are parted so (Darwin Core's recommendation).
pub(crate) const BAR: &str = " | ";

/// Puts specimens into tables. Those without a gathering are left out, and told.
pub fn tables(specimens: &[Specimen], settings: &Settings, protected: &Protected) -> Tables {
    let mut out = Tables {
        occurrences: Table::new(occurrence::ROW_TYPE, occurrence::TERMS),
        identifications: Table::new(identification::ROW_TYPE, identification::TERMS),
        measurements: Table::new(measurement::ROW_TYPE, measurement::TERMS),
        told: Vec::new(),
    };
    for specimen in specimens {
        let mut tell = |what: String| {
            out.told.push(Told { specimen: specimen.citation.clone(), what });
        };
        let Some(gathering) = specimen.gatherings.first() else {
            tell("no gathering: left out".to_string());
            continue;
        };
        if specimen.gatherings.len() > 1 {
            tell("the number was given twice: only the first gathering is there".to_string());
        }
        for det in &specimen.determinations {
            if det.body.read_name().is_none() {
                tell(format!(
                    "\"{}\" is not written as the Code writes names: it stands as it is, under \
                     verbatimIdentification only",
                    det.body.name
                ));
            }
        }
        let withheld = protected.covers(specimen);
        if withheld {
            tell("its precise place is withheld".to_string());
        }
        let id = urn(&gathering.id);
        let mut row = occurrence::row(specimen, &gathering.body, &id, settings);
        if withheld {
            withhold::generalise(&mut row, &gathering.body, settings);
        }
        out.occurrences.push(&id, row);
        for det in specimen.determinations.iter().rev() {
            out.identifications.push(&id, identification::row(specimen, det));
        }
        for row in measurement::rows(specimen, &gathering.body) {
            out.measurements.push(&id, row);
        }
    }
    out
}

/// A worldwide identifier from a record's id: a UUID of version 8 (RFC 9562, section 5.8), whose
/// bits are those of the id, so that every export gives the same.
pub fn urn(id: &Id) -> String {
    let digest = crate::notebook::record::fingerprint(format!("hilum record {id}").as_bytes());
    let hex: Vec<char> = digest.trim_start_matches("sha256:").chars().collect();
    let part = |from: usize, to: usize| hex[from..to].iter().collect::<String>();
    let variant = match hex[16] {
        '0'..='3' => '8',
        '4'..='7' => '9',
        '8' | '9' | 'a' | 'b' => 'a',
        _ => 'b',
    };
    format!(
        "urn:uuid:{}-{}-8{}-{variant}{}-{}",
        part(0, 8),
        part(8, 12),
        part(13, 16),
        part(17, 20),
        part(20, 32)
    )
}
