//! `compare`: two issues of a key, and what the new one means for those who used the old.
//!
//! ```json
//! {
//!   "format": 1,
//!   "old": {"file": "weeds-1.key", "title": "...", "issue": "1, 2026-05-02"}, "new": {...},
//!   "same": false,
//!   "couplets": {"old": 81, "new": 82, "certain": 79, "likely": 2, "possible": 0},
//!   "changes": [{"subject": "lead", "done": "changed", "name": "12b", "new_name": "13b",
//!     "was": "...", "now": "...", "old_line": 40, "new_line": 43, "sure": "certain"}],
//!   "renumbered": [{"old": "12", "new": "13", "sure": "certain"}],
//!   "routes": [{"taxon": "...", "route": "changed", "at": ["12"], "through": ["13"]}],
//!   "corrections": {"lines": ["Couplet 12, second lead: for ‘x’ read ‘y’."], "renumbered": true,
//!     "not_printed": 0},
//!   "specimens": [{"line": 3, "id": "1042", "same": false, "by_couplets": {"was": "...",
//!     "now": "..."}, "by_characters": {"was": "...", "now": "..."}, "unread": []}],
//!   "again": [...],
//!   "status": 1
//! }
//! ```
//!
//! `part` names a property where one is meant. `specimens` is there with `--specimens`, `again`
//! with `--in`. Fields may be added under the same `format`.

mod specimens;
mod text;

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::notebook::{Desk, Place, again};
use super::{Outcome, Terminal, input};
use crate::craft::compare::{compare, corrections};
use crate::key::Key;
use crate::notebook::desk::{Again, Outcome as Came};

/// Compare two issues of a key: what changed, for whom, and the corrections to print
///
/// Couplets are known again by their wording and their place in the tree, so that a new numbering
/// is told as that and nothing else. What is compared is what the key says: blanks, line breaks,
/// rows of dots and comments do not count.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum compare weeds-1.key weeds-2.key
  hilum compare --corrections weeds-1.key weeds-2.key
        a list to print, for the old numbers
  hilum compare --specimens season.jsonl weeds-1.key weeds-2.key
        which of these specimens would now end elsewhere; the file is one that
        `hilum batch` reads
  hilum compare --in camp weeds-1.key weeds-2.key
        which names in a notebook that rest on an older issue of the key do not
        hold any more

Exit status
  0  the two say the same, number for number
  1  they differ
  2  a file could not be read, or the command was not understood

With --json
  {\"format\":1, \"old\":{\"file\", \"title\", \"issue\"}, \"new\", \"same\", \"couplets\",
  \"changes\":[{\"subject\", \"done\", \"name\", \"new_name\", \"was\", \"now\", \"old_line\",
  \"new_line\", \"sure\"}], \"renumbered\", \"routes\":[{\"taxon\", \"route\", \"at\",
  \"through\"}], \"corrections\", \"specimens\", \"again\", \"status\"}; \"specimens\" is
  there with --specimens, \"again\" with --in")]
pub struct Compare {
    /// The old issue: a file, `-` for standard input, or the name of a key inside the program
    #[arg(value_name = "OLD")]
    old: String,

    /// The new issue
    #[arg(value_name = "NEW")]
    new: String,

    /// Print only the corrections that a printed old issue needs
    #[arg(long, conflicts_with_all = ["specimens", "notebook"])]
    corrections: bool,

    /// Run the specimens of a file (JSON Lines or CSV, as for `batch`) through both
    #[arg(long, value_name = "FILE")]
    specimens: Option<String>,

    /// Run the specimens of a notebook again that were named with an older issue
    #[arg(long = "in", value_name = "FOLDER", id = "notebook")]
    notebook: Option<PathBuf>,
}

impl Compare {
    pub fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
        let (old, new) = (
            input::library(std::slice::from_ref(&self.old))?,
            input::library(std::slice::from_ref(&self.new))?,
        );
        let (Some(a), Some(b)) = (old.keys.first(), new.keys.first()) else {
            anyhow::bail!("there is nothing to compare");
        };
        let comparison = compare(a, b);
        let corrected = corrections(a, b, &comparison);
        let specimens = match &self.specimens {
            Some(file) => Some(specimens::run(file, &old, &new, &comparison)?),
            None => None,
        };
        let again: Option<Vec<Again>> = match &self.notebook {
            Some(folder) => {
                let desk = Desk::open(&Place::of(folder.clone()))?;
                Some(again::run_again(&desk, &new)?)
            }
            None => None,
        };
        let touched = specimens.iter().flatten().any(|s| !s.same)
            || again.iter().flatten().any(|a| a.outcome != Came::Same);
        let outcome =
            if comparison.is_empty() && !touched { Outcome::Well } else { Outcome::Found };
        if terminal.json {
            let mut out = json!({
                "format": 1,
                "old": about(a),
                "new": about(b),
                "same": comparison.is_empty(),
                "corrections": corrected,
                "status": outcome as u8,
            });
            if let (Some(out), serde_json::Value::Object(all)) =
                (out.as_object_mut(), serde_json::to_value(&comparison)?)
            {
                out.extend(all);
                if let Some(specimens) = &specimens {
                    out.insert("specimens".to_string(), serde_json::to_value(specimens)?);
                }
                if let Some(again) = &again {
                    out.insert("again".to_string(), serde_json::to_value(again)?);
                }
            }
            terminal.print_json(&out)?;
            return Ok(outcome);
        }
        if self.corrections {
            text::corrections(a, b, &corrected, terminal)?;
            return Ok(outcome);
        }
        text::print(a, b, &comparison, terminal)?;
        if let Some(specimens) = &specimens {
            text::specimens(specimens, terminal)?;
        }
        if let Some(all) = &again {
            text::notebook(all, terminal)?;
        }
        Ok(outcome)
    }
}

fn about(key: &Key) -> serde_json::Value {
    json!({
        "file": key.source.name(),
        "title": key.heading.title,
        "issue": key.heading.issue,
        "print": key.print(),
    })
}
