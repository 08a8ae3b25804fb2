//! `notebook names`: the names in the notebook by the Code, and against a list.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context, Result};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::number::Citation;
use crate::text::name::list::{NameList, Standing};
use crate::text::name::read;

/// The names that hold: which are not written by the Code, which a list does not have
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren names
  hilum notebook --in oren names --list accepted.txt

With --json
  {\"format\":1, \"names\":[{\"name\", \"specimens\", \"said\"}]}")]
pub struct Names {
    /// A list of names, one a line (`synonym = accepted name`), or a CSV with a column `name`
    #[arg(long, value_name = "FILE")]
    list: Option<PathBuf>,
}

impl Names {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let list = match &self.list {
            None => None,
            Some(path) => {
                let text = std::fs::read_to_string(path)
                    .with_context(|| format!("{} cannot be read", path.display()))?;
                let (list, unread) = NameList::read(&text);
                for u in &unread {
                    eprintln!(
                        "hilum: {}:{}: not used: {} ({})",
                        path.display(),
                        u.line,
                        u.text,
                        u.why
                    );
                }
                Some(list)
            }
        };
        let mut by_name: BTreeMap<String, Vec<Citation>> = BTreeMap::new();
        for s in desk.ledger.catalogue().summaries().map_err(desk::told)? {
            if let Some(name) = s.name {
                by_name.entry(name).or_default().push(s.citation);
            }
        }
        let mut rows = Vec::new();
        for (name, specimens) in &by_name {
            let said = match (read(name), &list) {
                (Err(e), _) => Some(format!("{}; {}", e.what, e.remedy)),
                (Ok(_), None) => None,
                (Ok(name), Some(list)) => against(list, &name),
            };
            rows.extend(said.map(|said| (name, specimens, said)));
        }
        let outcome = if rows.is_empty() { Outcome::Well } else { Outcome::Found };
        if terminal.json {
            let rows: Vec<_> = rows
                .iter()
                .map(|(n, s, said)| serde_json::json!({"name": n, "specimens": s, "said": said}))
                .collect();
            terminal.print_json(&serde_json::json!({"format": 1, "names": rows}))?;
            return Ok(outcome);
        }
        let paper = desk::paper(terminal);
        let mut out = String::new();
        for (name, specimens, said) in &rows {
            let numbers: Vec<String> = specimens.iter().take(6).map(Citation::to_string).collect();
            let more = specimens.len().saturating_sub(6);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            paper.title(&mut out, name);
            paper.hanging(&mut out, "  ", "    ", said, "");
            paper.hanging(&mut out, "  on ", "     ", &format!("{}{more}", numbers.join(", ")), "");
        }
        write!(terminal, "{out}")?;
        writeln!(terminal, "{}, {} to look at", desk::count(by_name.len(), "name"), rows.len())?;
        Ok(outcome)
    }
}

fn against(list: &NameList, name: &crate::text::name::ScientificName) -> Option<String> {
    match list.standing(name) {
        Standing::Accepted(_) => None,
        Standing::Synonym(e) => {
            Some(format!("a synonym in the list: {}", e.accepted.unwrap_or_default()))
        }
        Standing::OtherAuthors(e) => {
            Some(format!("the list has the name with other authors: {}", e.name))
        }
        Standing::Absent { near } if near.is_empty() => Some("not in the list".to_string()),
        Standing::Absent { near } => {
            Some(format!("not in the list; near by spelling: {}", near.join(", ")))
        }
    }
}
