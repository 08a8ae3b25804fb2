//! `notebook export`: for other systems, as Darwin Core, or whole as records.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use clap::Args;
use serde::Serialize;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::number::Key;
use crate::notebook::record::{Id, Subject};
use crate::notebook::specimen::Specimen;
use crate::publish::darwin_core::withhold::Protected;
use crate::publish::darwin_core::{Told, archive, tables};

/// Write Darwin Core (CSV or archive), or the records themselves
///
/// Precise places are withheld for plants that notebook.yaml names under `protected` and for
/// gatherings with `withhold: yes`, and the file says so in the standard's terms.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren export --archive season.zip
  hilum notebook --in oren export 1040-1050 --csv -
  hilum notebook --in oren export --records all.yaml

In notebook.yaml stand the names, a line each: a genus, or a species
  protected:
    - Ophrys
    - Fritillaria persica

With --json (where no file is `-`)
  {\"format\":1, \"specimens\", \"determinations\", \"characters\", \"records\":
  how many of each were written, \"told\":[{\"specimen\", \"what\"}]}")]
pub struct Export {
    /// Numbers, or runs such as 1040-1050; without any, all
    numbers: Vec<String>,
    /// A Darwin Core archive: occurrences, history of names, characters seen
    #[arg(long, value_name = "FILE.zip")]
    archive: Option<PathBuf>,
    /// Simple Darwin Core, one row a specimen
    #[arg(long, value_name = "FILE.csv")]
    csv: Option<PathBuf>,
    /// The records as they stand in the ledger, corrections and precise places included
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
        let records = match &self.records {
            None => 0,
            Some(path) => self.write_records(&desk, &specimens, path, terminal)?,
        };
        let mut said = Said { format: 1, records, ..Said::default() };
        if self.archive.is_some() || self.csv.is_some() {
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
            said.specimens = tables.occurrences.len();
            said.determinations = tables.identifications.len();
            said.characters = tables.measurements.len();
            said.told = tables.told;
        }
        for told in &said.told {
            eprintln!("hilum: {}: {}", told.specimen, told.what);
        }
        let files = [&self.csv, &self.archive, &self.records];
        if files.into_iter().flatten().any(|p| p.as_os_str() == "-") {
            return Ok(Outcome::Well);
        }
        if terminal.json {
            terminal.print_json(&said)?;
        } else {
            let mut parts = Vec::new();
            if self.archive.is_some() || self.csv.is_some() {
                parts.push(desk::count(said.specimens, "specimen"));
                parts.push(desk::count(said.determinations, "determination"));
                parts.push(format!("{} seen", desk::count(said.characters, "character")));
            }
            if self.records.is_some() {
                parts.push(desk::count(said.records, "record"));
            }
            writeln!(terminal, "Written: {}", parts.join(", "))?;
        }
        Ok(Outcome::Well)
    }

    /// The records of the specimens, with every correction of one of them. Returns how many.
    fn write_records(
        &self,
        desk: &Desk,
        specimens: &[Specimen],
        path: &Path,
        terminal: &mut Terminal,
    ) -> Result<usize> {
        let all = desk.ledger.everything(&mut Vec::new()).map_err(desk::told)?;
        let wanted: BTreeSet<Key> = specimens.iter().map(|s| s.citation.key()).collect();
        let whole = self.numbers.is_empty();
        let mut ids: BTreeSet<&Id> = BTreeSet::new();
        // A correction may be corrected, and may stand before what it corrects.
        loop {
            let before = ids.len();
            ids.extend(
                all.iter()
                    .map(|p| &p.record)
                    .filter_map(|r| {
                        let of = match &r.subject {
                            Subject::Specimen(citation) => wanted.contains(&citation.key()),
                            Subject::Record(id) => ids.contains(id),
                        };
                        (whole || of).then_some(&r.id)
                    })
                    .collect::<Vec<_>>(),
            );
            if ids.len() == before {
                break;
            }
        }
        let mut text = String::new();
        let mut n = 0;
        for placed in all.iter().filter(|p| ids.contains(&p.record.id)) {
            text.push_str(&placed.record.document());
            n += 1;
        }
        desk::write_file(terminal, path, text.as_bytes())?;
        Ok(n)
    }
}

/// What was written, and what was not as it stands in the notebook.
#[derive(Default, Serialize)]
struct Said {
    format: u32,
    specimens: usize,
    determinations: usize,
    characters: usize,
    records: usize,
    told: Vec<Told>,
}
