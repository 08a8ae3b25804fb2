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
#[command(after_help = "\
Examples
  hilum notebook --in oren check

With --json
  {\"format\":1, \"faults\":[{\"file\", \"line\", \"finding\"}]}

Exit status: 0 nothing but notes, 1 faults, 2 it could not be read")]
pub struct Check {}

impl Check {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let mut faults = desk.ledger.faults().map_err(desk::told)?;
        faults.extend(desk.ledger.in_the_future(&desk::today()).map_err(desk::told)?);
        let found = faults.iter().any(|f| f.finding.severity > Severity::Note);
        let outcome = if found { Outcome::Found } else { Outcome::Well };
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "faults": faults}))?;
            return Ok(outcome);
        }
        let paper = desk::paper(terminal);
        for fault in &faults {
            let text = format!("{}\n", desk::lines_shown(&fault.to_string()));
            write!(terminal, "{}", paper.fit(&text))?;
        }
        let records: usize = desk.ledger.files().iter().map(|f| f.known.digests.len()).sum();
        writeln!(
            terminal,
            "{} in {}, {}; {} to look at",
            desk::count(records, "record"),
            desk::count(desk.ledger.files().len(), "file"),
            desk::count(desk.ledger.catalogue().len(), "specimen"),
            faults.len()
        )?;
        Ok(outcome)
    }
}
