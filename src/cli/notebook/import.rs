//! `notebook import`: a table of an existing notebook, by a map of its columns.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Args;
use serde_json::json;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::disk::{Disk, ThisDisk};
use crate::notebook::import::{self, ColumnMap};
use crate::notebook::ledger::ASIDE;

/// Take in a table (CSV) of an existing notebook
///
/// The first time a map of the columns is guessed and written into the notebook's folder `maps/`,
/// for you to look at; the second time the table is taken in by it.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren import fieldbook.csv      guesses a map to look at
  hilum notebook --in oren import fieldbook.csv      takes it in by the map
  hilum notebook --in oren import old.csv --map maps/fieldbook.yaml

Rows that cannot be understood are listed and kept in the folder aside/.
Given again, what is there already is not taken twice.

With --json
  {\"format\":1, \"map\", \"guessed\", \"rows\", \"gatherings\", \"recorded\", \"already\",
  \"faults\", \"refused\":[{\"line\", \"why\"}], \"kept_in\", \"own_names\":[columns]};
  after a guess that is only to be looked at: {\"format\":1, \"map\", \"guessed\"}")]
pub struct Import {
    /// The table; its first line names the columns
    table: PathBuf,
    /// The map of the columns; without it the one in `maps/` with the table's name
    #[arg(long, value_name = "FILE")]
    map: Option<PathBuf>,
    /// Take it in by the guessed map at once
    #[arg(long)]
    guess: bool,
}

impl Import {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let bytes = std::fs::read(&self.table)
            .with_context(|| format!("{} cannot be read", self.table.display()))?;
        let name = self.table.file_name().map_or("table".into(), |n| n.to_string_lossy());
        let stem = self.table.file_stem().map_or("table".into(), |n| n.to_string_lossy());
        let path = self
            .map
            .clone()
            .unwrap_or_else(|| desk.ledger.folder().join("maps").join(format!("{stem}.yaml")));
        let mut guessed = false;
        let map = match std::fs::read_to_string(&path) {
            Ok(text) => match ColumnMap::read(&text) {
                Ok(map) => map,
                Err(e) => bail!("{}: {e}. {}", path.display(), e.remedy),
            },
            Err(_) if self.map.is_some() => bail!("there is no map {}", path.display()),
            Err(_) => {
                guessed = true;
                let map = ColumnMap::guess(&import::columns(&bytes)?.0);
                ThisDisk.make_folder(&desk.ledger.folder().join("maps"))?;
                desk::write_file(terminal, &path, map.text().as_bytes())?;
                if !terminal.json {
                    let path = path.display();
                    writeln!(terminal, "A map was guessed from the columns' names: {path}")?;
                    write!(terminal, "{}", desk::lines_shown(&map.text()))?;
                    writeln!(terminal)?;
                }
                if !self.guess {
                    if terminal.json {
                        terminal.print_json(&json!({"format": 1, "map": path, "guessed": true}))?;
                    } else {
                        writeln!(terminal, "Look at it, mend it, and give the command again.")?;
                    }
                    return Ok(Outcome::Found);
                }
                map
            }
        };
        let map = match desk.writer_or_none() {
            Some(writer) => map.with_collector(writer),
            None => map,
        };
        let taken = import::read(&bytes, &name, &map)?;
        let at = desk.moment();
        let hand = desk.writer()?.to_string();
        let done = desk.ledger.append(&taken.records, &hand, &at).map_err(desk::told)?;
        let mut kept_in = None;
        if !taken.refused.is_empty() {
            let folder = desk.ledger.folder().join(ASIDE);
            ThisDisk.make_folder(&folder)?;
            let path = folder.join(format!("{stem}-not-taken.csv"));
            let text = import::refused_table(&taken.columns, &taken.refused);
            desk::write_file(terminal, &path, text.as_bytes())?;
            kept_in = Some(path);
        }
        let gatherings = taken.rows - taken.refused.len().min(taken.rows);
        if terminal.json {
            let refused = taken.refused.iter().map(|r| json!({"line": r.line, "why": r.why}));
            let refused: Vec<_> = refused.collect();
            terminal.print_json(&json!({
                "format": 1, "map": path, "guessed": guessed, "rows": taken.rows,
                "gatherings": gatherings, "recorded": done.ids.len(), "already": done.already,
                "faults": taken.faults, "refused": refused, "kept_in": kept_in,
                "own_names": taken.unmapped,
            }))?;
        } else {
            for fault in &taken.faults {
                writeln!(terminal, "{}", desk::lines_shown(&fault.to_string()))?;
            }
            for row in &taken.refused {
                writeln!(terminal, "{name}:{}: not taken in: {}", row.line, row.why)?;
            }
            if let Some(path) = kept_in {
                writeln!(
                    terminal,
                    "These rows are kept in {}; mend and import them.",
                    path.display()
                )?;
            }
            if !taken.unmapped.is_empty() {
                writeln!(terminal, "Kept under their own names: {}", taken.unmapped.join(", "))?;
            }
            writeln!(
                terminal,
                "{}: {}; {} new, {} there already; {} not taken in",
                desk::count(taken.rows, "row"),
                desk::count(gatherings, "gathering"),
                desk::count(done.ids.len(), "record"),
                done.already,
                desk::count(taken.refused.len(), "row")
            )?;
        }
        let clean = taken.refused.is_empty() && taken.faults.is_empty();
        Ok(if clean { Outcome::Well } else { Outcome::Found })
    }
}
