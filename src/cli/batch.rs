//! `batch`: many specimens through one key, a line each in, a line each out, in the same order.

use std::io::{BufRead, BufReader, IsTerminal, Read, Write};

use anyhow::{Context, Result, anyhow, ensure};
use clap::ValueEnum;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};

use super::{Outcome, Terminal, input, specimen};
use crate::key::ConditionId;
use crate::sift::report::{LIKELY, said};
use crate::sift::{Assumptions, Series};

/// Put many specimens through one key: JSON Lines or CSV in and out, order kept
///
/// In, a JSON object a line: {"id":"1042", "observations":["petals red", "leaf blade 34 mm"],
/// "condition":"pressed", "month":"May", "place":["barley"]}; only "observations" is required; a
/// month is a name or a number. In CSV the columns have these names, observations parted by
/// semicolons. Out, an object (or row) a line: "line", "id", "verdict", "names":[{"taxon",
/// "probability", "misfits"}], "cautions", or "line", "id", "error". A line that cannot be read is carried through with its error and never dropped.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples
  hilum batch field-weeds season.jsonl > names.jsonl
  hilum batch field-weeds season.csv --to csv > names.csv
Exit status: 0 every line was read, 1 some carry an error, 2 it could not run")]
pub struct Batch {
    /// A key file, or the name of a key inside the program
    #[arg(value_name = "KEY")]
    key: String,
    /// The specimens; standard input where no file is named
    #[arg(value_name = "FILE")]
    file: Option<String>,
    /// How the specimens are written; told from the file's name where not said
    #[arg(long, value_name = "FORM")]
    from: Option<Form>,
    /// How the names are written
    #[arg(long, value_name = "FORM", default_value = "jsonl")]
    to: Form,
    /// How many misfits a name may have
    #[arg(long, value_name = "N", default_value_t = 1)]
    tolerance: usize,
    /// The share of characters that people misread (default: Waeldchen et al. 2022)
    #[arg(long, value_name = "SHARE", default_value_t = 0.21, value_parser = super::sift::share)]
    misreading: f64,
    /// How many names are given of each
    #[arg(long, value_name = "N", default_value_t = 3)]
    names: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    Jsonl,
    Csv,
}

/// How many specimens are in work at once: enough for every core, little memory.
const AT_ONCE: usize = 8192;

/// How many are written out together.
const A_PAGE: usize = 64;

/// The columns of a table of names.
const HEADS: [&str; 8] =
    ["line", "id", "verdict", "taxon", "probability", "misfits", "error", "cautions"];

/// A longer line is refused before it is read: no specimen has so many observations.
const LONGEST_LINE: u64 = 1 << 20;

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Brought {
    pub id: Option<serde_json::Value>,
    pub observations: Vec<String>,
    pub condition: Option<String>,
    /// A number or a name: `5`, `May`.
    month: Option<serde_json::Value>,
    place: Vec<String>,
}

/// A line that could not be read, with the specimen's id where that could.
#[derive(Debug)]
pub(super) struct Unreadable {
    pub id: Option<serde_json::Value>,
    pub error: String,
}

impl From<String> for Unreadable {
    fn from(error: String) -> Unreadable {
        Unreadable { id: None, error }
    }
}

#[derive(Debug, Serialize)]
struct Named<'k> {
    line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<serde_json::Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    verdict: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<String>,
    names: Vec<Name<'k>>,
    /// What to beware of with any of the names, each once.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cautions: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<String>,
}

/// What was found for a specimen.
struct Found<'k> {
    verdict: &'static str,
    words: String,
    names: Vec<Name<'k>>,
    cautions: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Name<'k> {
    taxon: &'k str,
    probability: f64,
    misfits: Option<usize>,
}

/// A line that was read, or why it could not be.
pub(super) type Line = (usize, Result<Brought, Unreadable>);

struct Desk<'k> {
    series: Series<'k>,
    names: usize,
    to: Form,
}

impl Batch {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        let key = input::key(&self.key)?;
        let assumptions = Assumptions { misreading: self.misreading, ..Assumptions::default() };
        let series = Series::new(&key, assumptions, self.tolerance, self.names);
        let desk = Desk { series, names: self.names, to: self.to };
        let mut lines = lines(self.file.as_deref().unwrap_or("-"), self.from)?;
        if self.to == Form::Csv {
            let mut csv = csv::Writer::from_writer(Vec::new());
            csv.write_record(HEADS)?;
            terminal.write_all(&csv.into_inner()?)?;
        }
        let shows = std::io::stderr().is_terminal();
        let (mut done, mut wrong) = (0usize, 0usize);
        loop {
            let chunk: Vec<Line> = lines.by_ref().take(AT_ONCE).collect::<Result<_>>()?;
            if chunk.is_empty() {
                break;
            }
            done += chunk.len();
            let pages = chunk.into_par_iter().chunks(A_PAGE).map(|lines| desk.page(lines));
            for page in pages.collect::<Result<Vec<_>>>()? {
                terminal.write_all(&page.text)?;
                wrong += page.wrong;
            }
            terminal.flush()?;
            if shows {
                eprint!("\r{done} specimens");
            }
        }
        if shows {
            eprintln!("\r{done} specimens, {wrong} with an error");
        } else if wrong > 0 {
            eprintln!("hilum: {wrong} of {done} lines carry an error");
        }
        Ok(if wrong == 0 { Outcome::Well } else { Outcome::Found })
    }
}

/// The specimens of a file, `-` for standard input; told by the file's name how they are written,
/// where `from` does not say it.
///
/// # Errors
/// Where the file cannot be opened, or a table has no column of observations.
pub(super) fn lines(
    name: &str,
    from: Option<Form>,
) -> Result<Box<dyn Iterator<Item = Result<Line>>>> {
    let csv = name.to_lowercase().ends_with(".csv");
    let from = from.unwrap_or(if csv { Form::Csv } else { Form::Jsonl });
    let source: Box<dyn Read> = match name {
        "-" => Box::new(std::io::stdin().lock()),
        path => {
            Box::new(std::fs::File::open(path).with_context(|| format!("{path} cannot be opened"))?)
        }
    };
    Ok(match from {
        Form::Jsonl => Box::new(json_lines(BufReader::with_capacity(1 << 20, source))),
        Form::Csv => Box::new(csv_rows(source)?),
    })
}

fn json_lines(mut from: impl BufRead) -> impl Iterator<Item = Result<Line>> {
    let mut number = 0;
    std::iter::from_fn(move || {
        loop {
            let mut line = Vec::new();
            match from.by_ref().take(LONGEST_LINE + 1).read_until(b'\n', &mut line) {
                Err(e) => return Some(Err(e.into())),
                Ok(0) => return None,
                Ok(_) => {}
            }
            number += 1;
            if line.len() as u64 > LONGEST_LINE {
                let skipped = from.skip_until(b'\n');
                let why = format!("the line is longer than {LONGEST_LINE} bytes");
                return Some(skipped.map(|_| (number, Err(why.into()))).map_err(Into::into));
            }
            if line.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            return Some(Ok((number, brought(&line))));
        }
    })
}

/// A line as a specimen; what is wrong with the rest does not lose its id.
fn brought(line: &[u8]) -> Result<Brought, Unreadable> {
    serde_json::from_slice(line).map_err(|e| {
        let whole: serde_json::Value = serde_json::from_slice(line).unwrap_or_default();
        Unreadable { id: whole.get("id").cloned(), error: e.to_string() }
    })
}

fn csv_rows(from: impl Read) -> Result<impl Iterator<Item = Result<Line>>> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(from);
    let heads = reader.headers()?.clone();
    let at = |name: &str| heads.iter().position(|h| h.trim().eq_ignore_ascii_case(name));
    let (id, seen, condition, month, place) =
        (at("id"), at("observations"), at("condition"), at("month"), at("place"));
    let seen = seen.context("the table has no column `observations`")?;
    Ok(reader.into_records().enumerate().map(move |(i, record)| {
        let record = match record {
            Ok(r) => r,
            Err(e) if e.is_io_error() => return Err(e.into()),
            Err(e) => return Ok((i + 2, Err(e.to_string().into()))),
        };
        let line = record.position().map_or(i + 2, |p| p.line() as usize);
        let field = |n: Option<usize>| {
            n.and_then(|n| record.get(n)).map(str::trim).filter(|f| !f.is_empty())
        };
        let parts = |text: Option<&str>| -> Vec<String> {
            text.map_or_else(Vec::new, |t| {
                t.split(';').map(|p| p.trim().to_string()).filter(|p| !p.is_empty()).collect()
            })
        };
        Ok((
            line,
            Ok(Brought {
                id: field(id).map(|i| i.into()),
                observations: parts(field(Some(seen))),
                condition: field(condition).map(str::to_string),
                month: field(month).map(|m| m.into()),
                place: parts(field(place)),
            }),
        ))
    }))
}

fn csv_row(out: &mut csv::Writer<Vec<u8>>, n: &Named) -> Result<()> {
    let id = match &n.id {
        Some(serde_json::Value::String(s)) => s.clone(),
        Some(other) => other.to_string(),
        None => String::new(),
    };
    let line = n.line.to_string();
    let is_of = |c: &&String, name: &Name<'_>| c.starts_with(&format!("{}: ", name.taxon));
    // Each name's own stand in its row, all others in the first.
    let cautions = |at: usize| {
        let of_another =
            |c: &&String| n.names.iter().enumerate().any(|(i, name)| i != at && is_of(c, name));
        let own = |c: &&String| match n.names.get(at) {
            Some(name) if at > 0 => is_of(c, name),
            _ => !of_another(c),
        };
        n.cautions.iter().filter(own).map(String::as_str).collect::<Vec<_>>().join(" | ")
    };
    let verdict = n.verdict.unwrap_or("");
    if n.names.is_empty() {
        let error = n.error.as_deref().unwrap_or("");
        out.write_record([&line, &id, verdict, "", "", "", error, &cautions(0)])?;
    }
    for (at, name) in n.names.iter().enumerate() {
        let misfits = name.misfits.map(|m| m.to_string()).unwrap_or_default();
        let probability = name.probability.to_string();
        let fields = [&line, &id, verdict, name.taxon, &probability, &misfits, "", &cautions(at)];
        out.write_record(fields)?;
    }
    Ok(())
}

/// Some lines of names as they are printed, and how many carry an error.
struct Page {
    text: Vec<u8>,
    wrong: usize,
}

impl<'k> Desk<'k> {
    fn page(&self, lines: Vec<Line>) -> Result<Page> {
        let named = lines.into_iter().map(|(line, brought)| self.name(line, brought));
        let mut text = Vec::new();
        let mut wrong = 0;
        match self.to {
            Form::Jsonl => {
                for n in named {
                    wrong += usize::from(n.error.is_some());
                    serde_json::to_writer(&mut text, &n)?;
                    text.push(b'\n');
                }
            }
            Form::Csv => {
                let mut csv = csv::Writer::from_writer(text);
                for n in named {
                    wrong += usize::from(n.error.is_some());
                    csv_row(&mut csv, &n)?;
                }
                text = csv.into_inner()?;
            }
        }
        Ok(Page { text, wrong })
    }

    fn name(&self, line: usize, brought: Result<Brought, Unreadable>) -> Named<'k> {
        let (id, found) = match brought {
            Err(e) => (e.id, Err(e.error)),
            Ok(b) => {
                let found = self.find(&b).map_err(|e| format!("{e:#}"));
                (b.id, found)
            }
        };
        let (found, error) = match found {
            Ok(found) => (Some(found), None),
            Err(e) => (None, Some(e)),
        };
        let (verdict, words) = match &found {
            Some(f) => (Some(f.verdict), Some(f.words.clone())),
            None => (None, None),
        };
        let (names, cautions) = found.map_or_else(Default::default, |f| (f.names, f.cautions));
        Named { line, id, verdict, words, names, cautions, error }
    }

    fn find(&self, b: &Brought) -> Result<Found<'k>> {
        ensure!(
            b.observations.iter().any(|o| !o.trim().is_empty()),
            "nothing was observed, so nothing can be named"
        );
        let (key, table) = (self.series.key(), self.series.table());
        let condition = match &b.condition {
            Some(name) => specimen::condition(key, name)?,
            None => ConditionId::FRESH,
        };
        let month = match &b.month {
            Some(serde_json::Value::String(name)) => Some(specimen::month(key, name)?),
            Some(other) => Some(specimen::month(key, &other.to_string())?),
            None => None,
        };
        let found = self
            .series
            .name(&b.observations, condition, month, &b.place)
            .map_err(|(i, why)| anyhow!("{}", why.of(&b.observations[i])))?;
        // A row may be read alone: every name in it comes with its cautions.
        let named = found.verdict.rows();
        let told = found.ranking.order.iter().enumerate().filter_map(|(at, (row, p))| {
            let is_told = at < self.names || *p >= LIKELY || named.contains(row);
            is_told.then(|| table.taxon(*row))
        });
        let cautions = key.cautions_for(&told.collect::<Vec<_>>());
        let verdict = found.verdict.word();
        let names = found
            .ranking
            .order
            .iter()
            .take(self.names)
            .map(|(row, probability)| Name {
                taxon: &key.taxon(table.taxon(*row)).name,
                probability: *probability,
                misfits: found.agreement.misfits(*row),
            })
            .collect();
        let words = said(key, table, &found.observations, found.verdict).words;
        Ok(Found { verdict, words, names, cautions })
    }
}
