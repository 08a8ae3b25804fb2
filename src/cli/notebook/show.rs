//! `notebook show`: one specimen as a page.

use std::io::Write;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::record::Placed;
use crate::publish::specimen_page;
use crate::text::shown::shown;

/// Show everything that is known of a specimen
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren show 1042
  hilum notebook --in oren show \"Lund 17\"          another collector's
  hilum notebook --in oren show 1042 --records     as the ledger has them

With --json
  {\"format\":1, \"specimen\":{\"citation\", \"gatherings\", \"parts\", \"observations\",
  \"determinations\" (the latest first), \"notes\", \"corrections\", \"withdrawn\"}};
  each record has \"id\", \"written\", \"body\", \"corrected_by\"")]
pub struct Show {
    /// The specimen's number, another's with the name before it; or the id of a record
    number: String,
    /// The records as they were written, corrections among them, with their ids and places
    #[arg(long)]
    records: bool,
}

impl Show {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        if desk.known(&self.number)?.is_none() {
            // The id of a record, or its first letters.
            let found = desk.ledger.catalogue().record(&self.number).map_err(desk::told)?;
            if !found.is_empty() && !terminal.json {
                return written(&found, terminal);
            }
        }
        let specimen = desk.see(&self.number)?;
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "specimen": specimen}))?;
            return Ok(Outcome::Well);
        }
        if self.records {
            let key = specimen.citation.key();
            let records = desk.ledger.catalogue().as_written(&key).map_err(desk::told)?;
            return written(&records, terminal);
        }
        let paper = desk::paper(terminal);
        let mut out = String::new();
        for line in specimen_page::page(&specimen) {
            let text = line.text.replace('\n', " / ");
            if line.depth == 0 {
                if !out.is_empty() {
                    out.push('\n');
                }
                let dash = if text.is_empty() { "" } else { " - " };
                paper.title(&mut out, &format!("{}{dash}{text}", line.head));
                continue;
            }
            let indent = "  ".repeat(line.depth);
            let colon = if line.head.is_empty() || text.is_empty() { "" } else { ": " };
            let head = format!("{indent}{}{colon}", crate::text::shown::shown(&line.head));
            paper.hanging(&mut out, &head, &format!("{indent}    "), &text, "");
        }
        write!(terminal, "{out}")?;
        Ok(Outcome::Well)
    }
}

/// Records as the ledger has them, each with its file and line.
fn written(records: &[Placed], terminal: &mut Terminal) -> Result<Outcome> {
    for placed in records {
        writeln!(terminal, "# {}:{}", shown(&placed.file), placed.line)?;
        writeln!(terminal, "{}", desk::lines_shown(&placed.record.document()))?;
    }
    Ok(Outcome::Well)
}
