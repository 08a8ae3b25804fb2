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
use crate::notebook::record::{Id, Placed};
use crate::notebook::scan::read_documents;
use crate::text::finding::Severity;

/// Take in the records of another notebook, or of an exported file, that are not here yet
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren merge ../oren-lund
  hilum notebook --in oren merge sent.yaml

With --json
  {\"format\":1, \"recorded\":[ids], \"already\", \"faults\"}")]
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
        let errors = faults.iter().any(|f| f.finding.severity == Severity::Error);
        let records: Vec<_> = placed.into_iter().map(|p| p.record).collect();
        let at = desk.moment();
        let hand = desk.writer()?.to_string();
        let done = desk.ledger.append(&records, &hand, &at).map_err(desk::told)?;
        if terminal.json {
            let ids: Vec<&str> = done.ids.iter().map(Id::as_str).collect();
            terminal.print_json(&serde_json::json!({
                "format": 1, "recorded": ids, "already": done.already, "faults": faults,
            }))?;
        } else {
            desk::faults(terminal, &faults)?;
            let taken = desk::count(done.ids.len(), "record");
            writeln!(terminal, "{taken} taken in; there already: {}", done.already)?;
        }
        Ok(if errors { Outcome::Found } else { Outcome::Well })
    }
}
