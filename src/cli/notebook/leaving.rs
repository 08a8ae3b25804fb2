//! `notebook leaving`: what to look at before leaving the site.

use std::io::Write;

use anyhow::{Result, bail};
use clap::Args;
use serde::Serialize;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::key::bundled;
use crate::notebook::desk::{Leaving, Ready, leaving};
use crate::notebook::record::Part;
use crate::notebook::specimen::Specimen;

/// Before leaving the site: whose name is not settled, and what would settle it
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren leaving field-weeds
  hilum notebook --in oren leaving my.key --date 2026-05-02

With --json
  {\"format\":1, \"gathered\": how many that day, \"unsettled\":[{\"specimen\", \"name\",
  \"stands\", \"parts\", \"note_fresh\", \"ask\", \"kept\":[parts that are there],
  \"on_the_plant\": whether only wood, bark, seed or fruit is there, so that the
  questions are for the plant}]}")]
pub struct LeavingSite {
    /// The key to reckon with
    key: Option<String>,
    /// The day; without it today
    #[arg(long)]
    date: Option<String>,
}

impl LeavingSite {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let day = desk::date(self.date.as_deref())?.sort_key();
        let Some(key) = &self.key else {
            let inside: Vec<&str> = bundled::ALL.iter().map(|b| b.name).collect();
            bail!(
                "reckon with which key? Name a file, or one of those inside: {}",
                inside.join(", ")
            );
        };
        let key = input::key(key)?;
        let ready = Ready::of(&key);
        let catalogue = desk.ledger.catalogue();
        let mut out: Vec<Unsettled> = Vec::new();
        let mut gathered = 0;
        for s in catalogue.summaries().map_err(desk::told)? {
            if s.date != day {
                continue;
            }
            gathered += 1;
            let specimen =
                catalogue.specimen(&s.citation.key(), &mut Vec::new()).map_err(desk::told)?;
            let unsettled = |s: Specimen| {
                let (kept, on_the_plant) = kept(&s);
                Some(Unsettled { leaving: leaving(&ready, &s)?, kept, on_the_plant })
            };
            out.extend(specimen.and_then(unsettled));
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
        for Unsettled { leaving: l, kept, on_the_plant } in &out {
            let name = l.name.clone().unwrap_or_else(|| "no name yet".to_string());
            let kept =
                if kept.is_empty() { String::new() } else { format!(" [{}]", kept.join(", ")) };
            paper.title(&mut text, &format!("{}{kept} - {name}", l.specimen));
            paper.hanging(&mut text, "  ", "    ", &l.stands, "");
            let mut items = |head: &str, more: &str, items: &[String]| {
                for (i, item) in items.iter().enumerate() {
                    let head = if i == 0 { head } else { more };
                    paper.hanging(&mut text, head, &format!("{more}  "), item, "");
                }
            };
            let blank = "              ";
            items("  look for:   ", blank, &l.parts);
            if *on_the_plant && !(l.note_fresh.is_empty() && l.ask.is_empty()) {
                // None of it can be seen on what was taken, today or later.
                items("  ", "  ", &["on the plant, while you are here:".to_string()]);
                items("    ", "    ", &l.note_fresh);
                items("    ", "    ", &l.ask);
            } else {
                items("  note fresh: ", blank, &l.note_fresh);
                items("  and:        ", blank, &l.ask);
            }
        }
        write!(terminal, "{text}")?;
        let of = desk::count(gathered, "gathering");
        writeln!(terminal, "{} of {of} of that day not settled", out.len())?;
        Ok(outcome)
    }
}

/// A specimen that is not settled, and what of it is there.
#[derive(Serialize)]
struct Unsettled {
    #[serde(flatten)]
    leaving: Leaving,
    kept: Vec<String>,
    on_the_plant: bool,
}

/// The parts that are there, and whether they are wood, bark, seed or fruit only.
fn kept(specimen: &Specimen) -> (Vec<String>, bool) {
    let parts: Vec<&Part> =
        specimen.parts.iter().map(|p| &p.body).filter(|p| p.is_at_hand()).collect();
    let bare = |p: &&Part| {
        let what = p.what.to_lowercase();
        ["wood", "bark", "seed", "fruit"].iter().any(|w| what.contains(w))
    };
    let on_the_plant = !parts.is_empty() && parts.iter().all(bare);
    let line = |p: &Part| match p.how_many() {
        1 => p.what.clone(),
        n => format!("{n} × {}", p.what),
    };
    (parts.into_iter().map(line).collect(), on_the_plant)
}
