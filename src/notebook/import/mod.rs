//! A table of an existing notebook taken in: a row at a time, nothing dropped.
//!
//! A row that has number, collector and date becomes a gathering, with its name, its parts and its
//! note as records of their own. What a row holds beyond the map stays in the gathering under the
//! column's name; a row that lacks what is required is handed back whole.

mod given;
mod guess;
mod map;
mod parts;
mod row;

pub use guess::Guess;
pub use map::{ColumnMap, NoMap, Target};

use std::collections::{HashMap, HashSet};

use serde::Serialize;

use self::given::Given;
use self::row::Row;
use super::audit;
use super::date::When;
use super::fault::Fault;
use super::ledger::{Ledger, LedgerError};
use super::record::{Body, Record};

/// What a table gave.
#[derive(Clone, Debug, Default)]
pub struct Imported {
    pub records: Vec<Record>,
    /// What was not understood, by the lines of the table.
    pub faults: Vec<Fault>,
    /// Rows that could not become a gathering.
    pub refused: Vec<Refused>,
    pub rows: usize,
    /// Gatherings that the ledger has from another row or another table.
    pub already: usize,
    /// The table's columns, in order.
    pub columns: Vec<String>,
    /// Columns that the map does not name; they are kept under their own names.
    pub unmapped: Vec<String>,
}

impl Imported {
    /// Tells gatherings of a day that is still to come. `table` is the table's file name.
    pub fn tell_future(&mut self, table: &str, today: &When) {
        let line = |source: &Option<String>| {
            source.as_deref()?.rsplit_once(" line ")?.1.parse::<usize>().ok()
        };
        let fault = |r: &Record| match (&r.body, r.specimen()) {
            (Body::Gathering(g), Some(of)) if g.date.is_after(today) => {
                Some(audit::in_the_future(table, line(&g.source).unwrap_or(1), of, &g.date))
            }
            _ => None,
        };
        let faults: Vec<Fault> = self.records.iter().filter_map(fault).collect();
        self.faults.extend(faults);
    }
}

/// A row handed back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// Line of the table, counted from 1.
    pub line: usize,
    pub cells: Vec<String>,
    pub why: String,
}

/// Why a table cannot be read at all.
#[derive(Debug, thiserror::Error)]
pub enum NoTable {
    #[error("the table is not UTF-8 text (line {0}); save it as CSV in UTF-8")]
    NotUtf8(usize),
    #[error("the table has no first line with the names of its columns")]
    Empty,
    #[error(transparent)]
    Ledger(#[from] LedgerError),
    #[error("the column \"{0}\" of the map is not in the table; it has {1}")]
    NoColumn(String, String),
}

/// The names of a table's columns, and the sign that parts them.
///
/// # Errors
/// What is no text, or has no first line.
pub fn columns(bytes: &[u8]) -> Result<(Vec<String>, u8), NoTable> {
    let text = decode(bytes)?;
    let first = text.lines().next().unwrap_or_default();
    let count = |sign: u8| first.bytes().filter(|b| *b == sign).count();
    let sign =
        [b',', b';', b'\t'].into_iter().max_by_key(|s| (count(*s), *s == b',')).unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(sign)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let head = reader.records().next().and_then(Result::ok);
    let names: Vec<String> =
        head.map(|h| h.iter().map(|c| c.trim().to_string()).collect()).unwrap_or_default();
    if names.iter().all(String::is_empty) {
        return Err(NoTable::Empty);
    }
    Ok((named(names.into_iter().map(shortened).collect()), sign))
}

/// The most letters of a column's name: it becomes the name of a field, and a name of more than
/// about a thousand could not be read back from the ledger.
const LONGEST_NAME: usize = 120;

/// A column's name without characters that cannot be seen, and not too long for a field.
fn shortened(name: String) -> String {
    let seen: String = name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let name = seen.trim();
    match name.char_indices().nth(LONGEST_NAME) {
        Some((at, _)) => format!("{}…", name[..at].trim_end()),
        None => name.to_string(),
    }
}

/// Names for columns that have none, or one that stands before: what is in them is kept too.
fn named(names: Vec<String>) -> Vec<String> {
    let mut taken: HashSet<String> = names.iter().cloned().collect();
    // Of each name the first column keeps it, and the number that was tried last goes on.
    let mut tried: HashMap<String, usize> = HashMap::new();
    let number = |(i, name): (usize, String)| {
        let first = !tried.contains_key(&name) && !name.is_empty();
        let n = tried.entry(name.clone()).or_insert(i);
        let mut own = name.clone();
        while !first && !taken.insert(own.clone()) {
            *n += 1;
            own = format!("{name} {n}").trim().to_string();
        }
        own
    };
    names.into_iter().enumerate().map(number).collect()
}

/// Rows that a guess looks at.
const LOOKED_AT: usize = 200;

/// Guesses which column is which field, from the names and the first rows.
///
/// # Errors
/// As [`columns`].
pub fn guess(bytes: &[u8]) -> Result<Guess, NoTable> {
    let (columns, sign) = columns(bytes)?;
    let text = decode(bytes)?;
    let mut reader =
        csv::ReaderBuilder::new().delimiter(sign).flexible(true).from_reader(text.as_bytes());
    // What is shifted stands under wrong heads.
    let right = |r: &csv::StringRecord| r.len() <= columns.len();
    let rows: Vec<_> =
        reader.records().take(LOOKED_AT).filter_map(Result::ok).filter(right).collect();
    let map = guess::guess(&columns, &rows);
    let mapped: HashSet<&str> = map.columns().collect();
    let out = columns.iter().filter(|c| !mapped.contains(c.as_str()) && *c != WHY);
    let left_out = out.cloned().collect();
    Ok(Guess { map, left_out })
}

fn decode(bytes: &[u8]) -> Result<&str, NoTable> {
    let text = std::str::from_utf8(bytes).map_err(|e| {
        let before = &bytes[..e.valid_up_to()];
        NoTable::NotUtf8(1 + before.iter().filter(|b| **b == b'\n').count())
    })?;
    Ok(text.trim_start_matches('\u{feff}'))
}

/// The heading of the last column of a table of rows that were handed back.
const WHY: &str = "why it was not taken in";

/// Takes a table in by a map. `name` is the table's file name: every record says from where it is.
///
/// # Errors
/// Where the table cannot be read, or lacks a column that the map names.
pub fn read(bytes: &[u8], name: &str, map: &ColumnMap) -> Result<Imported, NoTable> {
    take_in(bytes, name, map, Given::default())
}

/// As [`read`], for a ledger that has numbers already: what would give one of them to another
/// gathering is refused.
///
/// # Errors
/// As [`read`], and where the ledger cannot be read.
pub fn read_beside(
    bytes: &[u8],
    name: &str,
    map: &ColumnMap,
    ledger: &Ledger,
) -> Result<Imported, NoTable> {
    let given = Given { ledger: Some(ledger.catalogue()), ..Given::default() };
    take_in(bytes, name, map, given)
}

fn take_in(
    bytes: &[u8],
    name: &str,
    map: &ColumnMap,
    mut given: Given,
) -> Result<Imported, NoTable> {
    let (columns, sign) = columns(bytes)?;
    let text = decode(bytes)?;
    let places: HashMap<&str, usize> =
        columns.iter().enumerate().map(|(i, c)| (c.as_str(), i)).collect();
    for column in map.columns() {
        if !places.contains_key(column) {
            return Err(NoTable::NoColumn(column.to_string(), columns.join(", ")));
        }
    }
    let mapped: HashSet<&str> = map.columns().collect();
    // A table of rows handed back has the reason behind the cells.
    let told = columns.len() > 1 && columns.last().is_some_and(|c| c == WHY);
    let own = &columns[..columns.len() - usize::from(told)];
    let mut out = Imported {
        unmapped: own.iter().filter(|c| !mapped.contains(c.as_str())).cloned().collect(),
        columns: own.to_vec(),
        ..Imported::default()
    };
    let mut reader =
        csv::ReaderBuilder::new().delimiter(sign).flexible(true).from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for row in reader.records() {
        match row {
            Ok(row) => rows.push(row),
            Err(e) => {
                let line = e.position().map_or(0, |p| p.line() as usize);
                let why = e.to_string();
                out.refused.push(Refused { line, cells: Vec::new(), why });
            }
        }
    }
    // Where every row ends in the sign once more, nothing is shifted.
    let shortest =
        if rows.len() > 1 { rows.iter().map(csv::StringRecord::len).min() } else { None };
    let longest = shortest.unwrap_or_default().max(columns.len());
    for row in rows {
        if row.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        out.rows += 1;
        let line = row.position().map_or(0, |p| p.line() as usize);
        let mut cells: Vec<String> = row.iter().map(|c| c.trim().to_string()).collect();
        let behind = cells.iter().skip(columns.len()).any(|c| !c.is_empty());
        let shifted = (behind || cells.len() > longest).then_some(cells.len());
        if told && cells.len() >= columns.len() {
            cells.pop();
        }
        if let Some(count) = shifted {
            let why = format!(
                "row {line} has {count} cells, the heading {}: put a cell that holds the sign \
                 between cells ({}) in quotation marks",
                columns.len(),
                if sign == b'\t' { "a tab".to_string() } else { char::from(sign).to_string() },
            );
            out.refused.push(Refused { line, cells, why });
            continue;
        }
        Row { places: &places, cells, line, name, map }.take(&mut out, &mut given)?;
    }
    Ok(out)
}

/// The rows handed back, as a table with the reason in a last column. A row with more cells than
/// the heading keeps their order, so that two of them can be made one again.
pub fn refused_table(columns: &[String], refused: &[Refused]) -> String {
    let mut bytes = Vec::new();
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(&mut bytes);
    // Writing into memory does not fail.
    let mut fine = writer.write_record(columns.iter().map(String::as_str).chain([WHY])).is_ok();
    for row in refused {
        let blank = columns.len().saturating_sub(row.cells.len());
        let cells = row.cells.iter().map(String::as_str).chain(std::iter::repeat_n("", blank));
        fine &= writer.write_record(cells.chain([row.why.as_str()])).is_ok();
    }
    fine &= writer.flush().is_ok();
    debug_assert!(fine);
    drop(writer);
    String::from_utf8(bytes).unwrap_or_default()
}
