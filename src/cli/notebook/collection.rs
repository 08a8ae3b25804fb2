//! `notebook collection`: what the collection has of a list or a key, and what is wanted.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::notebook::collection::{Collection, collection};
use crate::text::name::list::NameList;

/// What the collection has of each taxon of a list or a key: vouchers, ripe seed, wood ...
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren collection --key field-weeds
  hilum notebook --in oren collection --list wanted.txt --wanted
  hilum notebook --in oren collection --list wanted.txt --csv gaps.csv

With --json
  {\"format\":1, \"collection\":{\"taxa\":[{\"name\", \"sure\", \"doubtful\", \"confirmed\",
  \"sheets\", \"ripe_seed\", \"wood\", ...}], \"beyond\", \"missing\", \"unnamed\"}}")]
pub struct Collected {
    /// A list of names, one a line, or a CSV with a column `name`
    #[arg(long, value_name = "FILE", conflicts_with = "key")]
    list: Option<PathBuf>,
    /// The taxa of a key
    #[arg(long, value_name = "KEY")]
    key: Option<String>,
    /// Write the table as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Only taxa without a sure specimen
    #[arg(long)]
    wanted: bool,
}

impl Collected {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let names = self.names()?;
        let summaries = desk.ledger.catalogue().summaries().map_err(desk::told)?;
        let mut held = collection(&names, &summaries);
        if self.wanted {
            held.taxa.retain(|t| t.is_wanted());
        }
        let found = held.taxa.iter().any(|t| t.is_wanted()) || !held.missing.is_empty();
        let outcome = if found { Outcome::Found } else { Outcome::Well };
        if let Some(path) = &self.csv {
            desk::write_file(terminal, path, table(&held)?.as_bytes())?;
            return Ok(outcome);
        }
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "collection": held}))?;
            return Ok(outcome);
        }
        print(terminal, &held)?;
        Ok(outcome)
    }

    fn names(&self) -> Result<Vec<String>> {
        if let Some(key) = &self.key {
            let key = input::key(key)?;
            let taxa = crate::sift::account::nameable(&key);
            return Ok(taxa.into_iter().map(|t| key.taxon(t).full_name()).collect());
        }
        let Some(path) = &self.list else {
            bail!("hold the collection against what? Name a list with --list or a key with --key");
        };
        let text = std::fs::read_to_string(path)
            .with_context(|| format!("{} cannot be read", path.display()))?;
        let (list, unread) = NameList::read(&text);
        for u in &unread {
            eprintln!("hilum: {}:{}: not used: {} ({})", path.display(), u.line, u.text, u.why);
        }
        Ok(list.entries().iter().filter(|e| e.accepted.is_none()).map(|e| e.name.clone()).collect())
    }
}

const HEAD: [&str; 11] = [
    "taxon",
    "sure",
    "doubtful",
    "confirmed",
    "sheets",
    "ripe seed",
    "other seed",
    "wood",
    "phytoliths",
    "individuals",
    "places",
];

fn table(held: &Collection) -> Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEAD)?;
    for t in &held.taxa {
        let figures = [
            t.sure as u64,
            t.doubtful as u64,
            t.confirmed as u64,
            t.sheets.into(),
            t.ripe_seed.into(),
            t.other_seed.into(),
            t.wood.into(),
            t.phytoliths.into(),
            t.individuals.into(),
            t.places as u64,
        ];
        let row = std::iter::once(t.name.clone()).chain(figures.iter().map(u64::to_string));
        writer.write_record(row)?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

fn print(terminal: &mut Terminal, held: &Collection) -> Result<()> {
    writeln!(
        terminal,
        "{:<36} {:>4} {:>5} {:>5} {:>6} {:>5} {:>5} {:>5} {:>6} {:>6}",
        "taxon", "sure", "doubt", "conf.", "sheets", "ripe", "wood", "phyt.", "plants", "places"
    )?;
    for t in &held.taxa {
        let name: String = crate::text::shown::shown(&t.name).chars().take(36).collect();
        writeln!(
            terminal,
            "{name:<36} {:>4} {:>5} {:>5} {:>6} {:>5} {:>5} {:>5} {:>6} {:>6}",
            t.sure,
            t.doubtful,
            t.confirmed,
            t.sheets,
            t.ripe_seed,
            t.wood,
            t.phytoliths,
            t.individuals,
            t.places
        )?;
    }
    let wanted = held.taxa.iter().filter(|t| t.is_wanted()).count();
    let sure: usize = held.taxa.iter().map(|t| t.sure).sum();
    let confirmed: usize = held.taxa.iter().map(|t| t.confirmed).sum();
    writeln!(
        terminal,
        "\n{wanted} of {} taxa without a sure specimen; {} not confirmed; {} without a name",
        held.taxa.len(),
        desk::count(sure - confirmed, "name"),
        desk::count(held.unnamed, "specimen")
    )?;
    if !held.beyond.is_empty() {
        let paper = desk::paper(terminal);
        let mut out = String::new();
        paper.hanging(&mut out, "not in the list: ", "  ", &held.beyond.join("; "), "");
        write!(terminal, "{out}")?;
    }
    for m in &held.missing {
        let store = m.store.as_ref().map(|s| format!(", was in {s}")).unwrap_or_default();
        writeln!(terminal, "missing: {} {}{store}", m.specimen, m.what)?;
    }
    Ok(())
}
