//! Which column of a table is which field: kept in the notebook's folder, for a person to read.
//!
//! ```yaml
//! number: No.
//! collector: Coll.
//! date: Date
//! coordinates: [Lat, Long]
//! name: Det.
//! fixed:
//!   country: Orenia
//! ```

use indexmap::IndexMap;

use crate::notebook::record::{Gathering, Kind};
use crate::notebook::value::{Fields, Value};
use crate::notebook::yaml;

/// The columns that a field is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    pub columns: Vec<String>,
    /// All of them or none (latitude with longitude).
    pub together: bool,
}

impl Target {
    pub(super) fn join(&self) -> &'static str {
        if self.together { ", " } else { " " }
    }
}

/// Fields by their names, each with its columns.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ColumnMap {
    targets: IndexMap<String, Target>,
    fixed: Fields,
}

/// Why a map cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {what}")]
pub struct NoMap {
    pub line: usize,
    pub what: String,
    pub remedy: String,
}

/// Where a field of the map goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place<'a> {
    Number,
    Collector,
    Gathering(&'a str),
    Fresh(&'a str),
    Other(Kind, &'a str),
}

/// Names in the map that are no fields of a gathering: where they go.
const ELSEWHERE: &[(&str, Kind, &str)] = &[
    ("name", Kind::Determination, "name"),
    ("family", Kind::Determination, "family"),
    ("determined by", Kind::Determination, "by"),
    ("date determined", Kind::Determination, "date"),
    ("determination remarks", Kind::Determination, "remarks"),
    ("type status", Kind::Determination, "type status"),
    ("parts", Kind::Part, "what"),
    ("store", Kind::Part, "store"),
    ("count", Kind::Part, "count"),
    ("individuals", Kind::Part, "individuals"),
    ("note", Kind::Note, "text"),
];

/// Fields of a gathering that hold several values.
const LISTS: &[&str] = &["with", "stage", "associated", "photographs", "by"];

/// Where a field goes; unknown ones become a gathering's unknown fields.
pub(super) fn place_of(field: &str) -> Place<'_> {
    match field {
        "number" => Place::Number,
        "collector" => Place::Collector,
        _ => {
            if let Some(name) = field.strip_prefix("fresh ") {
                return Place::Fresh(name);
            }
            match ELSEWHERE.iter().find(|e| e.0 == field) {
                Some((_, kind, name)) => Place::Other(*kind, name),
                None => Place::Gathering(field),
            }
        }
    }
}

/// A cell as the field wants it: lists are parted at `|` and `;`.
pub(super) fn value(field: &str, text: String) -> Value {
    if field == "datum" && text == "not recorded" {
        return Value::text("");
    }
    if !LISTS.contains(&field) || !text.contains(['|', ';']) {
        return Value::Text(text);
    }
    let parts = text.split(['|', ';']).map(str::trim).filter(|p| !p.is_empty());
    Value::List(parts.map(Value::text).collect())
}

impl ColumnMap {
    /// Reads a map.
    ///
    /// # Errors
    /// What is no map of fields to columns, and names that are no fields.
    pub fn read(text: &str) -> Result<ColumnMap, NoMap> {
        let fields = yaml::read(text)
            .map_err(|e| NoMap { line: e.line, what: e.what, remedy: e.remedy })?
            .unwrap_or_default();
        let mut out = ColumnMap::default();
        for (name, field) in fields {
            let fault = |what: String, remedy: &str| NoMap {
                line: field.line,
                what,
                remedy: remedy.to_string(),
            };
            if name != "fixed" && !is_known(&name) {
                let what = format!("\"{name}\" is no field of the notebook");
                let known = ColumnMap::known().join(", ");
                return Err(fault(what, &format!("The fields are: {known}.")));
            }
            match (name.as_str(), &field.value) {
                ("fixed", Value::Map(map)) => out.fixed = map.clone(),
                (_, Value::Text(column)) => {
                    let columns = vec![column.clone()];
                    out.targets.insert(name, Target { columns, together: false });
                }
                (_, Value::List(list)) => {
                    let columns: Option<Vec<String>> =
                        list.iter().map(|v| v.as_text().map(str::to_string)).collect();
                    let columns = columns.ok_or_else(|| {
                        fault(format!("\"{name}\" wants columns"), "Name columns in a list.")
                    })?;
                    let together = name == "coordinates";
                    out.targets.insert(name, Target { columns, together });
                }
                _ => {
                    let remedy = "Write the field, a colon, and the column's name.";
                    return Err(fault(format!("\"{name}\" is not a column"), remedy));
                }
            }
        }
        Ok(out)
    }

    /// A map from the names of the columns alone. A person has to look at it.
    pub fn guess(columns: &[String]) -> ColumnMap {
        super::guess::guess(columns, &[])
    }

    /// Maps a field that is not mapped yet.
    pub(super) fn add(&mut self, field: &str, target: Target) {
        self.targets.entry(field.to_string()).or_insert(target);
    }

    /// The map as a file, for a person to mend.
    pub fn text(&self) -> String {
        let mut fields = Fields::new();
        for (name, target) in &self.targets {
            let value = match &target.columns[..] {
                [one] => Value::text(one),
                several => Value::List(several.iter().map(Value::text).collect()),
            };
            fields.insert(name.clone(), value);
        }
        if !self.fixed.is_empty() {
            fields.insert("fixed".to_string(), Value::Map(self.fixed.clone()));
        }
        yaml::write_body(&fields)
    }

    pub fn targets(&self) -> impl Iterator<Item = (&str, &Target)> {
        self.targets.iter().map(|(k, t)| (k.as_str(), t))
    }

    pub fn columns(&self) -> impl Iterator<Item = &str> {
        self.targets.values().flat_map(|t| t.columns.iter().map(String::as_str))
    }

    /// Values that hold for every row.
    pub(super) fn fixed(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.fixed.iter().map(|(k, v)| (k.as_str(), v)).filter(|(k, _)| *k != "collector")
    }

    /// The collector of rows that name none.
    pub fn collector(&self) -> Option<&str> {
        self.fixed.get("collector").and_then(Value::as_text)
    }

    /// The same with a collector for rows that name none.
    pub fn with_collector(mut self, name: &str) -> ColumnMap {
        if !self.fixed.contains_key("collector") {
            self.fixed.insert("collector".to_string(), Value::text(name));
        }
        self
    }

    /// The names that a map may use; of `fresh ...` there are as many as one likes.
    pub fn known() -> Vec<&'static str> {
        let own = ["number", "collector"].into_iter();
        let shown = |f: &'static str| if f == "fresh" { "fresh ..." } else { f };
        let gathering = Gathering::FIELDS.iter().copied().filter(|f| *f != "source").map(shown);
        own.chain(gathering).chain(ELSEWHERE.iter().map(|e| e.0)).collect()
    }
}

fn is_known(name: &str) -> bool {
    name.starts_with("fresh ") || ColumnMap::known().contains(&name)
}
