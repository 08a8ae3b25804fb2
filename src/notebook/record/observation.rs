//! What was seen on a specimen, in the sentences of a key or in free words.

use crate::notebook::date::When;

use super::determination::KeyUsed;
use super::field::{fields, inner};

fields! {
    /// Things seen in one sitting.
    pub struct Observation {
        required {
            seen: Vec<Seen> = "seen",
        }
        /// fresh, pressed, charred ...: holds for all of them.
        condition: Option<String> = "condition",
        by: Vec<String> = "by",
        date: Option<When> = "date",
        /// The key whose sentences were answered.
        key: Option<KeyUsed> = "key",
        remarks: Option<String> = "remarks",
    }
}

fields! {
    /// One thing seen. A line of text alone is only what was said.
    pub struct Seen {
        required {
            /// The statement as typed: `Petals red`, `Leaf blade 34 mm long`.
            says: String = "says",
        }
        /// The character's short name in the key.
        character: Option<String> = "character",
        /// The states or figures.
        value: Option<String> = "value",
        unit: Option<String> = "unit",
        /// Where it differs from the sitting's.
        condition: Option<String> = "condition",
        remark: Option<String> = "remark",
        /// The lead that was taken and says so; what is said may be a range then.
        lead: Option<String> = "lead",
    }
}

inner!(Seen, says);
