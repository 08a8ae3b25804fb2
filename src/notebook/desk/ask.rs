//! What is still to be looked at, as a person at the desk or in the field reads it.

use crate::key::{Character, Key};
use crate::sift::report::Asked;
use crate::text::language::Language;

/// The character's question.
pub fn asked(character: &Character, language: &Language) -> String {
    character.asked(language)
}

/// The same for a question that the engine chose.
pub fn asked_next(key: &Key, next: &Asked) -> String {
    let character = key.characters.iter().find(|c| c.name == next.character);
    character.map_or_else(|| next.question.clone(), |c| asked(c, key.heading.language))
}
