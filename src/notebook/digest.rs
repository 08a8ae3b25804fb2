//! What the index keeps of each record: where it stands, and the little that lists need.

use indexmap::IndexMap;
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use super::number::{Citation, Number};
use super::record::{Body, Id, Kind, Record, Subject};
use super::specimen::order_date;

/// A record in short. Texts are numbers in [`Words`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Digest {
    /// Number of the kind in [`Kind::ALL`]; one beyond it for a document that cannot be used.
    pub kind: u8,
    pub start: u64,
    pub len: u32,
    /// Line of the document's first byte.
    pub line: u32,
    pub id: u64,
    /// What the record says, in 64 bits: tells two versions of one record apart.
    pub says: u64,
    /// Number of the citation in [`Words`]; [`NONE`] for corrections.
    pub subject: u32,
    /// For corrections and confirmations: the id of the record spoken of.
    pub target: u64,
    /// Milliseconds since 1970; the least number where it is not known.
    pub written: i64,
    /// Year, month, day of what the record speaks of; zeros where unknown.
    pub date: (i16, i8, i8),
    /// Gathering: place. Part: what. Determination: name.
    pub a: u32,
    /// Gathering: habitat. Part: status. Determination: who.
    pub b: u32,
    /// Part: place in the store. Determination: family.
    pub c: u32,
    /// Part: how many. Gathering: plants seen.
    pub count: u32,
    /// Part: plants sampled.
    pub individuals: u32,
    /// Part: ripe. Gathering: withheld. Correction: withdraws.
    pub flag: bool,
    /// Where something about the record is to be reported.
    pub faulty: bool,
}

/// No text, no citation.
pub const NONE: u32 = u32::MAX;

/// Texts and citations by number.
#[derive(Clone, Debug, Default)]
pub struct Words {
    texts: IndexMap<String, ()>,
    citations: IndexMap<(String, String), Citation>,
}

/// The same as it is stored.
#[derive(Debug, Serialize, Deserialize)]
pub struct StoredWords {
    texts: Vec<String>,
    citations: Vec<(String, String)>,
}

impl Words {
    pub fn text(&self, at: u32) -> Option<&str> {
        self.texts.get_index(at as usize).map(|(t, ())| t.as_str())
    }

    pub fn citation(&self, at: u32) -> Option<&Citation> {
        self.citations.get_index(at as usize).map(|(_, c)| c)
    }

    pub fn citations(&self) -> impl ExactSizeIterator<Item = &Citation> {
        self.citations.values()
    }

    fn add(&mut self, text: Option<&str>) -> u32 {
        let Some(text) = text else { return NONE };
        if let Some(at) = self.texts.get_index_of(text) {
            return at as u32;
        }
        self.texts.insert_full(text.to_string(), ()).0 as u32
    }

    fn cite(&mut self, citation: &Citation) -> u32 {
        let key = (citation.collector.clone(), citation.number.to_string());
        match self.citations.get_index_of(&key) {
            Some(at) => at as u32,
            None => self.citations.insert_full(key, citation.clone()).0 as u32,
        }
    }

    pub fn stored(&self) -> StoredWords {
        StoredWords {
            texts: self.texts.keys().cloned().collect(),
            citations: self.citations.keys().cloned().collect(),
        }
    }

    /// `None` where the store holds what no notebook writes.
    pub fn of(stored: StoredWords) -> Option<Words> {
        let texts = stored.texts.into_iter().map(|t| (t, ())).collect();
        let mut citations = IndexMap::with_capacity(stored.citations.len());
        for (collector, number) in stored.citations {
            let citation = Citation::new(&collector, Number::read(&number)?);
            citations.insert((collector, number), citation);
        }
        Some(Words { texts, citations })
    }
}

/// 64 bits that stand for an id or a text.
pub fn short(text: &str) -> u64 {
    let digest = Sha256::digest(text.as_bytes());
    digest.iter().take(8).fold(0, |bits, b| bits << 8 | u64::from(*b))
}

/// 64 bits that stand for an id. Ids of the notebook's own making are 60 bits already, and are
/// taken as they are.
pub fn short_id(id: &Id) -> u64 {
    id.bits().unwrap_or_else(|| short(id.as_str()) | 1 << 63)
}

impl Digest {
    /// A document that cannot be used, so that it is looked at again when faults are asked for.
    pub fn unusable(start: u64, len: u32, line: u32) -> Digest {
        Digest {
            kind: Kind::ALL.len() as u8,
            start,
            len,
            line,
            id: 0,
            says: 0,
            subject: NONE,
            target: 0,
            written: i64::MIN,
            date: (0, 0, 0),
            a: NONE,
            b: NONE,
            c: NONE,
            count: 0,
            individuals: 0,
            flag: false,
            faulty: true,
        }
    }

    /// A record in short; its place is to be filled in.
    pub fn of(record: &Record, words: &mut Words) -> Digest {
        let mut d = Digest::unusable(0, 0, 0);
        d.faulty = false;
        d.kind = record.kind() as u8;
        d.id = short_id(&record.id);
        d.says = short_id(&record.own_id());
        d.written = record.written.as_ref().map_or(i64::MIN, |w| w.instant().as_millisecond());
        match &record.subject {
            Subject::Specimen(citation) => d.subject = words.cite(citation),
            Subject::Record(id) => d.target = short_id(id),
        }
        match &record.body {
            Body::Gathering(g) => {
                d.date = g.date.sort_key();
                d.a = words.add(g.place.as_deref());
                d.b = words.add(g.habitat.as_deref());
                d.count = g.plants.unwrap_or(0);
                d.flag = g.withhold;
            }
            Body::Part(p) => {
                d.a = words.add(Some(&p.what));
                d.b = words.add(Some(p.standing()));
                d.c = words.add(p.store.as_deref());
                d.count = p.how_many();
                d.individuals = p.individuals.unwrap_or(0);
                d.flag = p.ripe;
            }
            Body::Observation(o) => {
                d.date = order_date(o.date.as_ref(), record.written.as_ref());
                d.a = words.add(o.condition.as_deref());
                d.count = o.seen.len() as u32;
            }
            Body::Determination(det) => {
                d.date = order_date(det.date.as_ref(), record.written.as_ref());
                d.a = words.add(Some(&det.name));
                d.b = words.add((!det.by.is_empty()).then(|| det.by.join(", ")).as_deref());
                d.c = words.add(det.family.as_deref());
                if let Some(id) = &det.confirms {
                    d.target = short_id(&Id::written(id));
                    d.flag = true;
                }
            }
            Body::Note(n) => d.date = order_date(n.date.as_ref(), record.written.as_ref()),
            Body::Correction(c) => d.flag = c.withdraw,
        }
        d
    }

    /// `None` for a document that cannot be used.
    pub fn kind(&self) -> Option<Kind> {
        Kind::ALL.get(self.kind as usize).map(|k| k.0)
    }
}
