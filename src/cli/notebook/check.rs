//! `notebook check`: everything that is wrong in the ledger's files.

use std::io::Write;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::text::finding::Severity;

/// Everything that is wrong in the notebook's files, with file, line and remedy
#[derive(Debug, Args)]
pub struct Check {}

impl Check {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let faults = desk.ledger.faults().map_err(desk::told)?;
        let found = faults.iter().any(|f| f.finding.severity > Severity::Note);
        let outcome = if found { Outcome::Found } else { Outcome::Well };
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "faults": faults}))?;
            return Ok(outcome);
        }
        desk::faults(terminal, &faults)?;
        let records: usize = desk.ledger.files().iter().map(|f| f.known.digests.len()).sum();
        writeln!(
            terminal,
            "{records} records in {} files, {} specimens; {} to look at",
            desk.ledger.files().len(),
            desk.ledger.catalogue().len(),
            faults.len()
        )?;
        Ok(outcome)
    }
}
