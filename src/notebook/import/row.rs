//! A row of a table as records: the gathering, its name, its parts and its note.

use std::collections::HashMap;

use indexmap::IndexMap;

use super::given::{Given, Standing};
use super::map::{self, ColumnMap, Target};
use super::{Imported, Refused, parts};
use crate::notebook::date::When;
use crate::notebook::fault::Fault;
use crate::notebook::ledger::LedgerError;
use crate::notebook::record::{Body, Kind, Record};
use crate::notebook::stage;
use crate::notebook::value::{Fields, Value};
use crate::text::finding::Severity;

/// A row of a table whose cells stand under their heads.
pub(super) struct Row<'a> {
    pub places: &'a HashMap<&'a str, usize>,
    pub cells: Vec<String>,
    pub line: usize,
    pub name: &'a str,
    pub map: &'a ColumnMap,
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
        if target.together {
            let cells: Vec<String> = cells.into_iter().map(with_point).collect();
            return (whole && !cells.is_empty()).then(|| cells.join(target.join()));
        }
        (whole && !cells.is_empty()).then(|| cells.join(target.join()))
    }

    /// Makes records of it, or hands it back.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn take(self, out: &mut Imported, given: &mut Given) -> Result<(), LedgerError> {
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
        let named = of.get(&Kind::Determination).and_then(|(own, _)| own.get("name"));
        if named.and_then(Value::as_text).is_some_and(is_no_name)
            && let Some((_, targets)) = of.shift_remove(&Kind::Determination)
        {
            left.extend(targets.iter().flat_map(|t| &t.columns).map(String::as_str));
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
                return Ok(());
            }
        };
        let number = self.numbered(&number, &fields);
        let before = out.faults.len();
        let mut others = Vec::new();
        for (kind, (own, targets)) in of {
            let each = if kind == Kind::Part { parts::each(own) } else { vec![own] };
            for own in each {
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
        fields
            .insert("source".to_string(), Value::text(format!("{} line {}", self.name, self.line)));
        let mut faults = Vec::new();
        match self.record(Kind::Gathering, &number, &collector, fields, &mut faults) {
            Some(gathering) => match given.take(&gathering, self.line)? {
                Standing::Elsewhere(at) => {
                    out.faults.truncate(before);
                    let why = format!(
                        "the number {number} was given to another gathering ({at}); give it a \
                         suffix, or make it a part"
                    );
                    out.refused.push(Refused { line: self.line, cells: self.cells, why });
                }
                standing => {
                    out.faults.append(&mut faults);
                    out.faults.extend(self.stage(&gathering));
                    match standing {
                        Standing::Here => out.already += 1,
                        _ => out.records.push(gathering),
                    }
                    out.records.append(&mut others);
                }
            },
            None => {
                out.faults.truncate(before);
                let why: Vec<String> = faults.into_iter().map(|f| f.finding.what).collect();
                let why = why.join("; ");
                out.refused.push(Refused { line: self.line, cells: self.cells, why });
            }
        }
        Ok(())
    }

    /// A stage that says nothing of flowers or fruits.
    fn stage(&self, record: &Record) -> Option<Fault> {
        let Body::Gathering(gathering) = &record.body else { return None };
        let what = stage::unclear(&gathering.stage)?;
        let fault = Fault::new("stage-unread", Severity::Note, self.name, self.line, what);
        Some(fault.remedy("Correct the gathering where it matters."))
    }

    /// Without a number, the date and the row tell one gathering from another.
    fn numbered(&self, number: &str, fields: &Fields) -> String {
        let bare = number.trim_matches(['.', ' ']).eq_ignore_ascii_case("s.n")
            || number.eq_ignore_ascii_case("s.n.")
            || number.eq_ignore_ascii_case("sn");
        let date = fields.get("date").and_then(Value::as_text).unwrap_or_default();
        if bare {
            let date = When::read(date).map_or(date.to_string(), |d| d.to_string());
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

/// `33,512` as half of a pair: a comma between figures is the decimal one.
fn with_point(cell: &str) -> String {
    let figures = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    match cell.split_once(',') {
        Some((a, b))
            if figures(a.chars().next_back())
                && figures(b.chars().next())
                && !b.contains([',', '.'])
                && !a.contains('.') =>
        {
            format!("{a}.{b}")
        }
        _ => cell.to_string(),
    }
}

/// What stands in a column of names where there is no name yet.
fn is_no_name(text: &str) -> bool {
    const NONE: &[&str] = &[
        "indet",
        "undet",
        "unbestimmt",
        "unbekannt",
        "undetermined",
        "unidentified",
        "unknown",
        "indéterminé",
        "inconnu",
    ];
    let low = text.trim().to_lowercase();
    NONE.contains(&low.trim_end_matches('.')) || low.chars().all(|c| "?-–—.".contains(c))
}
