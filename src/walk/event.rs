//! What a person says in a determination. The shape is written to the session's record, one JSON
//! object a line, and is kept stable.

use serde::{Deserialize, Serialize};

/// One thing said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "said", rename_all = "kebab-case")]
pub enum Event {
    /// A couplet was answered. `key` is the place of the file in the library, `couplet` counts
    /// from 0 in the order of the text.
    Answered { key: usize, couplet: u32, answer: Answer },
    /// A couplet answered before is to be asked again.
    Reopened { key: usize, couplet: u32 },
    /// A character was observed, in the words typed, under a condition.
    Observed {
        text: String,
        condition: String,
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        doubt: bool,
    },
    /// The observation with this number (from 0, of all that were made) is withdrawn.
    Withdrawn { observation: usize },
    /// The specimen is now looked at under this condition.
    Condition { name: String },
    /// A part that the specimen has, or lacks.
    Part { name: String, borne: bool },
    /// A remark for the record.
    Remarked { text: String },
}

/// The answer to one couplet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "answer", rename_all = "kebab-case")]
pub enum Answer {
    /// One lead, counted from 0.
    Lead { lead: u16 },
    /// Several leads fit: all of them are followed.
    Either { leads: Vec<u16> },
    /// Nothing can be said: every lead is followed.
    CannotTell,
}

impl Answer {
    /// Whether the answer took one lead of several.
    pub fn is_certain(&self) -> bool {
        matches!(self, Answer::Lead { .. })
    }
}
