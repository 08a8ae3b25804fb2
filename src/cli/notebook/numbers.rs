//! `notebook numbers`: the next number, the gaps and the repeats.

use std::io::Write;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};

/// The next number of each series, its gaps and repeats
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren numbers

With --json
  {\"format\":1, \"series\":[{\"collector\", \"prefix\", \"first\", \"last\", \"count\",
  \"gaps\":[[from, to]], \"repeats\", ...}], \"next\":[numbers]}

Exit status: 0 no gap and no repeat, 1 some, 2 it could not be read")]
pub struct Numbers {}

/// More gaps than a person reads in a row.
const MOST: usize = 40;

impl Numbers {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let series = desk.ledger.catalogue().numbering().map_err(desk::told)?;
        let found = series.iter().any(|s| !s.gaps.is_empty() || !s.repeats.is_empty());
        let outcome = if found { Outcome::Found } else { Outcome::Well };
        if terminal.json {
            let next: Vec<String> = series.iter().map(|s| s.next().to_string()).collect();
            terminal
                .print_json(&serde_json::json!({"format": 1, "series": series, "next": next}))?;
            return Ok(outcome);
        }
        if series.is_empty() {
            writeln!(terminal, "No gathering yet; the first number is 1.")?;
        }
        let paper = desk::paper(terminal);
        let mut out = String::new();
        for s in &series {
            let prefix =
                if s.prefix.is_empty() { String::new() } else { format!(", {}", s.prefix.trim()) };
            let range = match s.count {
                0 => String::new(),
                1 => format!(": {}", s.first),
                n => format!(": {} to {}, {n} numbers", s.first, s.last),
            };
            let unnumbered = match s.unnumbered {
                0 => String::new(),
                n => format!("; {n} without a number"),
            };
            paper.title(&mut out, &format!("{}{prefix}{range}{unnumbered}", s.collector));
            paper.hanging(&mut out, "  next:    ", "           ", &s.next().to_string(), "");
            if !s.gaps.is_empty() {
                let shown = s.gaps.iter().take(MOST).map(|(a, b)| match a == b {
                    true => a.to_string(),
                    false => format!("{a}-{b}"),
                });
                let shown: Vec<String> = shown.collect();
                let more = s.gaps.len().saturating_sub(MOST);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                let missing = desk::count(s.missing() as usize, "number");
                let text = format!("{}{more} ({missing})", shown.join(", "));
                paper.hanging(&mut out, "  missing: ", "           ", &text, "");
            }
            if !s.repeats.is_empty() {
                let text: Vec<String> = s.repeats.iter().map(|r| r.number.to_string()).collect();
                paper.hanging(&mut out, "  twice:   ", "           ", &text.join(", "), "");
            }
        }
        write!(terminal, "{out}")?;
        Ok(outcome)
    }
}
