//! A record's name for life: taken from what it said when it was written.

use jiff::Timestamp;
use serde::{Serialize, Serializer};
use sha2::{Digest, Sha256};

use crate::notebook::value::Value;

use super::field::Entry;

/// Twelve letters and digits: 60 bits of the SHA-256 of the record as first written. Two people
/// who write the same record give it the same id, and merging never changes one. Among 400,000
/// records two different ones share an id with a chance of 7 in 100 million.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id(String);

/// Letters and digits that are not taken for each other (no i, l, o, u).
const ALPHABET: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

impl Id {
    /// The id of a record's text.
    pub(super) fn of(text: &str) -> Id {
        let digest = Sha256::digest(text.as_bytes());
        let mut bits = 0_u64;
        for byte in digest.iter().take(8) {
            bits = bits << 8 | u64::from(*byte);
        }
        Id(Id::letters(bits >> 4))
    }

    /// Sixty bits as twelve letters and digits.
    pub(in crate::notebook) fn letters(bits: u64) -> String {
        (0..12).map(|i| ALPHABET[(bits >> (55 - 5 * i) & 31) as usize] as char).collect()
    }

    /// An id as someone wrote it.
    pub fn written(text: &str) -> Id {
        Id(text.trim().to_string())
    }

    pub(super) fn unknown() -> Id {
        Id(String::new())
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The 60 bits of an id of the notebook's own making.
    pub(in crate::notebook) fn bits(&self) -> Option<u64> {
        if self.0.len() != 12 {
            return None;
        }
        self.0.bytes().try_fold(0_u64, |bits, b| {
            let value = ALPHABET.iter().position(|a| *a == b)?;
            Some(bits << 5 | value as u64)
        })
    }
}

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl Serialize for Id {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.0)
    }
}

/// `sha256:` and 64 hexadecimal digits: what tells one text of a key from every other.
pub fn fingerprint(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    let mut out = String::from("sha256:");
    for byte in digest.iter() {
        out.push_str(&format!("{byte:02x}"));
    }
    out
}

/// The moment when a record was written down, with the clock's offset: RFC 3339.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    text: String,
    instant: Timestamp,
}

impl Written {
    /// Reads `2026-05-02T18:41:07+03:00`.
    ///
    /// # Errors
    /// What is no moment with an offset.
    pub fn read(text: &str) -> Result<Written, String> {
        let text = text.trim();
        let instant = text
            .parse::<Timestamp>()
            .map_err(|_| format!("\"{text}\" is no moment such as 2026-05-02T18:41:07+03:00"))?;
        Ok(Written { text: text.to_string(), instant })
    }

    /// This moment on a clock of that offset, to the millisecond.
    pub fn at(instant: Timestamp, offset: jiff::tz::Offset) -> Written {
        let millis = instant.as_millisecond();
        let instant = Timestamp::from_millisecond(millis).unwrap_or(instant);
        let text = instant.display_with_offset(offset).to_string();
        Written { text, instant }
    }

    /// A thousandth of a second later, on the same clock.
    pub fn next(&self) -> Written {
        let later = Timestamp::from_millisecond(self.instant.as_millisecond().saturating_add(1));
        let offset = self.offset();
        Written::at(later.unwrap_or(self.instant), offset)
    }

    fn offset(&self) -> jiff::tz::Offset {
        let parsed = jiff::fmt::temporal::Pieces::parse(&self.text).ok();
        parsed.and_then(|p| p.to_numeric_offset()).unwrap_or(jiff::tz::Offset::UTC)
    }

    pub fn instant(&self) -> Timestamp {
        self.instant
    }

    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// The calendar year on the writer's clock.
    pub fn year(&self) -> i16 {
        self.date().0
    }

    /// Year, month and day on the writer's clock.
    pub fn date(&self) -> (i16, i8, i8) {
        let day = self.offset().to_datetime(self.instant).date();
        (day.year(), day.month(), day.day())
    }
}

impl Serialize for Written {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.text)
    }
}

impl Entry for Written {
    fn absent() -> Option<Self> {
        None
    }

    fn take(value: &Value) -> Result<Self, String> {
        Written::read(value.as_text().unwrap_or_default())
    }

    fn give(&self) -> Option<Value> {
        Some(Value::text(&self.text))
    }
}
