//! `notebook again`: names that rest on an older issue of a key, run again.

use std::io::Write;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::key::Library;
use crate::notebook::desk::{Again, Outcome as Came, Ready, again};

/// Run again every specimen named with an older issue of a key: a list of work for the desk
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren again my.key
  hilum notebook --in oren again weeds-2.key grasses-2.key

With --json
  {\"format\":1, \"again\":[{\"specimen\", \"was\", \"issue\", \"outcome\", \"unread\"}]}")]
pub struct RunAgain {
    /// The new issue; then further files it points into
    #[arg(required = true, value_name = "KEY")]
    keys: Vec<String>,
}

impl RunAgain {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let library = input::library(&self.keys)?;
        let out = run_again(&desk, &library)?;
        let work = out.iter().filter(|a| a.outcome != Came::Same).count();
        let outcome = if work > 0 { Outcome::Found } else { Outcome::Well };
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "again": out}))?;
            return Ok(outcome);
        }
        print(&out, terminal)?;
        writeln!(
            terminal,
            "{} named with an older issue: {} the same, {work} to look at",
            out.len(),
            out.len() - work
        )?;
        Ok(outcome)
    }
}

/// Runs every specimen again whose name rests on an older issue of the key.
///
/// # Errors
/// Where the notebook cannot be read.
pub fn run_again(desk: &Desk, library: &Library) -> Result<Vec<Again>> {
    let ready: Vec<Ready> = library.keys.iter().map(Ready::of).collect();
    let catalogue = desk.ledger.catalogue();
    let mut out = Vec::new();
    for key in catalogue.keys() {
        let specimen = catalogue.specimen(key, &mut Vec::new()).map_err(desk::told)?;
        out.extend(specimen.and_then(|s| again(library, &ready, &s)));
    }
    Ok(out)
}

/// Those whose name does not hold any more, or is not decided.
///
/// # Errors
/// Where standard output cannot be written to.
pub fn print(out: &[Again], terminal: &mut Terminal) -> Result<()> {
    let paper = desk::paper(terminal);
    let mut text = String::new();
    for a in out.iter().filter(|a| a.outcome != Came::Same) {
        let issue = a.issue.as_ref().map(|i| format!(" (issue {i})")).unwrap_or_default();
        paper.title(&mut text, &format!("{} - {}{issue}", a.specimen, a.was));
        match &a.outcome {
            Came::Same => {}
            Came::Changed { names, at } => {
                let at = at.as_ref().map(|c| format!(" at {c}")).unwrap_or_default();
                let now = format!("changed{at}: now {}", names.join(" or "));
                paper.hanging(&mut text, "  ", "    ", &now, "");
            }
            Came::Undecided { at, look_at, why } => {
                let at = at.as_ref().map(|c| format!(" (couplet {c})")).unwrap_or_default();
                paper.hanging(&mut text, "  ", "    ", &format!("not decided{at}: {why}"), "");
                for ask in look_at {
                    paper.hanging(&mut text, "  look at: ", "           ", ask, "");
                }
            }
        }
        for u in &a.unread {
            paper.hanging(&mut text, "  not used: ", "            ", u, "");
        }
    }
    write!(terminal, "{text}")?;
    Ok(())
}
