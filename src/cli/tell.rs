//! `tell`: a taxon's account; two taxa or more: what tells them apart.

use std::fmt::Write as _;
use std::io::Write;

use anyhow::{Result, bail};
use serde::Serialize;

use super::determine::{Found, find_taxon};
use super::paper::{Paper, months_in_words, plural};
use super::specimen::SpecimenArgs;
use super::{Outcome, Terminal, input};
use crate::key::{CharacterId, Key, Library};
use crate::sift::tell::{Told, diagnosis, differences, tell};
use crate::sift::{Specimen, Table, words};

/// Tell of a taxon, or what tells two or more apart
///
/// With --json: {"format":1, "accounts":[...], "differences":[{"character", "pairs", "says":
/// [...]}], "diagnosis":{"characters", "proved", "shared_with"}}.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples
  hilum tell field-weeds 'Papaver rhoeas'
  hilum tell field-weeds 'Papaver rhoeas' 'Papaver dubium'
  hilum tell field-weeds rhoeas dubium --pressed --without fruit")]
pub struct Tell {
    /// A key file, `-`, or the name of a key inside the program
    #[arg(value_name = "KEY")]
    key: String,
    /// Names of taxa: scientific, common, or the beginning of one
    #[arg(value_name = "TAXON", required = true)]
    taxa: Vec<String>,
    #[command(flatten)]
    specimen: SpecimenArgs,
}

#[derive(Serialize)]
struct Said {
    format: u32,
    accounts: Vec<Told>,
    differences: Vec<Differs>,
    #[serde(skip_serializing_if = "Option::is_none")]
    diagnosis: Option<Diagnosed>,
}

#[derive(Serialize)]
struct Differs {
    character: String,
    /// How many of the pairs it tells apart for certain.
    pairs: usize,
    /// What each account says, in the order of the names; `null` where it says nothing.
    says: Vec<Option<String>>,
}

#[derive(Serialize)]
struct Diagnosed {
    characters: Vec<String>,
    says: Vec<Option<String>>,
    /// No smaller set does.
    proved: bool,
    shared_with: Vec<String>,
}

impl Tell {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        let library = Library::of(input::key(&self.key)?);
        let key = library.main();
        let table = Table::of(key);
        let lexicon = key.lexicon();
        let mut rows = Vec::new();
        for name in &self.taxa {
            match find_taxon(&library, name) {
                Found::One(_, id) => match table.row(id) {
                    Some(row) => rows.push(row),
                    None => {
                        bail!("`{name}` is a group: no lead names it; tell of one of its species")
                    }
                },
                Found::Several(names) => {
                    bail!("`{name}` may be {}: write more of the name", names.join(", "))
                }
                Found::None => bail!("the key has no taxon `{name}`"),
            }
        }
        let asked = self.specimen.condition.is_some()
            || self.specimen.pressed
            || !self.specimen.without.is_empty()
            || !self.specimen.tools.is_empty();
        let specimen = asked.then(|| self.specimen.specimen(key)).transpose()?;
        let said = Said {
            format: 1,
            accounts: rows.iter().map(|r| tell(key, &lexicon, &table, *r)).collect(),
            differences: if rows.len() > 1 {
                differ(key, &table, &rows, specimen.as_ref())
            } else {
                Vec::new()
            },
            diagnosis: match rows[..] {
                [row] => Some(diagnosed(key, &table, row, specimen.as_ref())),
                _ => None,
            },
        };
        if terminal.json {
            terminal.print_json(&said)?;
            return Ok(Outcome::Well);
        }
        let paper = Paper { width: terminal.width, colour: terminal.colour };
        terminal.write_all(page(&paper, &said).as_bytes())?;
        Ok(Outcome::Well)
    }
}

/// The character's whole sentence, its gap filled with what the account says.
fn says(key: &Key, table: &Table, row: usize, character: CharacterId) -> Option<String> {
    let asked = key.character(character);
    let value = words::entry(key, asked, table.accounts.entry(row, character)?)?;
    Some(asked.sentence.replacen('_', &value, 1))
}

fn differ(key: &Key, table: &Table, rows: &[usize], specimen: Option<&Specimen>) -> Vec<Differs> {
    differences(table, rows, specimen)
        .into_iter()
        .map(|d| Differs {
            character: key.character(d.character).name.clone(),
            pairs: d.pairs,
            says: rows.iter().map(|r| says(key, table, *r, d.character)).collect(),
        })
        .collect()
}

fn diagnosed(key: &Key, table: &Table, row: usize, specimen: Option<&Specimen>) -> Diagnosed {
    let d = diagnosis(table, row, specimen);
    Diagnosed {
        characters: d.characters.iter().map(|c| key.character(*c).name.clone()).collect(),
        says: d.characters.iter().map(|c| says(key, table, row, *c)).collect(),
        proved: d.proved,
        shared_with: d
            .shared_with
            .iter()
            .map(|r| key.taxon(table.taxon(*r)).name.clone())
            .collect(),
    }
}

fn page(paper: &Paper, said: &Said) -> String {
    let mut out = String::new();
    if said.differences.is_empty() && said.accounts.len() > 1 {
        out.push_str("Nothing in their accounts that can be looked at tells them apart.\n");
    }
    for d in &said.differences {
        let _ = writeln!(
            out,
            "{} ({} {})",
            paper.strong(&d.character),
            d.pairs,
            plural(d.pairs, "pair", "pairs")
        );
        for (account, says) in said.accounts.iter().zip(&d.says) {
            let text = says.as_deref().unwrap_or("the account says nothing");
            paper.hanging(&mut out, &format!("  {}: ", account.taxon), "    ", text, "");
        }
    }
    if said.accounts.len() > 1 {
        return out;
    }
    for a in &said.accounts {
        let _ = writeln!(out, "{} {}", paper.strong(&a.taxon), a.authors);
        let mut line = |word: &str, value: String| {
            if !value.is_empty() {
                paper.hanging(&mut out, &format!("  {word}: "), "    ", &value, "");
            }
        };
        line("called", a.called.join(", "));
        line("family", a.family.clone().unwrap_or_default());
        line("found", a.found.join("; "));
        line("flowers", months_in_words(&a.flowers));
        line("fruits", months_in_words(&a.fruits));
        for c in &a.cautions {
            line("CAUTION", c.clone());
        }
        for r in &a.remarks {
            line("remark", r.clone());
        }
        out.push('\n');
        paper.paragraph(&mut out, "", &a.text);
        if !a.from_leads.is_empty() {
            paper.paragraph(&mut out, "From the key's leads only: ", &a.from_leads);
        }
        for p in &a.prose {
            paper.paragraph(&mut out, "Also: ", p);
        }
    }
    if let Some(d) = &said.diagnosis {
        out.push('\n');
        if d.shared_with.is_empty() {
            let sure =
                if d.proved { "no smaller set does" } else { "not proved to be the smallest set" };
            paper.paragraph(
                &mut out,
                "",
                &format!("No other taxon of the key shares these {} ({sure}):", d.characters.len()),
            );
        } else {
            paper.paragraph(
                &mut out,
                "",
                &format!(
                    "Nothing tells it apart from {}; from all others:",
                    d.shared_with.join(", ")
                ),
            );
        }
        for (c, says) in d.characters.iter().zip(&d.says) {
            paper.hanging(&mut out, "  ", "    ", says.as_deref().unwrap_or(c), "");
        }
    }
    out
}
