//! Why a typed observation could not be read, and what was probably meant.

use serde::Serialize;

/// An observation that was not read. Nothing is guessed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[serde(tag = "fault", rename_all = "kebab-case")]
pub enum Unread {
    #[error("nothing was written")]
    Empty,
    #[error(
        "this fits none of the key's sentences: `{words}`{}{}{}",
        each(.can_be),
        begin(.openings),
        did_you_mean(.meant)
    )]
    Nothing {
        words: String,
        meant: Vec<String>,
        /// What can be said of the characters it names, a sentence each.
        can_be: Vec<String>,
        /// Where nothing is near it: what the key's sentences begin with.
        openings: Vec<String>,
    },
    #[error("`{words}` can be said of {}: write more of the sentence", list(.choices))]
    Ambiguous {
        words: String,
        /// The sentences that it fits, as they would be written.
        choices: Vec<String>,
    },
    #[error("`{character}` needs a unit: write `{figure} {unit}`, or whichever unit was read")]
    UnitMissing { character: String, figure: String, unit: String },
    #[error("`{character}` has no state `{word}`; it has {}{}", list(.states), did_you_mean(.meant))]
    NoSuchState { character: String, word: String, states: Vec<String>, meant: Vec<String> },
    #[error(
        "`{word}` is only what `{character}` may look like {}; say under which condition it was seen",
        list(.conditions)
    )]
    OnlyALook { character: String, word: String, conditions: Vec<String> },
    #[error("`{words}` is no number that can be read{}", because(.why))]
    NoNumber { words: String, why: String },
    #[error("`{character}` depends on nothing, so it always applies; write what was seen of it")]
    AlwaysApplies { character: String },
    #[error("only `{read}` was read; this was not: `{rest}`")]
    ToAPoint { read: String, rest: String },
    #[error("there is no condition `{word}` in this key; it has {}", list(.conditions))]
    NoSuchCondition { word: String, conditions: Vec<String> },
}

fn list(words: &[String]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

fn did_you_mean(meant: &[String]) -> String {
    match meant {
        [] => String::new(),
        some => format!("; did you mean {}?", list(some).replace(" and ", " or ")),
    }
}

fn each(sentences: &[String]) -> String {
    sentences.iter().map(|s| format!("; {s}")).collect()
}

fn begin(openings: &[String]) -> String {
    match openings {
        [] => String::new(),
        some => format!("; they begin with {}", list(some).replace(" and `", " or `")),
    }
}

impl Unread {
    /// Whether something of the text was understood.
    pub fn is_near(&self) -> bool {
        match self {
            Unread::Nothing { meant, can_be, .. } => !(meant.is_empty() && can_be.is_empty()),
            _ => true,
        }
    }

    /// The fault with the text that could not be read, which is named once.
    pub fn of(&self, text: &str) -> String {
        let said = self.to_string();
        if said.contains(&format!("`{text}`")) { said } else { format!("`{text}`: {said}") }
    }
}

fn because(why: &str) -> String {
    if why.is_empty() { String::new() } else { format!(": {why}") }
}
