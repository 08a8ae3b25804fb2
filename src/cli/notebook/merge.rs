//! `notebook merge`: what another ledger has and this one lacks.

use std::collections::BTreeSet;
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
use crate::notebook::numbering::Series;
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
  {\"format\":1, \"recorded\":[ids], \"already\", \"faults\",
  \"given_twice\":[numbers that stand for two gatherings since]}

Exit status: 0 taken in, 1 with faults or a number given twice, 2 not read")]
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
        let before = repeats(&desk)?;
        let at = desk.moment();
        let hand = desk.writer()?.to_string();
        let done = desk.ledger.append(&records, &hand, &at).map_err(desk::told)?;
        let mut twice = repeats(&desk)?;
        twice.retain(|number| !before.contains(number));
        if terminal.json {
            let ids: Vec<&str> = done.ids.iter().map(Id::as_str).collect();
            terminal.print_json(&serde_json::json!({
                "format": 1, "recorded": ids, "already": done.already, "faults": faults,
                "given_twice": twice,
            }))?;
        } else {
            desk::faults(terminal, &faults)?;
            let taken = desk::count(done.ids.len(), "record");
            writeln!(terminal, "{taken} taken in; there already: {}", done.already)?;
            if !twice.is_empty() {
                let twice: Vec<&str> = twice.iter().map(String::as_str).collect();
                let text = format!("{}: `hilum notebook numbers` shows them", twice.join(", "));
                let mut out = String::new();
                desk::paper(terminal).hanging(&mut out, "given twice now: ", "  ", &text, "");
                write!(terminal, "{out}")?;
            }
        }
        Ok(if errors || !twice.is_empty() { Outcome::Found } else { Outcome::Well })
    }
}

/// The numbers that stand for several gatherings, each with its collector.
fn repeats(desk: &Desk) -> Result<BTreeSet<String>> {
    let series = desk.ledger.catalogue().numbering().map_err(desk::told)?;
    let of = |s: Series| {
        let collector = s.collector;
        s.repeats.into_iter().map(move |r| format!("{collector} {}", r.number))
    };
    Ok(series.into_iter().flat_map(of).collect())
}
