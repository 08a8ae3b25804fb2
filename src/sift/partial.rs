//! Parts of sentences: `blade 34 mm` for `Leaf blade _ long`, `not milky` for `Sap _`.

use super::figures;
use super::loose;
use super::observation::{Doubt, Seen};
use super::reading::{Said, states};
use super::suggest;
use super::unread::Unread;
use crate::key::lexicon::Lexicon;
use crate::key::lexicon::tokens::comparable;
use crate::key::statement::Value;
use crate::key::{Character, CharacterId, Key, Kind};
use crate::text::language::{Language, fold};
use crate::text::span::Span;
use crate::text::words::Words;

/// More words than this are no part of a sentence.
const MOST_WORDS: usize = 48;

/// A way to read the text: of a character, with the value between words of its sentence.
struct Fit {
    character: CharacterId,
    /// How many words of the sentence, or of the character's name, are written.
    written: usize,
    /// Its name or its whole sentence stands there.
    exact: bool,
    /// A measure with nothing said of its dimension means the length.
    length: bool,
    said: Result<Said, Unread>,
}

/// A word of the text: comparable, and where it stands.
pub(super) struct Piece {
    pub word: String,
    pub start: usize,
    pub end: usize,
}

pub(super) fn read(key: &Key, lexicon: &Lexicon, text: &str) -> Result<Said, Unread> {
    let pieces = pieces(text, lexicon.language);
    if pieces.is_empty() {
        return Err(Unread::Empty);
    }
    let nothing = || {
        let language = lexicon.language;
        let meant = suggest::meant(key, lexicon, text);
        let can_be = loose::can_be(key, language, text);
        let openings = if meant.is_empty() && can_be.is_empty() {
            loose::openings(key, language)
        } else {
            Vec::new()
        };
        Unread::Nothing { words: text.to_string(), meant, can_be, openings }
    };
    if pieces.len() > MOST_WORDS {
        return Err(nothing());
    }
    if let Some(said) = whole_part(key, lexicon, text) {
        return Ok(said);
    }
    let mut fits: Vec<Fit> = Vec::new();
    for id in key.character_ids() {
        fits.extend(best_fit(key, lexicon, id, text, &pieces));
    }
    // What was read goes before what was understood but not read, then what is written most fully.
    let rank = |f: &Fit| (f.said.is_ok(), f.exact, f.written, f.length);
    if !fits.iter().any(|f| f.said.is_ok())
        && let Some(said) = loose::read(key, lexicon, text, &pieces)
    {
        return said;
    }
    let Some(best) = fits.iter().map(rank).max() else { return Err(nothing()) };
    fits.retain(|f| rank(f) == best);
    let mut best = fits.into_iter();
    let Some(first) = best.next() else { return Err(nothing()) };
    let others: Vec<CharacterId> = best.map(|f| f.character).collect();
    if others.is_empty() {
        return first.said;
    }
    let choices = std::iter::once(first.character)
        .chain(others)
        .map(|c| key.character(c).fill_in("_", lexicon.language))
        .collect();
    Err(Unread::Ambiguous { words: text.to_string(), choices })
}

/// `flowers: not here` is said of every character of that part.
fn whole_part(key: &Key, lexicon: &Lexicon, text: &str) -> Option<Said> {
    let low = fold(text);
    let (head, tail) =
        lexicon.language.not_here.iter().find_map(|w| low.strip_suffix(w).map(|head| (head, w)))?;
    let words = |t: &str| -> Vec<String> {
        pieces(t, lexicon.language).into_iter().map(|p| p.word).collect()
    };
    let part = words(head);
    let of_part = |c: &Character| c.part.as_deref().is_some_and(|p| words(p) == part);
    let named = |c: &Character| words(&c.name) == part;
    if tail.is_empty() || part.is_empty() || key.characters.iter().any(named) {
        return None;
    }
    let said: Said = key
        .character_ids()
        .filter(|id| of_part(key.character(*id)))
        .map(|id| (id, Seen::NotHere, Doubt::Sure))
        .collect();
    (!said.is_empty()).then_some(said)
}

/// The fullest way to read the text as a part of a sentence of one character.
fn best_fit(
    key: &Key,
    lexicon: &Lexicon,
    id: CharacterId,
    text: &str,
    pieces: &[Piece],
) -> Option<Fit> {
    let character = key.character(id);
    let language = lexicon.language;
    let name = words(&character.name, language);
    let mut best: Option<Fit> = None;
    let mut consider = |fit: Fit| {
        let rank = |f: &Fit| (f.said.is_ok(), f.exact, f.written, f.length);
        if best.as_ref().is_none_or(|b| rank(b) < rank(&fit)) {
            best = Some(fit);
        }
    };
    // `petal colour: red`, `petal colour red`.
    if !name.is_empty() && pieces.len() > name.len() && begins(pieces, &name) {
        let value = text[pieces[name.len()].start..].trim_start_matches([':', ' ']);
        let said = value_of(key, lexicon, id, value);
        // With the name and its colon there, it can be meant for nothing else.
        let colon = text[..pieces[name.len()].start].trim_end().ends_with(':');
        if let Some(said) = said.or_else(|| colon.then(|| Err(no_such(character, value)))) {
            consider(Fit { character: id, written: name.len(), exact: true, length: true, said });
        }
    }
    for sentence in sentences(character, language) {
        let (opening, closing) = sentence.split_once('_').unwrap_or((sentence, ""));
        let (opening, closing) = (words(opening, language), words(closing, language));
        let is_length = closing.iter().any(|w| language.long.contains(&w.as_str()));
        // As many words of the opening as the text begins with, in order, and every fewer.
        let most = in_order(pieces.iter().map(|p| p.word.as_str()), &opening);
        for before in (0..=most.min(pieces.len() - 1)).rev() {
            let rest = &pieces[before..];
            let most = in_order(
                rest.iter().rev().map(|p| p.word.as_str()),
                &closing.iter().rev().cloned().collect::<Vec<_>>(),
            );
            for after in (0..=most.min(rest.len() - 1)).rev() {
                let value = &text[rest[0].start..rest[rest.len() - 1 - after].end];
                let value = value.trim_start_matches([':', ' ']);
                let Some(said) = value_of(key, lexicon, id, value) else { continue };
                consider(Fit {
                    character: id,
                    written: before + after,
                    exact: before == opening.len() && after == closing.len(),
                    length: before + after > 0 && (after > 0 || is_length),
                    said,
                });
            }
        }
    }
    // Without a word of the sentence, only what was read counts.
    best.filter(|f| f.written > 0 || f.said.is_ok())
}

/// What a value says of a character; `None` where it is none of its values, an error where it is
/// meant for it but cannot be taken.
pub(super) fn value_of(
    key: &Key,
    lexicon: &Lexicon,
    id: CharacterId,
    value: &str,
) -> Option<Result<Said, Unread>> {
    let character = key.character(id);
    let language = lexicon.language;
    let one = |seen| Some(Ok(vec![(id, seen, Doubt::Sure)]));
    let low = fold(value);
    if let Kind::States { .. } = &character.kind {
        let sentence = character.fill_in(value, language);
        let words = Words::one(Span::new(0, sentence.len()));
        let read = lexicon.read(&sentence, (0, sentence.len()), &words);
        let statements = &read.part.statements;
        if read.part.prose.is_none()
            && !statements.is_empty()
            && statements.iter().all(|s| s.character == id)
        {
            let choices = statements.iter().filter_map(|s| match &s.value {
                Value::States(choices) => Some(states(id, choices)),
                Value::Number(_) => None,
            });
            return Some(Ok(choices.flatten().collect()));
        }
    } else {
        match figures::read(character, value, language) {
            Ok(seen) => return one(seen),
            Err(e @ Unread::UnitMissing { .. }) => return Some(Err(e)),
            Err(_) => {}
        }
    }
    if language.cannot_tell.contains(&low.as_str()) {
        return one(Seen::CannotTell);
    }
    if language.not_here.contains(&low.as_str()) {
        return one(Seen::NotHere);
    }
    if language.does_not_apply.contains(&low.as_str()) {
        return if character.applies.is_empty() {
            Some(Err(Unread::AlwaysApplies { character: character.name.clone() }))
        } else {
            one(Seen::DoesNotApply)
        };
    }
    None
}

fn no_such(character: &Character, value: &str) -> Unread {
    if character.states().is_empty() {
        return Unread::NoNumber {
            words: value.to_string(),
            why: format!("`{}` is a number", character.name),
        };
    }
    let states: Vec<String> =
        character.states()[..character.declared()].iter().map(|s| s.word.clone()).collect();
    let meant = crate::key::lexicon::nearest(&fold(value), states.iter().map(String::as_str));
    Unread::NoSuchState {
        character: character.name.clone(),
        word: value.to_string(),
        meant: meant.into_iter().map(String::from).collect(),
        states,
    }
}

/// The sentences of a character in the language of reading.
pub(super) fn sentences<'c>(character: &'c Character, language: &Language) -> Vec<&'c str> {
    match character.translations.iter().find(|t| t.language == language.code) {
        Some(line) => vec![&line.sentence],
        None => std::iter::once(&character.sentence)
            .chain(character.also.iter().map(|(s, _)| s))
            .map(String::as_str)
            .collect(),
    }
}

fn begins(pieces: &[Piece], words: &[String]) -> bool {
    words.iter().zip(pieces).all(|(w, p)| *w == p.word)
}

/// How many of the first `given` words are words of `sentence`, in its order, some left out.
fn in_order<'a>(given: impl Iterator<Item = &'a str>, sentence: &[String]) -> usize {
    let mut rest = sentence.iter();
    let mut count = 0;
    for word in given {
        if !rest.any(|w| w == word) {
            break;
        }
        count += 1;
    }
    count
}

pub(super) fn words(text: &str, language: &Language) -> Vec<String> {
    pieces(text, language).into_iter().map(|p| p.word).collect()
}

/// The words of a text as they are compared, articles and the like left out.
pub(super) fn pieces(text: &str, language: &Language) -> Vec<Piece> {
    let mut out = Vec::new();
    let mut at = 0;
    for word in text.split_inclusive(char::is_whitespace) {
        let start = at;
        at += word.len();
        let bare = word.trim();
        let trimmed = bare.trim_matches([',', ':', ';', '.', '!', '"']);
        let compared = comparable(trimmed, language);
        if compared.is_empty() || language.unstressed.contains(&&*compared) {
            continue;
        }
        out.push(Piece { word: compared.into_owned(), start, end: start + bare.len() });
    }
    out
}
