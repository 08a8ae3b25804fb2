//! A table of an existing notebook taken in: a row at a time, nothing dropped.
//!
//! A row that has number, collector and date becomes a gathering, with its name, its parts and its
//! note as records of their own. What a row holds beyond the map stays in the gathering under the
//! column's name; a row that lacks what is required is handed back whole.

mod map;

pub use map::{ColumnMap, NoMap, Target};

use std::collections::{HashMap, HashSet};

use indexmap::IndexMap;
use serde::Serialize;

use super::fault::Fault;
use super::record::{Kind, Record};
use super::value::{Fields, Value};
use crate::text::finding::Severity;

/// What a table gave.
#[derive(Clone, Debug, Default)]
pub struct Imported {
    pub records: Vec<Record>,
    /// What was not understood, by the lines of the table.
    pub faults: Vec<Fault>,
    /// Rows that could not become a gathering.
    pub refused: Vec<Refused>,
    pub rows: usize,
    /// The table's columns, in order.
    pub columns: Vec<String>,
    /// Columns that the map does not name; they are kept under their own names.
    pub unmapped: Vec<String>,
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
    Ok((named(names), sign))
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

fn decode(bytes: &[u8]) -> Result<&str, NoTable> {
    let text = std::str::from_utf8(bytes).map_err(|e| {
        let before = &bytes[..e.valid_up_to()];
        NoTable::NotUtf8(1 + before.iter().filter(|b| **b == b'\n').count())
    })?;
    Ok(text.trim_start_matches('\u{feff}'))
}

/// Takes a table in by a map. `name` is the table's file name: every record says from where it is.
///
/// # Errors
/// Where the table cannot be read, or lacks a column that the map names.
pub fn read(bytes: &[u8], name: &str, map: &ColumnMap) -> Result<Imported, NoTable> {
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
    let mut out = Imported {
        unmapped: columns.iter().filter(|c| !mapped.contains(c.as_str())).cloned().collect(),
        columns: columns.clone(),
        ..Imported::default()
    };
    let mut reader =
        csv::ReaderBuilder::new().delimiter(sign).flexible(true).from_reader(text.as_bytes());
    for row in reader.records() {
        let row = match row {
            Ok(row) => row,
            Err(e) => {
                let line = e.position().map_or(0, |p| p.line() as usize);
                let why = e.to_string();
                out.refused.push(Refused { line, cells: Vec::new(), why });
                continue;
            }
        };
        if row.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        out.rows += 1;
        let line = row.position().map_or(0, |p| p.line() as usize);
        let cells: Vec<String> = row.iter().map(|c| c.trim().to_string()).collect();
        Row { places: &places, cells, line, name, map }.take(&mut out);
    }
    Ok(out)
}

struct Row<'a> {
    places: &'a HashMap<&'a str, usize>,
    cells: Vec<String>,
    line: usize,
    name: &'a str,
    map: &'a ColumnMap,
}

impl Row<'_> {
    fn cell(&self, column: &str) -> Option<&str> {
        let at = self.places.get(column)?;
        self.cells.get(*at).map(String::as_str).filter(|c| !c.is_empty())
    }

    /// The cells that a field is made of, joined.
    fn text(&self, target: &Target) -> Option<String> {
        let cells: Vec<&str> = target.columns.iter().filter_map(|c| self.cell(c)).collect();
        // Half a pair of coordinates is none.
        let whole = target.columns.len() == cells.len() || !target.together;
        (whole && !cells.is_empty()).then(|| cells.join(target.join()))
    }

    fn take(self, out: &mut Imported) {
        let mut fields = Fields::new();
        let mut of: IndexMap<Kind, (Fields, Vec<&Target>)> = IndexMap::new();
        for (target, value) in self.map.fixed() {
            fields.insert(target.to_string(), value.clone());
        }
        let mut number = None;
        let mut collector = self.map.collector().map(str::to_string);
        let mut with: Vec<Value> = Vec::new();
        // Columns whose cells found no place under the field that they are mapped to.
        let mut left: Vec<&str> = out.unmapped.iter().map(String::as_str).collect();
        for (field, target) in self.map.targets() {
            let Some(text) = self.text(target) else {
                left.extend(target.columns.iter().map(String::as_str));
                continue;
            };
            match map::place_of(field) {
                map::Place::Number => number = Some(text),
                map::Place::Collector => {
                    // Companions may stand behind the collector; the number is the first one's.
                    let mut people =
                        text.split(['|', ';']).map(str::trim).filter(|p| !p.is_empty());
                    collector = people.next().map(str::to_string).or(collector);
                    with.splice(0..0, people.map(Value::text));
                }
                map::Place::Gathering("with") => match map::value("with", text) {
                    Value::List(people) => with.extend(people),
                    one => with.push(one),
                },
                map::Place::Gathering(name) => {
                    fields.insert(name.to_string(), map::value(name, text));
                }
                map::Place::Fresh(name) => {
                    let fresh = fields
                        .entry("fresh".to_string())
                        .or_insert_with(|| Value::Map(Fields::new()));
                    if let Value::Map(map) = fresh {
                        map.insert(name.to_string(), Value::text(text));
                    }
                }
                map::Place::Other(kind, name) => {
                    let (own, targets) = of.entry(kind).or_default();
                    own.insert(name.to_string(), map::value(name, text));
                    targets.push(target);
                }
            }
        }
        if !with.is_empty() {
            fields.insert("with".to_string(), Value::List(with));
        }
        let (number, collector) = match (number, collector) {
            (Some(number), Some(collector)) => (number, collector),
            (number, _) => {
                let why = match number {
                    None => "it has no number, and does not say that it has none (s.n.)",
                    Some(_) => "it names no collector",
                };
                let why = why.to_string();
                out.refused.push(Refused { line: self.line, cells: self.cells, why });
                return;
            }
        };
        let number = self.numbered(&number, &fields);
        let before = out.faults.len();
        let mut others = Vec::new();
        for (kind, (own, targets)) in of {
            for own in each_part(kind, own) {
                let record = self.record(kind, &number, &collector, own, &mut out.faults);
                if record.is_none() {
                    left.extend(targets.iter().flat_map(|t| &t.columns).map(String::as_str));
                }
                others.extend(record);
            }
        }
        for column in left {
            if let Some(cell) = self.cell(column) {
                // Named so that it cannot be taken for a field of the notebook's own.
                fields.insert(format!("column {column}"), Value::text(cell));
            }
        }
        for (at, cell) in self.cells.iter().enumerate().skip(self.places.len()) {
            if !cell.is_empty() {
                fields.insert(format!("column {} (without a name)", at + 1), Value::text(cell));
            }
        }
        fields
            .insert("source".to_string(), Value::text(format!("{} line {}", self.name, self.line)));
        let mut faults = Vec::new();
        match self.record(Kind::Gathering, &number, &collector, fields, &mut faults) {
            Some(gathering) => {
                out.faults.append(&mut faults);
                out.records.push(gathering);
                out.records.append(&mut others);
            }
            None => {
                out.faults.truncate(before);
                let why: Vec<String> = faults.into_iter().map(|f| f.finding.what).collect();
                let why = why.join("; ");
                out.refused.push(Refused { line: self.line, cells: self.cells, why });
            }
        }
    }

    /// Without a number, the date and the row tell one gathering from another.
    fn numbered(&self, number: &str, fields: &Fields) -> String {
        let bare = number.trim_matches(['.', ' ']).eq_ignore_ascii_case("s.n")
            || number.eq_ignore_ascii_case("s.n.")
            || number.eq_ignore_ascii_case("sn");
        let date = fields.get("date").and_then(Value::as_text).unwrap_or_default();
        if bare {
            let date = super::date::When::read(date).map_or(date.to_string(), |d| d.to_string());
            format!("s.n. {date} row {}", self.line)
        } else {
            number.to_string()
        }
    }

    fn record(
        &self,
        kind: Kind,
        number: &str,
        collector: &str,
        fields: Fields,
        faults: &mut Vec<Fault>,
    ) -> Option<Record> {
        let mut all = Fields::new();
        all.insert(kind.word().to_string(), Value::text(number));
        all.insert("collector".to_string(), Value::text(collector));
        all.extend(fields);
        let before = faults.len();
        let record = Record::reread(all, self.name, self.line, faults);
        if record.is_none() && kind != Kind::Gathering {
            // Said as an error, because this part of the row is in no record of its kind.
            for fault in &mut faults[before..] {
                fault.finding.severity = Severity::Error;
            }
        }
        record
    }
}

/// `sheet; 2 seed packets`: a part each.
fn each_part(kind: Kind, fields: Fields) -> Vec<Fields> {
    let what = fields.get("what").and_then(Value::as_text).unwrap_or_default();
    if kind != Kind::Part || !what.contains([';', '|']) {
        return vec![fields];
    }
    let parts = what.split([';', '|']).map(str::trim).filter(|p| !p.is_empty());
    parts
        .map(|part| {
            let mut own = fields.clone();
            own.insert("what".to_string(), Value::text(part));
            own
        })
        .collect()
}

/// The rows handed back, as a table with the reason in a last column.
pub fn refused_table(columns: &[String], refused: &[Refused]) -> String {
    let mut bytes = Vec::new();
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(&mut bytes);
    let why = "why it was not taken in".to_string();
    // Writing into memory does not fail.
    let mut fine = writer.write_record(columns.iter().chain([&why])).is_ok();
    for row in refused {
        let cells = (0..columns.len()).map(|i| row.cells.get(i).map_or("", String::as_str));
        let more = row.cells.iter().skip(columns.len()).map(String::as_str);
        fine &= writer.write_record(cells.chain([row.why.as_str()]).chain(more)).is_ok();
    }
    fine &= writer.flush().is_ok();
    debug_assert!(fine);
    drop(writer);
    String::from_utf8(bytes).unwrap_or_default()
}
