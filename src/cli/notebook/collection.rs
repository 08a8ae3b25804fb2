//! `notebook collection`: what the collection has of a list or a key, and what is wanted.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Args;
use unicode_width::UnicodeWidthStr;

use super::Place;
use super::desk::{self, Desk};
use super::list::cut;
use crate::cli::{Outcome, Terminal, input};
use crate::notebook::collection::{Collection, Held, collection};
use crate::text::name::list::NameList;
use crate::text::shown::shown;

/// What the collection has of each taxon of a list or a key: vouchers, ripe seed, wood ...
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren collection --key field-weeds
  hilum notebook --in oren collection --list wanted.txt --wanted
  hilum notebook --in oren collection --list wanted.txt --csv gaps.csv

Sheets, seed, wood and phytoliths are counted under sure names only.

With --json
  {\"format\":1, \"collection\":{\"taxa\":[{\"name\", \"sure\", \"doubtful\", \"confirmed\",
  \"sheets\", \"ripe_seed\", \"wood\", ...}], \"beyond\", \"missing\", \"unnamed\"}}")]
pub struct Collected {
    /// A list of names, one a line, or a CSV with a column `name`
    #[arg(long, value_name = "FILE", conflicts_with = "key")]
    list: Option<PathBuf>,
    /// The taxa of a key
    #[arg(long, value_name = "KEY")]
    key: Option<String>,
    /// Write the table as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Only taxa without a sure specimen
    #[arg(long)]
    wanted: bool,
}

impl Collected {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let names = self.names()?;
        let summaries = desk.ledger.catalogue().summaries().map_err(desk::told)?;
        let mut held = collection(&names, &summaries);
        if self.wanted {
            held.taxa.retain(|t| t.is_wanted());
        }
        let found = held.taxa.iter().any(|t| t.is_wanted()) || !held.missing.is_empty();
        let outcome = if found { Outcome::Found } else { Outcome::Well };
        if let Some(path) = &self.csv {
            desk::write_file(terminal, path, table(&held)?.as_bytes())?;
            return Ok(outcome);
        }
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "collection": held}))?;
            return Ok(outcome);
        }
        print(terminal, &held)?;
        Ok(outcome)
    }

    fn names(&self) -> Result<Vec<String>> {
        if let Some(key) = &self.key {
            let key = input::key(key)?;
            let taxa = crate::sift::account::nameable(&key);
            return Ok(taxa.into_iter().map(|t| key.taxon(t).full_name()).collect());
        }
        let Some(path) = &self.list else {
            bail!("hold the collection against what? Name a list with --list or a key with --key");
        };
        let text = std::fs::read_to_string(path)
            .with_context(|| format!("{} cannot be read", path.display()))?;
        let (list, unread) = NameList::read(&text);
        for u in &unread {
            eprintln!("hilum: {}:{}: not used: {} ({})", path.display(), u.line, u.text, u.why);
        }
        Ok(list.entries().iter().filter(|e| e.accepted.is_none()).map(|e| e.name.clone()).collect())
    }
}

const HEAD: [&str; 11] = [
    "taxon",
    "sure",
    "doubtful",
    "confirmed",
    "sheets",
    "ripe seed",
    "other seed",
    "wood",
    "phytoliths",
    "individuals",
    "places",
];

fn table(held: &Collection) -> Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEAD)?;
    for t in &held.taxa {
        let row = std::iter::once(t.name.clone()).chain(figures(t).map(|n| n.to_string()));
        writer.write_record(row)?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

fn print(terminal: &mut Terminal, held: &Collection) -> Result<()> {
    let rows: Vec<[u64; FIGURES.len()]> = held.taxa.iter().map(figures).collect();
    let out = rows_shown(held, &rows, terminal.width);
    write!(terminal, "{out}")?;
    let wanted = held.taxa.iter().filter(|t| t.is_wanted()).count();
    let sure: usize = held.taxa.iter().map(|t| t.sure).sum();
    let confirmed: usize = held.taxa.iter().map(|t| t.confirmed).sum();
    let paper = desk::paper(terminal);
    let mut out = String::from("\n");
    let text = format!(
        "{wanted} of {} taxa without a sure specimen; {} not confirmed; {} without a name",
        held.taxa.len(),
        desk::count(sure - confirmed, "name"),
        desk::count(held.unnamed, "specimen")
    );
    paper.hanging(&mut out, "", "  ", &text, "");
    if held.taxa.iter().any(|t| t.doubtful > 0) {
        let text = "Sheets, seed, wood and phytoliths are counted under sure names only; what \
                    stands under a doubtful one (cf., aff., ?) is not among them.";
        paper.paragraph(&mut out, "", text);
    }
    if !held.beyond.is_empty() {
        paper.hanging(&mut out, "not in the list: ", "  ", &held.beyond.join("; "), "");
    }
    for m in &held.missing {
        let store = m.store.as_ref().map(|s| format!(", was in {s}")).unwrap_or_default();
        let text = format!("{} {}{store}", m.specimen, m.what);
        paper.hanging(&mut out, "missing: ", "  ", &text, "");
    }
    write!(terminal, "{out}")?;
    Ok(())
}

/// The figures of a taxon: at the head of a column, and in words for one and for several.
const FIGURES: [(&str, &str, &str); 10] = [
    ("sure", "sure", "sure"),
    ("doubt", "doubtful", "doubtful"),
    ("conf.", "confirmed", "confirmed"),
    ("sheets", "sheet", "sheets"),
    ("ripe", "ripe seed", "ripe seed"),
    ("seed", "other seed", "other seed"),
    ("wood", "wood", "wood"),
    ("phyt.", "phytolith sample", "phytolith samples"),
    ("plants", "plant", "plants"),
    ("places", "place", "places"),
];

fn figures(t: &Held) -> [u64; FIGURES.len()] {
    [
        t.sure as u64,
        t.doubtful as u64,
        t.confirmed as u64,
        t.sheets.into(),
        t.ripe_seed.into(),
        t.other_seed.into(),
        t.wood.into(),
        t.phytoliths.into(),
        t.individuals.into(),
        t.places as u64,
    ]
}

/// Fewer columns than these for a name, and it stands on a line of its own.
const NAME: usize = 16;

/// A table where the window holds one, else the name and below it what there is, in words.
fn rows_shown(held: &Collection, rows: &[[u64; FIGURES.len()]], width: usize) -> String {
    let names: Vec<_> = held.taxa.iter().map(|t| shown(&t.name)).collect();
    let mut widths = FIGURES.map(|(head, ..)| head.len());
    for (i, widest) in widths.iter_mut().enumerate() {
        let digits = rows.iter().map(|r| r[i].to_string().len()).max();
        *widest = digits.unwrap_or(0).max(*widest);
    }
    let figures: usize = widths.iter().map(|w| w + 1).sum();
    let mut out = String::new();
    if width < figures + NAME {
        for (name, row) in names.iter().zip(rows) {
            let words: Vec<String> = FIGURES
                .iter()
                .zip(row)
                .filter(|(_, n)| **n > 0)
                .map(|((_, one, many), n)| format!("{n} {}", if *n == 1 { one } else { many }))
                .collect();
            let words = if words.is_empty() { "nothing".to_string() } else { words.join(", ") };
            out.push_str(&format!("{}\n", cut(name, width)));
            let options =
                textwrap::Options::new(width).initial_indent("  ").subsequent_indent("  ");
            for line in textwrap::wrap(&words, options) {
                out.push_str(&format!("{line}\n"));
            }
        }
        return out;
    }
    let widest = names.iter().map(|n| n.width()).max().unwrap_or(0).max("taxon".len());
    let room = widest.min(width - figures);
    let mut line = |name: &str, cells: [String; FIGURES.len()]| {
        let name = cut(name, room);
        out.push_str(&name);
        out.push_str(&" ".repeat(room.saturating_sub(name.width())));
        for (cell, width) in cells.iter().zip(widths) {
            out.push_str(&format!(" {cell:>width$}"));
        }
        out.push('\n');
    };
    line("taxon", FIGURES.map(|(head, ..)| head.to_string()));
    for (name, row) in names.iter().zip(rows) {
        line(name, row.map(|n| n.to_string()));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_fits_the_window() {
        let name = "Aegilops geniculata subsp. gibberosa (Zhuk.) K. Hammer var. longa";
        let held =
            |name: &str| Held { name: name.into(), sure: 2, sheets: 12345678, ..Held::default() };
        let taxa = vec![held(name), Held { name: "Iris".into(), ..Held::default() }];
        let held = Collection { taxa, ..Collection::default() };
        let rows: Vec<_> = held.taxa.iter().map(figures).collect();
        for width in [40, 60, 80, 120, 200] {
            let out = rows_shown(&held, &rows, width);
            assert!(out.lines().all(|l| l.width() <= width), "{width}:\n{out}");
            assert!(out.contains("12345678") && out.contains('…') == (width < 200), "{out}");
        }
        assert!(rows_shown(&held, &rows, 40).contains("Iris\n  nothing\n"));
    }
}
