//! What a person who types an observation may go on with, and what was probably meant.

use serde::Serialize;

use super::figures;
use crate::key::lexicon::{Lexicon, nearest};
use crate::key::{Character, Key, Kind};
use crate::text::amount::{Amount, Range};
use crate::text::language::{Language, fold};
use crate::text::notation;

/// One way to go on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Completion {
    /// The whole text, as it can be typed. Where a figure is still to be written it ends in a
    /// blank.
    pub text: String,
    /// The character's name.
    pub character: String,
}

/// No more than this are offered: a person reads them all.
pub const MOST: usize = 24;

/// Sentences that begin with what was typed, or hold a word that does: first whole observations,
/// then openings, in the order of declaration.
pub fn suggest(key: &Key, language: &Language, typed: &str) -> Vec<Completion> {
    // After a semicolon the next observation begins.
    let (done, typed) = match typed.rsplit_once(';') {
        Some((done, rest)) => (format!("{done}; "), rest.trim_start()),
        None => (String::new(), typed.trim_start()),
    };
    let low = fold(typed);
    let ends_word = typed.ends_with(char::is_whitespace);
    let mut out: Vec<(usize, Completion)> = Vec::new();
    for character in &key.characters {
        for sentence in sentences(character, language) {
            offer(character, sentence, language, &low, ends_word, &mut |rank, text| {
                let text = format!("{done}{text}");
                if !out.iter().any(|(_, c)| c.text == text) {
                    out.push((rank, Completion { text, character: character.name.clone() }));
                }
            });
        }
    }
    out.sort_by_key(|(rank, _)| *rank);
    // Where whole observations go on from what stands there, words further in were not meant.
    if out.first().is_some_and(|(rank, _)| *rank == 0) {
        out.retain(|(rank, _)| *rank <= 1);
    }
    out.truncate(MOST);
    out.into_iter().map(|(_, c)| c).collect()
}

fn offer(
    character: &Character,
    sentence: &str,
    language: &Language,
    low: &str,
    ends_word: bool,
    put: &mut impl FnMut(usize, String),
) {
    let (opening, closing) = sentence.split_once('_').unwrap_or((sentence, ""));
    let (opening, closing) = (opening.trim(), closing.trim());
    let folded = fold(opening);
    let finished = |filling: &str| {
        [opening, filling, closing]
            .into_iter()
            .filter(|s| !s.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
    };
    let begun = low.strip_prefix(&folded).filter(|rest| rest.is_empty() || rest.starts_with(' '));
    match begun {
        // The opening stands there: go on with what fills the gap.
        Some(rest) if !rest.is_empty() || ends_word || low == folded => {
            let rest = rest.trim_start();
            match &character.kind {
                Kind::States { .. } => {
                    for i in 0..character.declared() {
                        let word = character.state_word(i, language);
                        if fold(word).starts_with(rest) {
                            put(0, finished(word));
                        }
                    }
                }
                _ if rest.is_empty() => put(0, format!("{opening} ")),
                _ => {}
            }
        }
        _ if folded.starts_with(low) => put(1, format!("{opening} ")),
        // A word further on begins so: `bla` for `Leaf blade`, or the character's name does.
        _ => {
            let inside = |text: &str| fold(text).split(' ').any(|w| w.starts_with(low));
            let stated = (0..character.declared())
                .map(|i| character.state_word(i, language))
                .find(|w| fold(w).starts_with(low));
            if let Some(word) = stated {
                put(2, finished(word));
            } else if inside(opening) || inside(&character.name) {
                put(3, format!("{opening} "));
            }
        }
    }
}

/// What a text that was not read probably meant: sentences near it by their words, then states
/// near its last word.
pub(super) fn meant(key: &Key, lexicon: &Lexicon, text: &str) -> Vec<String> {
    let language = lexicon.language;
    let low = fold(text);
    let typed: Vec<&str> = low.split(' ').collect();
    let mut out: Vec<String> = Vec::new();
    let mut put = |text: String| {
        if out.len() < 5 && !out.contains(&text) {
            out.push(text);
        }
    };
    for character in &key.characters {
        for sentence in sentences(character, language) {
            let (opening, _) = sentence.split_once('_').unwrap_or((sentence, ""));
            let opening = fold(opening);
            let first: Vec<&str> = opening.split(' ').filter(|w| !w.is_empty()).collect();
            let near = |a: &str, b: &str| a == b || nearest(a, std::iter::once(b)).is_some();
            let begins = !first.is_empty() && typed.iter().zip(&first).all(|(t, f)| near(t, f));
            if !begins || typed.len() < first.len() {
                continue;
            }
            let rest = typed[first.len()..].join(" ");
            if let Some(figure) = figure_in(character, &rest, language) {
                put(sentence.replacen('_', &figure, 1));
                continue;
            }
            let words = (0..character.declared()).map(|i| fold(character.state_word(i, language)));
            let words: Vec<String> = words.collect();
            let exact = words.iter().find(|w| **w == rest).map(String::as_str);
            if let Some(word) = exact.or_else(|| nearest(&rest, words.iter().map(String::as_str))) {
                put(sentence.replacen('_', word, 1));
            }
        }
    }
    let last = typed.last().copied().unwrap_or("");
    for character in &key.characters {
        for i in 0..character.declared() {
            let word = character.state_word(i, language);
            // The word itself is said of another thing: `leaves toothed`.
            let folded = fold(word);
            if folded == last || nearest(last, std::iter::once(folded.as_str())).is_some() {
                put(character.fill_in(word, language));
            }
        }
    }
    out
}

/// The first figure of what was typed as it fills the gap of a character that has numbers.
fn figure_in(character: &Character, typed: &str, language: &Language) -> Option<String> {
    let typed = typed.trim_start_matches(|c: char| !c.is_ascii_digit());
    // The unit that was written stays.
    if !typed.is_empty() && figures::read(character, typed, language).is_ok() {
        return Some(typed.to_string());
    }
    let end = typed.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(typed.len());
    let figure = typed[..end].trim_end_matches('.').parse().ok()?;
    // What has a unit compares nothing.
    let has_unit = || notation::read(typed, language).is_some_and(|r| r.unit.is_some());
    if matches!(character.kind, Kind::Ratio { .. }) && has_unit() {
        return None;
    }
    let amount = Amount::plain(Range::exactly(figure));
    match &character.kind {
        Kind::Ratio { dimension } => notation::write_ratio(&amount, dimension, language),
        _ => Some(notation::write(&amount, character.unit()?, language)),
    }
}

fn sentences<'c>(character: &'c Character, language: &Language) -> Vec<&'c str> {
    match character.translations.iter().find(|t| t.language == language.code) {
        Some(line) => vec![&line.sentence],
        None => std::iter::once(&character.sentence)
            .chain(character.also.iter().map(|(s, _)| s))
            .map(String::as_str)
            .collect(),
    }
}
