//! What was reasoned, in words.

use super::course::Showing;
use super::values::Values;
use crate::key::{CharacterId, Key};

/// `Petals white; leaf blade 3-4 cm long`: what plants show where it sets them apart.
pub fn showing(key: &Key, showing: &Showing) -> String {
    let each = showing.iter().filter_map(|(character, cells)| {
        let values = cells.iter().map(|c| c.what.values()).reduce(|a, b| a.join(&b))?;
        let character = key.character(*character);
        let language = key.heading.language;
        // Where a range was cut, its ends are read as they are written.
        Some(character.fill_in(&values.closed(character).in_words(character, language), language))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// `Petals red or white`.
pub fn sentence(key: &Key, character: CharacterId, values: &Values) -> String {
    values.in_sentence(key.character(character), key.heading.language)
}

/// `about 5 in 100`, `fewer than 1 in 100`, `all`.
pub fn share(share: f64) -> String {
    let hundredths = (share * 100.0).round();
    if share >= 0.9995 {
        "all".to_string()
    } else if hundredths < 1.0 {
        "fewer than 1 in 100".to_string()
    } else {
        format!("about {hundredths} in 100")
    }
}

/// `12 %`, `< 1 %`, `-` for nothing.
pub fn percent(share: f64) -> String {
    let hundredths = (share * 100.0).round();
    if share <= 0.0 {
        "-".to_string()
    } else if hundredths < 1.0 {
        "< 1 %".to_string()
    } else {
        format!("{hundredths} %")
    }
}

/// The first `most` of a list in words, and how many more there are.
pub fn listed<S: AsRef<str>>(all: &[S], most: usize) -> String {
    let first: Vec<&str> = all.iter().take(most).map(AsRef::as_ref).collect();
    match all.len().saturating_sub(most) {
        0 => first.join(", "),
        more => format!("{} and {more} more", first.join(", ")),
    }
}
