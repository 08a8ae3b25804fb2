//! What the index keeps of each record: where it stands, and the little that lists need.

use std::collections::HashMap;

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
    /// The document as it stands in the file, in 64 bits: one that is there still when the file was
    /// changed elsewhere need not be read anew.
    #[serde(with = "postcard::fixint::le")]
    pub bytes: u64,
    #[serde(with = "postcard::fixint::le")]
    pub id: u64,
    /// What the record says, in 64 bits: tells two versions of one record apart.
    #[serde(with = "postcard::fixint::le")]
    pub says: u64,
    /// Number of the citation in [`Words`]; [`NONE`] for corrections.
    pub subject: u32,
    /// For corrections and confirmations: the id of the record spoken of.
    pub target: u64,
    /// Nanoseconds since 1970; the least number where it is not known.
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
    texts: Vec<String>,
    citations: Vec<Citation>,
    /// Where each stands; made when the first is added, for most readers add none.
    places: Option<Places>,
}

#[derive(Clone, Debug)]
struct Places {
    texts: HashMap<String, u32>,
    citations: HashMap<Citation, u32>,
}

/// The same as it is stored: the collector of a citation as the number of a text.
#[derive(Debug, Serialize, Deserialize)]
pub struct StoredWords {
    texts: Vec<String>,
    citations: Vec<(u32, String)>,
}

impl Words {
    pub fn text(&self, at: u32) -> Option<&str> {
        self.texts.get(at as usize).map(String::as_str)
    }

    pub fn citation(&self, at: u32) -> Option<&Citation> {
        self.citations.get(at as usize)
    }

    pub fn citations(&self) -> &[Citation] {
        &self.citations
    }

    fn places(&mut self) -> &mut Places {
        self.places.get_or_insert_with(|| Places {
            texts: self.texts.iter().enumerate().map(|(i, t)| (t.clone(), i as u32)).collect(),
            citations: self
                .citations
                .iter()
                .enumerate()
                .map(|(i, c)| (c.clone(), i as u32))
                .collect(),
        })
    }

    fn add(&mut self, text: Option<&str>) -> u32 {
        let Some(text) = text else { return NONE };
        if let Some(at) = self.places().texts.get(text) {
            return *at;
        }
        let at = self.texts.len() as u32;
        self.places().texts.insert(text.to_string(), at);
        self.texts.push(text.to_string());
        at
    }

    fn cite(&mut self, citation: &Citation) -> u32 {
        if let Some(at) = self.places().citations.get(citation) {
            return *at;
        }
        let at = self.citations.len() as u32;
        self.places().citations.insert(citation.clone(), at);
        self.citations.push(citation.clone());
        at
    }

    /// Takes in what was numbered elsewhere: its texts and citations by their numbers here.
    pub(super) fn absorb(&mut self, other: Words) -> Renumbered {
        let texts = other.texts.iter().map(|t| self.add(Some(t))).collect();
        let citations = other.citations.iter().map(|c| self.cite(c)).collect();
        Renumbered { texts, citations }
    }

    pub fn stored(&mut self) -> StoredWords {
        let collectors: Vec<String> = self.citations.iter().map(|c| c.collector.clone()).collect();
        let collectors: Vec<u32> = collectors.iter().map(|c| self.add(Some(c))).collect();
        let numbers = self.citations.iter().map(|c| c.number.to_string());
        let citations = collectors.into_iter().zip(numbers).collect();
        StoredWords { texts: self.texts.clone(), citations }
    }

    /// `None` where the store holds what no notebook writes.
    pub fn of(stored: StoredWords) -> Option<Words> {
        let mut citations = Vec::with_capacity(stored.citations.len());
        for (collector, number) in stored.citations {
            let collector = stored.texts.get(collector as usize)?;
            citations.push(Citation::new(collector, Number::read(&number)?));
        }
        Some(Words { texts: stored.texts, citations, places: None })
    }
}

/// The numbers of texts and citations here, by their numbers elsewhere.
pub(super) struct Renumbered {
    texts: Vec<u32>,
    citations: Vec<u32>,
}

/// 64 bits that stand for a text.
pub fn short(text: &[u8]) -> u64 {
    let digest = Sha256::digest(text);
    digest.iter().take(8).fold(0, |bits, b| bits << 8 | u64::from(*b))
}

/// 64 bits that stand for an id. Ids of the notebook's own making are 60 bits already, and are
/// taken as they are.
pub fn short_id(id: &Id) -> u64 {
    id.bits().unwrap_or_else(|| short(id.as_str().as_bytes()) | 1 << 63)
}

impl Digest {
    /// A document that cannot be used, so that it is looked at again when faults are asked for.
    /// Its place is to be filled in.
    pub fn unusable() -> Digest {
        Digest {
            kind: Kind::ALL.len() as u8,
            start: 0,
            len: 0,
            line: 0,
            bytes: 0,
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

    /// A record in short; its place is to be filled in. `says` is [`Digest::says_of`] it.
    pub fn of(record: &Record, says: u64, words: &mut Words) -> Digest {
        let mut d = Digest::unusable();
        d.faulty = false;
        d.kind = record.kind() as u8;
        d.id = short_id(&record.id);
        d.says = says;
        d.written = record.written.as_ref().map_or(i64::MIN, |w| {
            // From 1678 to 2262; what lies beyond is looked up where the order hangs on it.
            i64::try_from(w.instant().as_nanosecond()).unwrap_or(i64::MAX)
        });
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

    /// The same with the numbers of other words.
    pub(super) fn renumbered(self, numbers: &Renumbered) -> Digest {
        let text = |at: u32| numbers.texts.get(at as usize).copied().unwrap_or(NONE);
        let subject = numbers.citations.get(self.subject as usize).copied().unwrap_or(NONE);
        Digest { subject, a: text(self.a), b: text(self.b), c: text(self.c), ..self }
    }

    /// What the record says, in 64 bits. The dearest part of a digest, and needs nothing shared.
    pub fn says_of(record: &Record) -> u64 {
        short_id(&record.own_id())
    }

    /// `None` for a document that cannot be used.
    pub fn kind(&self) -> Option<Kind> {
        Kind::ALL.get(self.kind as usize).map(|k| k.0)
    }
}
