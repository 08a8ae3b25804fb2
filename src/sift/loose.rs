//! A person's own word order: `toothed margin`, `11 leaflets`, `no thorns`, `milky juice yes`; and
//! what the key can be told where none of its sentences fits.

use super::observation::{Doubt, Seen};
use super::partial::{Piece, pieces, sentences, value_of, words};
use super::reading::Said;
use super::unread::Unread;
use crate::key::lexicon::Lexicon;
use crate::key::statement::StateSet;
use crate::key::{Character, CharacterId, Key, StateId};
use crate::text::language::{Language, fold};

/// How a language says that something is there or not.
struct Presence {
    code: &'static str,
    /// States that say so.
    present: &'static [&'static str],
    absent: &'static [&'static str],
    /// Before the thing.
    with: &'static [&'static str],
    without: &'static [&'static str],
    /// After it.
    yes: &'static [&'static str],
    no: &'static [&'static str],
}

const PRESENCE: [Presence; 3] = [
    Presence {
        code: "en",
        present: &["present"],
        absent: &["absent"],
        with: &["with", "has", "have", "having"],
        without: &["no", "without", "lacks", "lacking"],
        yes: &["yes", "there"],
        no: &["no", "none", "missing"],
    },
    Presence {
        code: "de",
        present: &["vorhanden"],
        absent: &["fehlend", "fehlen", "fehlt", "nicht vorhanden"],
        with: &["mit", "hat", "haben"],
        without: &["kein", "keine", "keinen", "ohne"],
        yes: &["ja", "da"],
        no: &["nein", "keine"],
    },
    Presence {
        code: "fr",
        present: &["présent", "présents", "présente", "présentes"],
        absent: &["absent", "absents", "absente", "absentes"],
        with: &["avec", "a", "ont"],
        without: &["sans"],
        yes: &["oui"],
        no: &["non"],
    },
];

/// Words before what is said that say nothing.
const IDLE: [&str; 6] = ["it", "this", "plant", "er", "sie", "es"];

/// The states of a character that is there or not: present, absent; and how the language of its
/// states and that of the person say so.
fn presence(
    character: &Character,
    language: &Language,
) -> Option<(StateId, StateId, Vec<&'static Presence>)> {
    if character.declared() != 2 {
        return None;
    }
    let find = |wanted: &[&str]| {
        let is = |i: &usize| wanted.contains(&fold(character.state_word(*i, language)).as_str());
        (0..2).find(is).map(|at| StateId(at as u16))
    };
    let states = |p: &Presence| Some((find(p.present)?, find(p.absent)?));
    let (of_states, (present, absent)) =
        PRESENCE.iter().find_map(|p| states(p).map(|both| (p, both)))?;
    let says = PRESENCE.iter().filter(|p| p.code == language.code || p.code == of_states.code);
    Some((present, absent, says.collect()))
}

/// Reads a text whose words stand in another order than in the key's sentence; `None` where it
/// fits no character so.
pub(super) fn read(
    key: &Key,
    lexicon: &Lexicon,
    text: &str,
    typed: &[Piece],
) -> Option<Result<Said, Unread>> {
    // `it has thorns`
    let idle = |p: &&Piece| IDLE.contains(&p.word.as_str());
    let typed = &typed[typed.iter().take_while(idle).count()..];
    let mut found: Vec<(CharacterId, Said)> = Vec::new();
    for id in key.character_ids() {
        let one = heads(key.character(id), lexicon.language).iter().find_map(|head| {
            there_or_not(key, lexicon, id, typed, head)
                .or_else(|| turned(key, lexicon, id, text, typed, head))
        });
        found.extend(one.map(|said| (id, said)));
    }
    match found.as_slice() {
        [] => None,
        [(_, said)] => Some(Ok(said.clone())),
        several => Some(Err(Unread::Ambiguous {
            words: text.to_string(),
            choices: several
                .iter()
                .map(|(c, _)| key.character(*c).fill_in("_", lexicon.language))
                .collect(),
        })),
    }
}

/// What a character may be called: the openings of its sentences, its name.
fn heads(character: &Character, language: &Language) -> Vec<Vec<String>> {
    let openings = sentences(character, language).into_iter();
    let openings = openings.map(|s| words(s.split_once('_').map_or(s, |(o, _)| o), language));
    let mut out: Vec<Vec<String>> = openings.filter(|w| !w.is_empty()).collect();
    let name = words(&character.name, language);
    if !name.is_empty() && !out.contains(&name) {
        out.push(name);
    }
    out
}

fn is(pieces: &[Piece], head: &[String]) -> bool {
    pieces.len() == head.len() && pieces.iter().zip(head).all(|(p, h)| p.word == *h)
}

/// `no thorns`, `has thorns`, `milky juice yes`.
fn there_or_not(
    key: &Key,
    lexicon: &Lexicon,
    id: CharacterId,
    typed: &[Piece],
    head: &[String],
) -> Option<Said> {
    let (present, absent, says) = presence(key.character(id), lexicon.language)?;
    let (first, rest) = typed.split_first()?;
    let (last, start) = typed.split_last()?;
    let has = |list: fn(&Presence) -> &'static [&'static str], piece: &Piece| {
        says.iter().any(|p| list(p).contains(&piece.word.as_str()))
    };
    let (before, after) = (is(rest, head), is(start, head));
    let state = if before && has(|p| p.with, first) || after && has(|p| p.yes, last) {
        present
    } else if before && has(|p| p.without, first) || after && has(|p| p.no, last) {
        absent
    } else {
        return None;
    };
    Some(vec![(id, Seen::States(StateSet::of([state])), Doubt::Sure)])
}

/// The value before what it is said of: `toothed margin`, `11 leaflets`.
fn turned(
    key: &Key,
    lexicon: &Lexicon,
    id: CharacterId,
    text: &str,
    typed: &[Piece],
    head: &[String],
) -> Option<Said> {
    let cut = typed.len().checked_sub(head.len()).filter(|n| *n > 0)?;
    if !is(&typed[cut..], head) {
        return None;
    }
    let value = &text[typed[0].start..typed[cut - 1].end];
    value_of(key, lexicon, id, value)?.ok()
}

/// The most values that are told of one sentence.
const MOST_VALUES: usize = 10;

/// The most sentences that are told of.
const MOST: usize = 3;

/// What can be said of the characters that a text names, a sentence each: `` `Margin _` can be:
/// entire, toothed ``; then of those with a state of which it has a word.
pub(super) fn can_be(key: &Key, language: &Language, text: &str) -> Vec<String> {
    let typed: Vec<String> = words(text, language);
    let said = |list: &[String]| list.iter().filter(|w| typed.contains(w)).count();
    let named = |c: &Character| heads(c, language).iter().map(|h| said(h)).max().unwrap_or(0);
    let stated = |c: &Character| {
        // `of` and the like are in many states.
        let telling = |i| {
            let all = words(c.state_word(i, language), language).into_iter();
            all.filter(|w| w.chars().count() > 2).collect::<Vec<_>>()
        };
        (0..c.declared()).map(|i| said(&telling(i))).max().unwrap_or(0)
    };
    let mut out: Vec<(String, Vec<String>)> = Vec::new();
    for score in [&named as &dyn Fn(&Character) -> usize, &stated] {
        let best = key.characters.iter().map(score).max().unwrap_or(0);
        for c in key.characters.iter().filter(|c| best > 0 && score(c) == best) {
            let (sentence, values) = possible(key, c, language);
            match out.iter_mut().find(|(s, _)| *s == sentence) {
                // Characters with one sentence: what any of them can be.
                Some((_, known)) => {
                    let new: Vec<String> =
                        values.into_iter().filter(|v| !known.contains(v)).collect();
                    known.extend(new);
                }
                None => out.push((sentence, values)),
            }
        }
    }
    out.truncate(MOST);
    let told = |(sentence, values): (String, Vec<String>)| {
        let more = if values.len() > MOST_VALUES { " ..." } else { "" };
        let first = &values[..values.len().min(MOST_VALUES)];
        format!("{sentence}{}{more}", first.join(", "))
    };
    out.into_iter().map(told).collect()
}

/// The beginning of what is told of a character, and what it can be.
fn possible(key: &Key, character: &Character, language: &Language) -> (String, Vec<String>) {
    let language = key.spoken(character, language);
    let sentence = character.fill_in("_", language);
    match character.values(language) {
        values if values.is_empty() => (
            format!("`{sentence}` takes a number, such as "),
            vec![format!("`{}`", character.example(language))],
        ),
        values => (format!("`{sentence}` can be: "), values),
    }
}

/// What the key's sentences begin with, in the order of the key, each once.
pub(super) fn openings(key: &Key, language: &Language) -> Vec<String> {
    const MOST: usize = 12;
    let mut out: Vec<String> = Vec::new();
    for character in &key.characters {
        let sentence = character.fill_in("_", language);
        let opening = sentence.split_once('_').map_or("", |(o, _)| o).trim().to_string();
        if !opening.is_empty() && !pieces(&opening, language).is_empty() && !out.contains(&opening)
        {
            out.push(opening);
        }
    }
    out.truncate(MOST);
    out
}
