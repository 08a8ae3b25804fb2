//! How a record's fields are read and written: one line a field, both ways from the same table.

use indexmap::IndexMap;

use crate::notebook::altitude::{Altitude, Uncertainty};
use crate::notebook::coordinates::Coordinates;
use crate::notebook::date::When;
use crate::notebook::fault::Fault;
use crate::notebook::value::{Fields, Value};
use crate::notebook::yaml::Field;
use crate::text::finding::Severity;

/// What a field can hold.
pub trait Entry: Sized {
    /// What a record without the field holds; `None` where the field is required.
    fn absent() -> Option<Self>;

    /// # Errors
    /// A sentence that says what the value is not and how to write it.
    fn take(value: &Value) -> Result<Self, String>;

    /// `None` where nothing is to be written.
    fn give(&self) -> Option<Value>;
}

/// Reads the fields of one record, keeps what it does not know, gathers what is wrong.
pub struct Reader<'a> {
    pub fields: IndexMap<String, Field>,
    pub file: &'a str,
    /// Line of the document's first byte, from 1; the fields' own lines count from 1 in it.
    pub line: usize,
    /// Line of the first field.
    pub head: usize,
    pub faults: Vec<Fault>,
    /// Whether names that may be slips are told: not in a map within a record, where one thing
    /// wrong is wrong with the whole.
    hints: bool,
}

impl<'a> Reader<'a> {
    pub fn new(fields: IndexMap<String, Field>, file: &'a str, line: usize) -> Reader<'a> {
        let head = line + fields.values().map(|f| f.line).min().unwrap_or(1) - 1;
        Reader { fields, file, line, head, faults: Vec::new(), hints: true }
    }

    /// Takes a field out; one that cannot be understood stays among the unknown ones.
    pub fn take<T: Entry>(&mut self, name: &str) -> Option<T> {
        let found = self.fields.get_full(name).map(|(at, _, f)| (at, f, f.value.is_empty()));
        let Some((at, field, false)) = found else {
            if let Some((at, ..)) = found {
                self.fields.shift_remove_index(at);
            }
            let absent = T::absent();
            if absent.is_none() {
                self.missing(name);
            }
            return absent;
        };
        let line = self.line + field.line - 1;
        match T::take(&field.value) {
            Ok(value) => {
                self.fields.shift_remove_index(at);
                Some(value)
            }
            Err(why) => {
                let what = format!("\"{name}\": {why}");
                match T::absent() {
                    Some(absent) => {
                        self.fault(Severity::Warning, "field-unread", line, what).remedy(
                            "The field is kept as written and not used; correct it there, or \
                             with a correction.",
                        );
                        Some(absent)
                    }
                    None => {
                        self.fault(Severity::Error, "field-unread", line, what)
                            .remedy("Correct it; until then the record is not used.");
                        None
                    }
                }
            }
        }
    }

    /// Tells that a required field is not there, at the line that may have been meant for it.
    fn missing(&mut self, name: &str) {
        let what = format!("the record has no \"{name}\"");
        let slip = self.fields.iter().take(100).find(|(k, _)| meant(k, [&name]).is_some());
        let (line, remedy) = match slip {
            Some((slip, field)) => (
                self.line + field.line - 1,
                format!("Did you mean it where \"{slip}\" is written?"),
            ),
            None => (self.head, format!("Add a line \"{name}: ...\".")),
        };
        self.fault(Severity::Error, "record-incomplete", line, what).remedy(remedy);
    }

    pub fn fault(
        &mut self,
        severity: Severity,
        rule: &'static str,
        line: usize,
        what: String,
    ) -> Remedy<'_> {
        self.faults.push(Fault::new(rule, severity, self.file, line, what));
        Remedy(self.faults.last_mut())
    }

    /// What no one took, in the order written. A name that may be a slip of one of the `known` is
    /// told; names unlike any are a person's own.
    pub fn rest(&mut self, known: &[&str]) -> Fields {
        let fields = std::mem::take(&mut self.fields);
        // A record with a hundred fields of its own is no place for slips.
        let few = if self.hints && fields.len() <= 100 { fields.len() } else { 0 };
        for (name, field) in fields.iter().take(few) {
            let line = self.line + field.line - 1;
            let is_known = known.contains(&name.as_str()) || COMMON.contains(&name.as_str());
            let is_told = || {
                let missing = |f: &Fault| f.finding.rule == "record-incomplete" && f.line == line;
                self.faults.iter().any(missing)
            };
            if is_known || is_told() {
                continue;
            }
            if let Some(meant) = meant(name, known.iter().chain(COMMON)) {
                let what = format!("there is no field \"{name}\"; did you mean \"{meant}\"?");
                self.fault(Severity::Note, "field-unknown", line, what).remedy(
                    "It is kept as written and not used; mend the name where it is a slip.",
                );
            }
        }
        fields.into_iter().map(|(k, f)| (k, f.value)).collect()
    }
}

/// Fields that every record may have.
const COMMON: &[&str] = &["collector", "id", "written"];

/// The field that a name is a slip of the pen for: it differs in capitals, in signs between words,
/// in one letter, or in two of a long one.
pub fn meant<'k>(name: &str, fields: impl IntoIterator<Item = &'k &'k str>) -> Option<&'k str> {
    let near = fields.into_iter().filter(|f| name.len().abs_diff(f.len()) <= 4);
    let distances = near.filter_map(|field| {
        let folded = name.trim().to_lowercase().replace(['_', '-'], " ");
        let allowed = match field.chars().count() {
            0..=3 => 0,
            4..=5 => 1,
            _ => 2,
        };
        let distance = strsim::damerau_levenshtein(&folded, field);
        (distance <= allowed).then_some((distance, *field))
    });
    distances.min_by_key(|(distance, _)| *distance).map(|(_, field)| field)
}

/// The fault just pushed, waiting for what to do about it.
pub struct Remedy<'a>(Option<&'a mut Fault>);

impl Remedy<'_> {
    pub fn remedy(self, words: impl Into<String>) {
        if let Some(fault) = self.0 {
            fault.finding.remedy = words.into();
        }
    }
}

/// Declares a record or a map within one: required fields, then others, each with its name in
/// the ledger. Gives `new`, `read`, `write` and the list of names; unknown fields go to `other`.
macro_rules! fields {
    (
        $(#[$doc:meta])*
        pub struct $name:ident {
            required { $( $(#[$rdoc:meta])* $required:ident : $rty:ty = $rkey:literal, )* }
            $( $(#[$odoc:meta])* $optional:ident : $oty:ty = $okey:literal, )*
        }
    ) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
        pub struct $name {
            $( $(#[$rdoc])* pub $required: $rty, )*
            $( $(#[$odoc])* pub $optional: $oty, )*
            /// What the ledger holds beyond these, as written.
            pub other: $crate::notebook::value::Fields,
        }

        impl $name {
            /// The names of the fields in the ledger, in order.
            pub const FIELDS: &[&str] = &[$($rkey,)* $($okey,)*];

            /// Only what is required.
            #[allow(clippy::new_without_default)]
            pub fn new($($required: $rty),*) -> Self {
                $name {
                    $($required,)*
                    $($optional: $crate::notebook::record::field::blank(),)*
                    other: Default::default(),
                }
            }

            pub(crate) fn read(
                reader: &mut $crate::notebook::record::field::Reader,
            ) -> Option<Self> {
                $( let $required = reader.take::<$rty>($rkey); )*
                $( let $optional = reader.take::<$oty>($okey); )*
                let other = reader.rest(Self::FIELDS);
                Some($name { $($required: $required?,)* $($optional: $optional?,)* other })
            }

            pub(crate) fn write(&self, out: &mut $crate::notebook::value::Fields) {
                use $crate::notebook::record::field::Entry;
                $( if let Some(v) = self.$required.give() { out.insert($rkey.to_string(), v); } )*
                $( if let Some(v) = self.$optional.give() { out.insert($okey.to_string(), v); } )*
                for (name, value) in &self.other {
                    out.insert(name.clone(), value.clone());
                }
            }
        }
    };
}

/// Lets a struct of `fields!` stand as a map within a record. Where `$line` names its first
/// required field of text, a plain line of text stands for a map with only that.
macro_rules! inner {
    ($name:ident, $line:ident) => {
        impl $crate::notebook::record::field::Entry for $name {
            fn absent() -> Option<Self> {
                None
            }

            fn take(value: &$crate::notebook::value::Value) -> Result<Self, String> {
                use $crate::notebook::value::Value;
                match value {
                    Value::Text(text) => Ok($name::new(text.clone())),
                    Value::Map(map) => {
                        $crate::notebook::record::field::read_inner(map, $name::read)
                    }
                    Value::List(_) => Err("a list stands where one entry is wanted".to_string()),
                }
            }

            fn give(&self) -> Option<$crate::notebook::value::Value> {
                use $crate::notebook::value::Value;
                let mut map = $crate::notebook::value::Fields::new();
                self.write(&mut map);
                Some(if map.len() == 1 { Value::Text(self.$line.clone()) } else { Value::Map(map) })
            }
        }
    };
}

pub(crate) use {fields, inner};

/// What an optional field holds where nothing is written.
pub(crate) fn blank<T: Entry + Default>() -> T {
    T::absent().unwrap_or_default()
}

/// Reads a map within a record; the first thing wrong with it is wrong with the whole.
pub(crate) fn read_inner<T>(map: &Fields, read: fn(&mut Reader) -> Option<T>) -> Result<T, String> {
    let fields =
        map.iter().map(|(k, v)| (k.clone(), Field { value: v.clone(), line: 1 })).collect();
    let mut reader = Reader { hints: false, ..Reader::new(fields, "", 1) };
    let read = read(&mut reader);
    match (read, reader.faults.first()) {
        (Some(value), None) => Ok(value),
        (_, Some(fault)) => Err(fault.finding.what.clone()),
        (None, None) => Err("it is not complete".to_string()),
    }
}

impl Entry for String {
    fn absent() -> Option<Self> {
        None
    }

    fn take(value: &Value) -> Result<Self, String> {
        match value {
            Value::Text(t) => Ok(t.trim().to_string()),
            _ => Err("a list stands where one line of text is wanted".to_string()),
        }
    }

    fn give(&self) -> Option<Value> {
        Some(Value::text(self))
    }
}

impl<T: Entry> Entry for Option<T> {
    fn absent() -> Option<Self> {
        Some(None)
    }

    fn take(value: &Value) -> Result<Self, String> {
        T::take(value).map(Some)
    }

    fn give(&self) -> Option<Value> {
        self.as_ref()?.give()
    }
}

/// A list; one value alone is a list of one.
impl<T: Entry> Entry for Vec<T> {
    fn absent() -> Option<Self> {
        Some(Vec::new())
    }

    fn take(value: &Value) -> Result<Self, String> {
        match value {
            Value::List(list) => list.iter().filter(|v| !v.is_empty()).map(T::take).collect(),
            one => Ok(vec![T::take(one)?]),
        }
    }

    fn give(&self) -> Option<Value> {
        let mut list: Vec<Value> = self.iter().filter_map(T::give).collect();
        match &list[..] {
            [] => None,
            // `by: M. Holt`, as a person writes it
            [Value::Text(_)] => list.pop(),
            _ => Some(Value::List(list)),
        }
    }
}

/// Free fields under one name.
impl Entry for Fields {
    fn absent() -> Option<Self> {
        Some(Fields::new())
    }

    fn take(value: &Value) -> Result<Self, String> {
        match value {
            Value::Map(map) => Ok(map.clone()),
            _ => Err("indent under it one line for each thing, with name and colon".to_string()),
        }
    }

    fn give(&self) -> Option<Value> {
        (!self.is_empty()).then(|| Value::Map(self.clone()))
    }
}

/// `yes` or `no`.
impl Entry for bool {
    fn absent() -> Option<Self> {
        Some(false)
    }

    fn take(value: &Value) -> Result<Self, String> {
        match value.as_text().map(|t| t.trim().to_lowercase()).as_deref() {
            Some("yes" | "true") => Ok(true),
            Some("no" | "false") => Ok(false),
            _ => Err(format!("write yes or no, not \"{}\"", value.in_a_line())),
        }
    }

    fn give(&self) -> Option<Value> {
        self.then(|| Value::text("yes"))
    }
}

impl Entry for u32 {
    fn absent() -> Option<Self> {
        None
    }

    fn take(value: &Value) -> Result<Self, String> {
        let text = value.in_a_line();
        text.parse().map_err(|_| format!("\"{text}\" is no whole number"))
    }

    fn give(&self) -> Option<Value> {
        Some(Value::text(self.to_string()))
    }
}

/// Types that read from a line of text and write themselves as one.
macro_rules! from_text {
    ($($name:ident),*) => { $(
        impl Entry for $name {
            fn absent() -> Option<Self> {
                None
            }

            fn take(value: &Value) -> Result<Self, String> {
                let text = value.as_text().ok_or("a list stands where one line is wanted")?;
                $name::read(text).map_err(|e| e.to_string())
            }

            fn give(&self) -> Option<Value> {
                Some(Value::text(self.to_string()))
            }
        }
    )* };
}

from_text!(When, Coordinates, Altitude, Uncertainty);
