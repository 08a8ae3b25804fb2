//! `tell`: a taxon's account; two taxa or more: what tells them apart.

use std::fmt::Write as _;
use std::io::Write;

use anyhow::{Result, bail};
use serde::Serialize;

use super::determine::{Found, find_taxon};
use super::paper::{Paper, months_in_words, plural};
use super::specimen::SpecimenArgs;
use super::{Outcome, Terminal, evidence, input};
use crate::key::lexicon::nearest;
use crate::key::{CharacterId, Key, Library, Taxon};
use crate::sift::tell::{Told, diagnosis, differences, tell};
use crate::sift::{Specimen, Table, words};
use crate::text::language::fold;

/// Tell of a taxon, or what tells two or more apart
///
/// With --json: {"format":1, "accounts":[...], "differences":[{"character", "pairs", "says":
/// [...]}], "overlapping":[as those], "diagnosis":{"characters", "says", "proved",
/// "shared_with"}, "cautions":[...]}.
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
    /// What their accounts say otherwise of, though one plant may fit both.
    overlapping: Vec<Differs>,
    #[serde(skip_serializing_if = "Option::is_none")]
    diagnosis: Option<Diagnosed>,
    /// What to beware of with any of them, each once; then what the key as a whole says.
    cautions: Vec<String>,
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
            for row in meant(&library, &table, name)? {
                if !rows.contains(&row) {
                    rows.push(row);
                }
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
            overlapping: overlapping(key, &table, &rows, specimen.as_ref()),
            diagnosis: match rows[..] {
                [row] => Some(diagnosed(key, &table, row, specimen.as_ref())),
                _ => None,
            },
            cautions: key.cautions_for(&rows.iter().map(|r| table.taxon(*r)).collect::<Vec<_>>()),
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
    Some(match words::entry(key, asked, table.accounts.entry(row, character)?) {
        Some(value) => asked.fill_in(&value, key.heading.language),
        None => format!("`{}` does not apply", asked.name),
    })
}

/// The rows of the taxa that a name stands for: one; or every species of a genus, `Tilia`.
///
/// # Errors
/// It stands for none, or it cannot be told for which.
fn meant(library: &Library, table: &Table, name: &str) -> Result<Vec<usize>> {
    let key = library.main();
    let wanted = fold(name);
    let rows = || (0..table.rows()).map(|r| (r, key.taxon(table.taxon(r))));
    let genus = |t: &Taxon| fold(t.name.split(' ').next().unwrap_or_default());
    let by = |test: &dyn Fn(&Taxon) -> bool| -> Vec<usize> {
        rows().filter(|(_, t)| test(t)).map(|(r, _)| r).collect()
    };
    let of_genus = by(&|t| genus(t) == wanted);
    if of_genus.len() > 1 && !key.names.contains_key(&wanted) {
        return Ok(of_genus);
    }
    let found = match find_taxon(library, name) {
        Found::One(_, id) => match table.row(id) {
            Some(row) => vec![row],
            None if !of_genus.is_empty() => of_genus,
            None => bail!("`{name}` is a group: no lead names it; tell of one of its species"),
        },
        Found::Several(names) => {
            bail!("`{name}` may be {}: write more of the name", names.join(", "))
        }
        Found::None => {
            let short = wanted.split_once(' ').map(|(g, rest)| (g.trim_end_matches('.'), rest));
            let abbreviated = short.map_or_else(Vec::new, |(letters, rest)| {
                by(&|t| {
                    let full = fold(&t.name);
                    let own = full.split_once(' ');
                    own.is_some_and(|(g, e)| g.starts_with(letters) && e.starts_with(rest))
                })
            });
            if abbreviated.is_empty() {
                // `cherry` of a wild cherry.
                let has = |n: &str| n.split([' ', '-']).any(|w| fold(w) == wanted);
                by(&|t| t.called.iter().any(|(_, n)| has(n)))
            } else {
                abbreviated
            }
        }
    };
    match found.as_slice() {
        [] => bail!("the key has no taxon `{name}`{}", near(key, table, &wanted)),
        [_] => Ok(found),
        several => {
            let names: Vec<&str> =
                several.iter().map(|r| key.taxon(table.taxon(*r)).name.as_str()).collect();
            bail!("`{name}` may be {}: write more of the name", names.join(", "))
        }
    }
}

/// `; did you mean beech (Fagus sylvatica)?`
fn near(key: &Key, table: &Table, wanted: &str) -> String {
    let mut all: Vec<(String, String)> = Vec::new();
    for t in (0..table.rows()).map(|r| key.taxon(table.taxon(r))) {
        let called = t.called.iter().map(|(_, n)| (fold(n), format!("{n} ({})", t.name)));
        all.push((fold(&t.name), t.name.clone()));
        all.extend(t.name.split(' ').map(|w| (fold(w), t.name.clone())));
        all.extend(called);
    }
    let nearest = nearest(wanted, all.iter().map(|(word, _)| word.as_str()));
    let said = nearest.and_then(|n| all.iter().find(|(word, _)| word == n));
    said.map_or_else(String::new, |(_, said)| format!("; did you mean {said}?"))
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

/// What all accounts speak of and not all alike, without telling any of them apart.
fn overlapping(
    key: &Key,
    table: &Table,
    rows: &[usize],
    specimen: Option<&Specimen>,
) -> Vec<Differs> {
    let certain = differences(table, rows, specimen);
    let shown = |c: &CharacterId| {
        let hidden = specimen.and_then(|s| s.hides(&table.column(*c).meta));
        hidden.is_none() && certain.iter().all(|d| d.character != *c)
    };
    let differs = |c: CharacterId| Differs {
        character: key.character(c).name.clone(),
        pairs: 0,
        says: rows.iter().map(|r| says(key, table, *r, c)).collect(),
    };
    let unlike =
        |d: &Differs| d.says.iter().all(Option::is_some) && d.says.windows(2).any(|w| w[0] != w[1]);
    key.character_ids().filter(shown).map(differs).filter(unlike).collect()
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
    if !said.overlapping.is_empty() && said.differences.is_empty() {
        out.push_str("What their accounts say otherwise, though one plant may fit both:\n");
    }
    // Beside what tells them apart it would only be in the way.
    let listed = match said.differences.as_slice() {
        [] => &said.overlapping,
        _ => &said.differences,
    };
    for d in listed {
        let pairs = if said.accounts.len() > 2 && d.pairs > 0 {
            format!(" (parts {} {})", d.pairs, plural(d.pairs, "pair", "pairs"))
        } else {
            String::new()
        };
        let _ = writeln!(out, "{}{pairs}", paper.strong(&d.character));
        for (account, says) in said.accounts.iter().zip(&d.says) {
            let text = says.as_deref().unwrap_or("the account says nothing");
            paper.hanging(&mut out, &format!("  {}: ", account.taxon), "    ", text, "");
        }
    }
    if said.accounts.len() > 1 {
        evidence::cautions(paper, &mut out, &said.cautions);
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
        for r in &a.remarks {
            line("remark", r.clone());
        }
        for c in &said.cautions {
            paper.hanging(&mut out, "  CAUTION: ", "    ", c, "");
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
                &match d.characters.len() {
                    1 => "No other taxon of the key shares this:".to_string(),
                    n => format!("No other taxon of the key shares these {n} ({sure}):"),
                },
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
