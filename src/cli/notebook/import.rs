//! `notebook import`: a table of an existing notebook, by a map of its columns.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use clap::Args;
use serde_json::json;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::disk::{Disk, ThisDisk};
use crate::notebook::import::{self, ColumnMap};
use crate::notebook::ledger::ASIDE;
use crate::text::finding::Severity;

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

The map is a line a field, with the name of the column behind the colon:
  number: Nr.
  coordinates: [Breite, Länge]
  name: Art
  fresh colour: Farbe
  fixed:
    country: Orenia
Fields: number, collector, with, date, date as written, place, country, country
code, province, coordinates, datum, uncertainty, altitude, habitat, substrate,
abundance, plants, habit, height, stage, fresh ..., associated, permit,
photographs, project, establishment, withhold, remarks; name, family, determined
by, date determined, determination remarks, type status; parts, count, store,
individuals; note. What has no field is kept under the column's name.

Rows that cannot be understood are listed and kept in the folder aside/.
Given again, what is there already is not taken twice.

With --json
  {\"format\":1, \"map\", \"guessed\", \"rows\", \"gatherings\", \"recorded\", \"already\",
  \"faults\", \"refused\":[{\"line\", \"why\"}], \"kept_in\", \"own_names\":[columns]};
  after a guess that is only to be looked at: {\"format\":1, \"map\", \"guessed\",
  \"left_out\":[columns]}")]
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

/// What the name of a file of rows that were handed back has behind the table's name.
const NOT_TAKEN: &str = "-not-taken";

/// A file for rows handed back. Another that someone may be mending is left alone.
fn unlike(folder: &Path, stem: &str, text: &str) -> PathBuf {
    let more = (2..).map(|n| format!("{NOT_TAKEN}-{n}"));
    let names = std::iter::once(NOT_TAKEN.to_string()).chain(more);
    let mut paths = names.map(|name| folder.join(format!("{stem}{name}.csv")));
    let free = |path: &PathBuf| match std::fs::read(path) {
        Ok(there) => there == text.as_bytes(),
        Err(_) => true,
    };
    paths.find(free).unwrap_or_else(|| folder.join(format!("{stem}{NOT_TAKEN}.csv")))
}

impl Import {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let bytes = std::fs::read(&self.table)
            .with_context(|| format!("{} cannot be read", self.table.display()))?;
        let name = self.table.file_name().map_or("table".into(), |n| n.to_string_lossy());
        let stem = self.table.file_stem().map_or("table".into(), |n| n.to_string_lossy());
        // What was handed back of a table is mended and taken in by the table's own map.
        let stem = stem.split_once(NOT_TAKEN).map_or(&*stem, |(table, _)| table).to_string();
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
                let guess = import::guess(&bytes)?;
                ThisDisk.make_folder(&desk.ledger.folder().join("maps"))?;
                desk::write_file(terminal, &path, guess.text().as_bytes())?;
                if !terminal.json {
                    let path = path.display();
                    writeln!(terminal, "A map was guessed from the columns' names: {path}")?;
                    writeln!(terminal, "{}", desk::lines_shown(&guess.map.text()))?;
                    let mut out = String::new();
                    let paper = desk::paper(terminal);
                    if !guess.left_out.is_empty() {
                        let left_out = guess.left_out.join(", ");
                        paper.hanging(&mut out, "Left out: ", "  ", &left_out, "");
                    }
                    let fields = ColumnMap::known().join(", ");
                    paper.hanging(&mut out, "Fields that a map may have: ", "  ", &fields, "");
                    write!(terminal, "{out}")?;
                }
                if !self.guess {
                    if terminal.json {
                        terminal.print_json(&json!({
                            "format": 1, "map": path, "guessed": true, "left_out": guess.left_out,
                        }))?;
                    } else {
                        writeln!(terminal, "Look at it, mend it, and give the command again.")?;
                    }
                    return Ok(Outcome::Found);
                }
                guess.map
            }
        };
        let map = match desk.writer_or_none() {
            Some(writer) => map.with_collector(writer),
            None => map,
        };
        let mut taken = import::read_beside(&bytes, &name, &map, &desk.ledger)?;
        taken.tell_future(&name, &desk::today());
        let at = desk.moment();
        let hand = desk.writer()?.to_string();
        let done = desk.ledger.append(&taken.records, &hand, &at).map_err(desk::told)?;
        let already = done.already + taken.already;
        let mut kept_in = None;
        if !taken.refused.is_empty() {
            let folder = desk.ledger.folder().join(ASIDE);
            ThisDisk.make_folder(&folder)?;
            let text = import::refused_table(&taken.columns, &taken.refused);
            let path = unlike(&folder, &stem, &text);
            desk::write_file(terminal, &path, text.as_bytes())?;
            kept_in = Some(path);
        }
        let gatherings = taken.rows - taken.refused.len().min(taken.rows);
        if terminal.json {
            let refused = taken.refused.iter().map(|r| json!({"line": r.line, "why": r.why}));
            let refused: Vec<_> = refused.collect();
            terminal.print_json(&json!({
                "format": 1, "map": path, "guessed": guessed, "rows": taken.rows,
                "gatherings": gatherings, "recorded": done.ids.len(), "already": already,
                "faults": taken.faults, "refused": refused, "kept_in": kept_in,
                "own_names": taken.unmapped,
            }))?;
        } else {
            let paper = desk::paper(terminal);
            let mut out = String::new();
            for fault in &taken.faults {
                out.push_str(&desk::lines_shown(&fault.to_string()));
                out.push('\n');
            }
            for row in &taken.refused {
                let head = format!("{name}:{}: not taken in: ", row.line);
                paper.hanging(&mut out, &desk::lines_shown(&head), "  ", &row.why, "");
            }
            if let Some(path) = kept_in {
                let path = path.display();
                out.push_str(&format!("These rows are kept in {path}; mend and import them.\n"));
            }
            if !taken.unmapped.is_empty() {
                let names = taken.unmapped.join(", ");
                paper.hanging(&mut out, "Kept under their own names: ", "  ", &names, "");
            }
            let text = format!(
                "{}: {}; {} new, {} there already; {} not taken in",
                desk::count(taken.rows, "row"),
                desk::count(gatherings, "gathering"),
                desk::count(done.ids.len(), "record"),
                already,
                desk::count(taken.refused.len(), "row")
            );
            paper.hanging(&mut out, "", "  ", &text, "");
            write!(terminal, "{}", paper.fit(&out))?;
        }
        let faulty = taken.faults.iter().any(|f| f.finding.severity > Severity::Note);
        let clean = taken.refused.is_empty() && !faulty;
        Ok(if clean { Outcome::Well } else { Outcome::Found })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Args;

    #[test]
    fn the_help_names_every_field_of_a_map() {
        let command = Import::augment_args(clap::Command::new("import"));
        let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
        let list = help.split("Fields: ").nth(1).and_then(|t| t.split('.').next().map(|_| t));
        let list = list.unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ");
        for field in ColumnMap::known() {
            let named =
                [", ", "; ", ". "].iter().any(|end| list.contains(&format!("{field}{end}")));
            assert!(named, "{field}");
        }
    }
}
