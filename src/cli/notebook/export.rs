//! `notebook export`: for other systems, as Darwin Core, or whole as records.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::publish::darwin_core::withhold::Protected;
use crate::publish::darwin_core::{archive, tables};

/// Write Darwin Core (CSV or archive), or the records themselves
///
/// Precise places are withheld for plants that notebook.yaml names under `protected` and for
/// gatherings with `withhold: yes`, and the file says so in the standard's terms.
#[derive(Debug, Args)]
pub struct Export {
    /// Numbers, or runs such as 1040-1050; without any, all
    numbers: Vec<String>,
    /// A Darwin Core archive: occurrences, history of names, characters seen
    #[arg(long, value_name = "FILE.zip")]
    archive: Option<PathBuf>,
    /// Simple Darwin Core, one row a specimen
    #[arg(long, value_name = "FILE.csv")]
    csv: Option<PathBuf>,
    /// The records as they stand in the ledger, corrections included
    #[arg(long, value_name = "FILE.yaml")]
    records: Option<PathBuf>,
    /// Withhold nothing: for the keeper's own use
    #[arg(long)]
    precise: bool,
}

impl Export {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        if self.archive.is_none() && self.csv.is_none() && self.records.is_none() {
            bail!("export to what? Give --archive FILE.zip, --csv FILE.csv or --records FILE.yaml");
        }
        let desk = Desk::open(place)?;
        let specimens = desk.several(&self.numbers)?;
        if let Some(path) = &self.records {
            let mut text = String::new();
            for placed in desk.ledger.everything(&mut Vec::new()).map_err(desk::told)? {
                text.push_str(&placed.record.document());
            }
            desk::write_file(terminal, path, text.as_bytes())?;
        }
        if self.archive.is_none() && self.csv.is_none() {
            return Ok(Outcome::Well);
        }
        let (mut protected, unread) = Protected::of(&desk.settings);
        protected.precise = self.precise;
        // A name that cannot be read protects nothing, and must not seem to.
        if let Some(u) = unread.first() {
            bail!("notebook.yaml: protected: \"{}\": {}; mend the name first", u.text, u.why);
        }
        let tables = tables(&specimens, &desk.settings, &protected);
        if let Some(path) = &self.csv {
            desk::write_file(terminal, path, tables.occurrences.csv(None).as_bytes())?;
        }
        if let Some(path) = &self.archive {
            let date = desk::today().to_string();
            let bytes = archive::write(&tables, &desk.settings, &date)?;
            desk::write_file(terminal, path, &bytes)?;
        }
        for told in &tables.told {
            eprintln!("hilum: {}: {}", told.specimen, told.what);
        }
        let to_stdout =
            [&self.csv, &self.archive].into_iter().flatten().any(|p| p.as_os_str() == "-");
        if !to_stdout {
            writeln!(
                terminal,
                "{}, {}, {} seen",
                desk::count(tables.occurrences.len(), "specimen"),
                desk::count(tables.identifications.len(), "determination"),
                desk::count(tables.measurements.len(), "character")
            )?;
        }
        Ok(Outcome::Well)
    }
}
