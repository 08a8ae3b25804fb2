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
    ("individuals", Kind::Part, "individuals"),
    ("note", Kind::Note, "text"),
];

/// Fields of a gathering that hold several values.
const LISTS: &[&str] = &["with", "stage", "associated", "photographs", "by"];

/// Names of columns that are read without a map, in small letters: the names of the fields
/// themselves, those of Darwin Core, and what field books often have.
const USUAL: &[(&str, &[&str])] = &[
    (
        "number",
        &[
            "number",
            "no",
            "no.",
            "nr",
            "nr.",
            "num",
            "coll. no.",
            "collection number",
            "recordnumber",
            "field number",
            "nummer",
            "numéro",
        ],
    ),
    (
        "collector",
        &[
            "collector",
            "coll.",
            "coll",
            "recordedby",
            "collected by",
            "leg.",
            "leg",
            "sammler",
            "collecteur",
        ],
    ),
    ("with", &["with", "coll. with", "companions", "additional collectors"]),
    ("date", &["date", "eventdate", "collection date", "date collected", "datum der sammlung"]),
    ("date as written", &["date as written", "verbatimeventdate"]),
    ("place", &["place", "locality", "location", "fundort", "localité"]),
    ("country", &["country", "land", "pays"]),
    ("country code", &["country code", "countrycode"]),
    ("province", &["province", "stateprovince", "state", "region"]),
    ("datum", &["datum", "geodeticdatum"]),
    ("uncertainty", &["uncertainty", "coordinateuncertaintyinmeters", "accuracy"]),
    (
        "altitude",
        &["altitude", "alt.", "alt", "elevation", "elev.", "elev", "verbatimelevation", "höhe"],
    ),
    ("habitat", &["habitat", "standort", "ecology"]),
    ("substrate", &["substrate", "soil"]),
    ("abundance", &["abundance", "frequency"]),
    ("habit", &["habit", "life form"]),
    ("height", &["height", "plant height"]),
    ("stage", &["stage", "phenology", "reproductivecondition"]),
    ("associated", &["associated", "associated plants", "associated species", "associatedtaxa"]),
    ("permit", &["permit", "permit number"]),
    ("photographs", &["photographs", "photos", "associatedmedia"]),
    ("project", &["project"]),
    ("establishment", &["establishment", "degreeofestablishment"]),
    ("remarks", &["remarks", "remark", "occurrenceremarks", "bemerkungen", "remarques"]),
    ("fresh colour", &["colour", "color", "flower colour", "flower color"]),
    ("fresh scent", &["scent", "smell", "odour"]),
    ("fresh sap", &["sap", "latex"]),
    (
        "name",
        &[
            "name",
            "verbatimidentification",
            "determination",
            "det",
            "det.",
            "identification",
            "species",
            "taxon",
        ],
    ),
    ("family", &["family", "familie", "famille"]),
    ("determined by", &["determined by", "identifiedby", "det. by", "determiner"]),
    ("date determined", &["date determined", "dateidentified", "det. date"]),
    ("parts", &["parts", "part", "material"]),
    ("note", &["note", "notes", "fieldnotes", "notizen"]),
];

/// Pairs of columns that make coordinates, and ranges that make an altitude.
const PAIRS: &[(&str, &str, &str)] = &[
    ("coordinates", "decimallatitude", "decimallongitude"),
    ("coordinates", "latitude", "longitude"),
    ("coordinates", "lat", "long"),
    ("coordinates", "lat", "lon"),
    ("coordinates", "lat.", "long."),
];

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
        if let Some(name) = out.targets.keys().find(|n| !is_known(n)) {
            return Err(NoMap {
                line: 1,
                what: format!("\"{name}\" is no field of the notebook"),
                remedy: format!("The fields are: {}.", ColumnMap::known().join(", ")),
            });
        }
        Ok(out)
    }

    /// A map from the names of the columns alone. A person has to look at it.
    pub fn guess(columns: &[String]) -> ColumnMap {
        let small: Vec<String> = columns.iter().map(|c| c.trim().to_lowercase()).collect();
        let find = |name: &str| small.iter().position(|c| c == name);
        let mut out = ColumnMap::default();
        let mut add = |field: &str, columns: Vec<String>, together| {
            out.targets.entry(field.to_string()).or_insert(Target { columns, together });
        };
        for (field, names) in USUAL {
            // The first of the names that the table has, so that the surest wins.
            if let Some(at) = names.iter().find_map(|n| find(n)) {
                add(field, vec![columns[at].clone()], false);
            }
        }
        let whole = ["verbatimcoordinates", "coordinates", "koordinaten"];
        let whole = whole.iter().find_map(|n| find(n));
        let pair = PAIRS.iter().find_map(|(_, a, b)| Some((find(a)?, find(b)?)));
        match (whole, pair) {
            (Some(at), _) => add("coordinates", vec![columns[at].clone()], false),
            (None, Some((a, b))) => {
                add("coordinates", vec![columns[a].clone(), columns[b].clone()], true);
            }
            (None, None) => {}
        }
        out
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

    /// The names that a map may use.
    pub fn known() -> Vec<&'static str> {
        let own = ["number", "collector"].into_iter();
        let gathering = Gathering::FIELDS.iter().copied().filter(|f| *f != "source");
        own.chain(gathering).chain(ELSEWHERE.iter().map(|e| e.0)).collect()
    }
}

fn is_known(name: &str) -> bool {
    name.starts_with("fresh ") || ColumnMap::known().contains(&name)
}
