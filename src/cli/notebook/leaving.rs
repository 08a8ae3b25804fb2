//! `notebook leaving`: what to look at before leaving the site.

use std::io::Write;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::notebook::desk::{Leaving, Ready, leaving};

/// Before leaving the site: whose name is not settled, and what would settle it
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren leaving field-weeds
  hilum notebook --in oren leaving my.key --date 2026-05-02

With --json
  {\"format\":1, \"gathered\": how many that day, \"unsettled\":[{\"specimen\", \"name\",
  \"stands\", \"parts\", \"note_fresh\", \"ask\"}]}")]
pub struct LeavingSite {
    /// The key to reckon with
    key: String,
    /// The day; without it today
    #[arg(long)]
    date: Option<String>,
}

impl LeavingSite {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let day = desk::date(self.date.as_deref())?.sort_key();
        let key = input::key(&self.key)?;
        let ready = Ready::of(&key);
        let catalogue = desk.ledger.catalogue();
        let mut out: Vec<Leaving> = Vec::new();
        let mut gathered = 0;
        for s in catalogue.summaries().map_err(desk::told)? {
            if s.date != day {
                continue;
            }
            gathered += 1;
            let specimen =
                catalogue.specimen(&s.citation.key(), &mut Vec::new()).map_err(desk::told)?;
            out.extend(specimen.and_then(|s| leaving(&ready, &s)));
        }
        let outcome = if out.is_empty() { Outcome::Well } else { Outcome::Found };
        if terminal.json {
            terminal.print_json(
                &serde_json::json!({"format": 1, "gathered": gathered, "unsettled": out}),
            )?;
            return Ok(outcome);
        }
        let paper = desk::paper(terminal);
        let mut text = String::new();
        for l in &out {
            let name = l.name.clone().unwrap_or_else(|| "no name yet".to_string());
            paper.title(&mut text, &format!("{} - {name}", l.specimen));
            paper.hanging(&mut text, "  ", "    ", &l.stands, "");
            let list = [
                ("  look for:   ", &l.parts),
                ("  note fresh: ", &l.note_fresh),
                ("  and:        ", &l.ask),
            ];
            for (head, items) in list {
                for (i, item) in items.iter().enumerate() {
                    let head = if i == 0 { head } else { "              " };
                    paper.hanging(&mut text, head, "                ", item, "");
                }
            }
        }
        write!(terminal, "{text}")?;
        let of = desk::count(gathered, "gathering");
        writeln!(terminal, "{} of {of} of that day not settled", out.len())?;
        Ok(outcome)
    }
}
