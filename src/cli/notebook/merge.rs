//! `notebook merge`: what another ledger has and this one lacks.

use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

use anyhow::{Context, Result};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::disk::ThisDisk;
use crate::notebook::ledger::Ledger;
use crate::notebook::record::Placed;
use crate::notebook::scan::read_documents;

/// Take in the records of another notebook, or of an exported file, that are not here yet
#[derive(Debug, Args)]
pub struct Merge {
    /// A notebook's folder, or a file of records
    other: PathBuf,
}

impl Merge {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let mut faults = Vec::new();
        let placed: Vec<Placed> = if self.other.is_dir() {
            let other = Ledger::open(&self.other, Arc::new(ThisDisk)).map_err(desk::told)?;
            other.everything(&mut faults).map_err(desk::told)?
        } else {
            let bytes = std::fs::read(&self.other)
                .with_context(|| format!("{} cannot be read", self.other.display()))?;
            read_documents(&bytes, &self.other.to_string_lossy(), &mut faults)
        };
        let errors = desk::faults(terminal, &faults)?;
        let records: Vec<_> = placed.into_iter().map(|p| p.record).collect();
        let at = desk.moment();
        let hand = desk.writer()?.to_string();
        let done = desk.ledger.append(&records, &hand, &at).map_err(desk::told)?;
        writeln!(
            terminal,
            "{} records taken in, {} were there already",
            done.ids.len(),
            done.already
        )?;
        Ok(if errors { Outcome::Found } else { Outcome::Well })
    }
}
