//! Records: the six kinds of documents that a ledger holds. A new kind is one file and one line
//! in each of the two lists here.

pub mod correction;
pub mod determination;
pub mod field;
pub mod gathering;
pub mod note;
pub mod observation;
pub mod part;

mod id;

pub use correction::Correction;
pub use determination::{Determination, KeyUsed, Ranked};
pub use gathering::Gathering;
pub use id::{Id, Written, fingerprint};
pub use note::Note;
pub use observation::{Observation, Seen};
pub use part::Part;

use indexmap::IndexMap;
use serde::Serialize;

use super::fault::Fault;
use super::number::{Citation, Number};
use super::value::{Fields, Value};
use super::yaml::{self, Field};
use crate::text::finding::Severity;

use field::{Reader, meant};

/// The kinds, in the order in which a page shows them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    Gathering,
    Part,
    Observation,
    Determination,
    Note,
    Correction,
}

impl Kind {
    pub const ALL: [(Kind, &'static str); 6] = [
        (Kind::Gathering, "gathering"),
        (Kind::Part, "part"),
        (Kind::Observation, "observation"),
        (Kind::Determination, "determination"),
        (Kind::Note, "note"),
        (Kind::Correction, "correction"),
    ];

    /// The word that opens a record of this kind.
    pub fn word(self) -> &'static str {
        Kind::ALL[self as usize].1
    }

    /// The names of the fields that a record of this kind has beside what every record has.
    pub fn fields(self) -> &'static [&'static str] {
        match self {
            Kind::Gathering => Gathering::FIELDS,
            Kind::Part => Part::FIELDS,
            Kind::Observation => Observation::FIELDS,
            Kind::Determination => Determination::FIELDS,
            Kind::Note => Note::FIELDS,
            Kind::Correction => Correction::FIELDS,
        }
    }

    /// Nothing where a record of this kind has such a field; else what may have been meant.
    ///
    /// A field that a person writes into the file by hand is kept whatever its name; a command is
    /// asked for a known one, since a slip would be kept as well and never seen.
    pub fn unknown_field(self, name: &str) -> Option<String> {
        if self.fields().contains(&name) {
            return None;
        }
        let near = meant(name, self.fields());
        let remedy = match near {
            Some(field) => format!("did you mean \"{field}\"?"),
            None => format!("it has {}", self.fields().join(", ")),
        };
        Some(format!("a {} has no field \"{name}\"; {remedy}", self.word()))
    }

    fn of(word: &str) -> Option<Kind> {
        Kind::ALL.iter().find(|k| k.1 == word).map(|k| k.0)
    }
}

/// What a record says.
// Records are read one at a time and folded at once, so boxing the large ones would gain nothing.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Body {
    Gathering(Gathering),
    Part(Part),
    Observation(Observation),
    Determination(Determination),
    Note(Note),
    Correction(Correction),
}

/// Of what a record speaks: a specimen, or for a correction another record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Subject {
    Specimen(Citation),
    Record(Id),
}

/// One document of the ledger.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Record {
    pub subject: Subject,
    pub id: Id,
    /// When it was written down; hand-written and imported records may lack it.
    pub written: Option<Written>,
    pub body: Body,
}

/// A record with its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Placed {
    pub record: Record,
    /// Path inside the notebook.
    pub file: String,
    pub line: usize,
}

impl Body {
    pub fn kind(&self) -> Kind {
        match self {
            Body::Gathering(_) => Kind::Gathering,
            Body::Part(_) => Kind::Part,
            Body::Observation(_) => Kind::Observation,
            Body::Determination(_) => Kind::Determination,
            Body::Note(_) => Kind::Note,
            Body::Correction(_) => Kind::Correction,
        }
    }

    fn read(kind: Kind, reader: &mut Reader) -> Option<Body> {
        Some(match kind {
            Kind::Gathering => Body::Gathering(Gathering::read(reader)?),
            Kind::Part => Body::Part(Part::read(reader)?),
            Kind::Observation => Body::Observation(Observation::read(reader)?),
            Kind::Determination => Body::Determination(Determination::read(reader)?),
            Kind::Note => Body::Note(Note::read(reader)?),
            Kind::Correction => Body::Correction(Correction::read(reader)?),
        })
    }

    fn write(&self, out: &mut Fields) {
        match self {
            Body::Gathering(b) => b.write(out),
            Body::Part(b) => b.write(out),
            Body::Observation(b) => b.write(out),
            Body::Determination(b) => b.write(out),
            Body::Note(b) => b.write(out),
            Body::Correction(b) => b.write(out),
        }
    }

    /// What it lacks to be worth keeping.
    fn lack(&self) -> Option<&'static str> {
        match self {
            Body::Observation(o) if o.seen.is_empty() => Some("seen"),
            Body::Correction(c) if c.is_idle() => Some("set"),
            _ => None,
        }
    }
}

impl Record {
    /// A record of a specimen, its id taken from what it says.
    pub fn of(specimen: Citation, written: Option<Written>, body: Body) -> Record {
        Record::identified(Subject::Specimen(specimen), written, body)
    }

    /// A correction of another record.
    pub fn correcting(target: Id, written: Option<Written>, correction: Correction) -> Record {
        Record::identified(Subject::Record(target), written, Body::Correction(correction))
    }

    fn identified(subject: Subject, written: Option<Written>, body: Body) -> Record {
        let mut record = Record { subject, id: Id::unknown(), written, body };
        record.id = record.own_id();
        record
    }

    /// The id that follows from what the record says now.
    pub fn own_id(&self) -> Id {
        let mut fields = self.fields();
        fields.shift_remove("id");
        Id::of(&yaml::write_body(&fields))
    }

    pub fn kind(&self) -> Kind {
        self.body.kind()
    }

    /// The specimen it speaks of; nothing for corrections, which speak of a record.
    pub fn specimen(&self) -> Option<&Citation> {
        match &self.subject {
            Subject::Specimen(s) => Some(s),
            Subject::Record(_) => None,
        }
    }

    /// The record as fields, in the order in which they are written.
    pub fn fields(&self) -> Fields {
        let mut out = Fields::new();
        let kind = self.kind().word().to_string();
        match &self.subject {
            Subject::Specimen(s) => {
                out.insert(kind, Value::text(s.number.to_string()));
                out.insert("collector".to_string(), Value::text(&s.collector));
            }
            Subject::Record(id) => {
                out.insert(kind, Value::text(id.as_str()));
            }
        }
        out.insert("id".to_string(), Value::text(self.id.as_str()));
        if let Some(written) = &self.written {
            out.insert("written".to_string(), Value::text(written.as_str()));
        }
        self.body.write(&mut out);
        out
    }

    /// The record as a document of the ledger.
    pub fn document(&self) -> String {
        yaml::write(&self.fields())
    }

    /// Reads a record from the fields of a document that begins at `line` of `file`. `None` where
    /// it cannot be used; what is wrong is pushed to `faults` either way.
    pub fn read(
        fields: IndexMap<String, Field>,
        file: &str,
        line: usize,
        faults: &mut Vec<Fault>,
    ) -> Option<Record> {
        let mut reader = Reader::new(fields, file, line);
        let record = read_record(&mut reader);
        faults.append(&mut reader.faults);
        record
    }

    /// Makes a record of fields that were not read from a file; what is wrong with them is pushed
    /// to `faults`.
    pub fn from_fields(fields: Fields, faults: &mut Vec<Fault>) -> Option<Record> {
        Record::reread(fields, "", 1, faults)
    }

    /// Reads the record back from changed fields; what cannot be understood is pushed to `faults`
    /// as standing at `file` and `line`.
    pub(crate) fn reread(
        fields: Fields,
        file: &str,
        line: usize,
        faults: &mut Vec<Fault>,
    ) -> Option<Record> {
        let fields = fields.into_iter().map(|(k, value)| (k, Field { value, line: 1 })).collect();
        Record::read(fields, file, line, faults)
    }
}

fn read_record(reader: &mut Reader) -> Option<Record> {
    let line = reader.head;
    let first = reader.fields.keys().next().and_then(|k| Kind::of(k));
    let kinds: Vec<Kind> = reader.fields.keys().filter_map(|k| Kind::of(k)).collect();
    let kind = match (first, &kinds[..]) {
        (Some(kind), _) => kind,
        (None, [kind]) => *kind,
        (None, _) => {
            let words: Vec<&str> = Kind::ALL.iter().map(|k| k.1).collect();
            let slip = reader.fields.iter().take(100).find_map(|(name, field)| {
                let meant = meant(name, &words)?;
                Some((reader.line + field.line - 1, format!("Did you mean \"{meant}:\" there?")))
            });
            let begin = || {
                let remedy = "and the number, as in \"gathering: 1042\".";
                (line, format!("Begin it with one of {}: {remedy}", words.join(":, ")))
            };
            let (line, remedy) = slip.unwrap_or_else(begin);
            let what = "it is not said what kind of record this is".to_string();
            reader.fault(Severity::Error, "record-without-kind", line, what).remedy(remedy);
            return None;
        }
    };
    let word: String = reader.take(kind.word())?;
    let subject = if kind == Kind::Correction {
        Subject::Record(Id::written(&word))
    } else {
        let collector: Option<String> = reader.take("collector");
        let Some(number) = Number::read(&word) else {
            let what = format!("\"{word}\" is no collection number");
            reader
                .fault(Severity::Error, "number-unread", line, what)
                .remedy("Write a number such as 1042, A-17 or 1042a; without one write s.n.");
            return None;
        };
        Subject::Specimen(Citation::new(&collector?, number))
    };
    let id: Option<String> = reader.take("id")?;
    let written: Option<Written> = reader.take("written")?;
    let body = Body::read(kind, reader)?;
    if let Some(field) = body.lack() {
        let what = format!("the {} has no \"{field}\"", kind.word());
        reader
            .fault(Severity::Error, "record-incomplete", line, what)
            .remedy(format!("Add a line \"{field}: ...\"."));
        return None;
    }
    let mut record = Record { subject, id: Id::unknown(), written, body };
    record.id = id.map_or_else(|| record.own_id(), |id| Id::written(&id));
    Some(record)
}
