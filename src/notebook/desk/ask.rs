//! What is still to be looked at, as a person at the desk or in the field reads it.

use crate::key::{Character, Key};
use crate::sift::report::Asked;
use crate::text::language::Language;

/// The most states that are named.
const MOST: usize = 5;

/// The character's own question; without one its sentence, the gap open, and what may fill it:
/// `Petals …: red, white or others`, `Leaf blade … mm long`.
pub fn asked(character: &Character, language: &Language) -> String {
    if let Some(question) = &character.ask {
        return question.clone();
    }
    let states: Vec<&str> =
        (0..character.declared().min(MOST)).map(|i| character.state_word(i, language)).collect();
    if states.is_empty() {
        let unit = character.unit().map(|u| u.sign()).filter(|u| !u.is_empty());
        let gap = unit.map_or("…".to_string(), |u| format!("… {u}"));
        return character.fill_in(&gap, language);
    }
    let more = if character.declared() > MOST { " ..." } else { "" };
    format!("{}: {}{more}", character.fill_in("…", language), states.join(", "))
}

/// The same for a question that the engine chose.
pub fn asked_next(key: &Key, next: &Asked) -> String {
    let character = key.characters.iter().find(|c| c.name == next.character);
    character.map_or_else(|| next.question.clone(), |c| asked(c, key.heading.language))
}
