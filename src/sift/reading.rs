//! Typed observations: the key's own sentences, or any part of one that fits no other.

use super::figures;
use super::observation::{Doubt, Observation, Seen};
use super::partial;
use super::unread::Unread;
use crate::key::lexicon::{Lexicon, Read};
use crate::key::statement::{Choice, StateSet, Statement, Value};
use crate::key::{CharacterId, ConditionId, Key};
use crate::text::frequency::Frequency;
use crate::text::language::fold;
use crate::text::span::Span;
use crate::text::words::Words;

/// Longer texts are no observation of one specimen; they are refused before any work is done.
const LONGEST: usize = 4096;

/// Reads what was typed, one observation or several parted by semicolons: `petals red`, `blade 34
/// mm`, `not milky`, `sap: cannot tell`, `pressed: petals purple`, `petals red?`.
///
/// `condition` is the one under which the specimen is looked at, unless the text names another.
///
/// # Errors
/// What could not be read, and what was probably meant. Then nothing of the text is taken.
pub fn read_observation(
    key: &Key,
    lexicon: &Lexicon,
    text: &str,
    condition: ConditionId,
) -> Result<Vec<Observation>, Unread> {
    if text.len() > LONGEST {
        let words = text.chars().take(60).collect::<String>() + "...";
        let (meant, can_be, openings) = Default::default();
        return Err(Unread::Nothing { words, meant, can_be, openings });
    }
    let mut out = Vec::new();
    for (from, to) in lexicon.split(text) {
        out.extend(part(key, lexicon, &text[from..to], condition)?);
    }
    if out.is_empty() { Err(Unread::Empty) } else { Ok(out) }
}

fn part(
    key: &Key,
    lexicon: &Lexicon,
    text: &str,
    condition: ConditionId,
) -> Result<Vec<Observation>, Unread> {
    let (text, condition) = condition_named(key, text, condition);
    let (text, doubt) = match text.strip_suffix('?') {
        Some(rest) => (rest.trim_end(), Doubt::Some),
        None => (text, Doubt::Sure),
    };
    if text.is_empty() {
        return Err(Unread::Empty);
    }
    let seen = match whole(key, lexicon, text) {
        None => partial::read(key, lexicon, text)?,
        // `34, 36, 41 mm`: the unit stands once, at the end.
        Some(Err(e @ Unread::UnitMissing { .. })) => {
            partial::read(key, lexicon, text).map_err(|_| e)?
        }
        Some(read) => read?,
    };
    let mut out = Vec::new();
    for (character, seen, said) in seen {
        is_only_a_look(key, character, &seen, condition, text)?;
        let doubt = doubt.max(said);
        out.push(Observation { character, seen, condition, doubt, words: text.to_string() });
    }
    Ok(out)
}

/// What one text says: of each character, with the doubt that its words carry.
pub(super) type Said = Vec<(CharacterId, Seen, Doubt)>;

/// `pressed: petals purple`, `petals purple (pressed)`.
fn condition_named<'t>(key: &Key, text: &'t str, otherwise: ConditionId) -> (&'t str, ConditionId) {
    let named = |word: &str| {
        let word = fold(word);
        key.conditions.iter().position(|c| c.name == word).map(|i| ConditionId(i as u16))
    };
    if let Some((head, rest)) = text.split_once(':')
        && let Some(condition) = named(head)
    {
        return (rest.trim(), condition);
    }
    if let Some((rest, tail)) = text.strip_suffix(')').and_then(|t| t.rsplit_once('('))
        && let Some(condition) = named(tail)
    {
        return (rest.trim(), condition);
    }
    (text, otherwise)
}

/// The text as whole sentences of the key; `None` where it is none, so that a part of one may fit.
fn whole(key: &Key, lexicon: &Lexicon, text: &str) -> Option<Result<Said, Unread>> {
    let words = Words::one(Span::new(0, text.len()));
    let read = lexicon.read(text, (0, text.len()), &words);
    if let Some(a) = &read.ambiguity {
        let choices = [a.characters.0, a.characters.1]
            .map(|c| format!("{} ({})", key.character(c).sentence, key.character(c).name));
        let words = text.to_string();
        return Some(Err(Unread::Ambiguous { words, choices: choices.to_vec() }));
    }
    if let Some((character, span)) = read.units_missing.first() {
        let c = key.character(*character);
        return Some(Err(Unread::UnitMissing {
            character: c.name.clone(),
            figure: text[span.range()].to_string(),
            unit: c.unit().map_or("", |u| u.sign()).to_string(),
        }));
    }
    if read.part.prose.is_some() || read.part.statements.is_empty() {
        return None;
    }
    Some(said(key, lexicon, text, &read))
}

/// The statements of a text that was read whole, as what was seen.
fn said(key: &Key, lexicon: &Lexicon, text: &str, read: &Read) -> Result<Said, Unread> {
    let mut out = Said::new();
    for statement in &read.part.statements {
        match &statement.value {
            Value::States(choices) => {
                out.extend(states(statement.character, choices));
            }
            Value::Number(_) => out.push(number(key, lexicon, text, statement)?),
        }
    }
    Ok(out)
}

fn number(
    key: &Key,
    lexicon: &Lexicon,
    text: &str,
    statement: &Statement,
) -> Result<(CharacterId, Seen, Doubt), Unread> {
    let character = key.character(statement.character);
    let Value::Number(amount) = &statement.value else { return Err(Unread::Empty) };
    // As it was written, its digits tell how finely it was read.
    let here = &text[statement.span.range()];
    let seen = match figures::written(here, amount, character, lexicon.language) {
        Some(figure) => figures::read(character, figure, lexicon.language)?,
        None => Observation::of_statement(statement, character, ConditionId::FRESH).seen,
    };
    Ok((statement.character, seen, Doubt::Sure))
}

/// What was seen of states. `perhaps` and `probably` are doubt; another word of frequency, as in
/// `red, rarely white`, tells that the plant shows each of them, and makes an observation of each.
pub(super) fn states(character: CharacterId, choices: &[Choice]) -> Said {
    let doubt = |f: Frequency| match f {
        Frequency::Perhaps | Frequency::ByMisinterpretation => Doubt::Much,
        Frequency::Probably => Doubt::Some,
        _ => Doubt::Sure,
    };
    let counted = |c: &Choice| {
        !matches!(c.frequency, Frequency::Stated | Frequency::Perhaps | Frequency::Probably)
    };
    let mut out = Said::new();
    let mut one = StateSet::default();
    let mut doubted = Doubt::Sure;
    let several = choices.iter().any(counted);
    for choice in choices {
        if several {
            out.push((character, Seen::States(choice.accepts.clone()), doubt(choice.frequency)));
        } else {
            one.extend(&choice.accepts);
            doubted = doubted.max(doubt(choice.frequency));
        }
    }
    if !several {
        out.push((character, Seen::States(one), doubted));
    }
    out
}

/// A look that no fresh plant shows can only be seen under its condition.
fn is_only_a_look(
    key: &Key,
    id: CharacterId,
    seen: &Seen,
    condition: ConditionId,
    text: &str,
) -> Result<(), Unread> {
    let character = key.character(id);
    let Seen::States(set) = seen else { return Ok(()) };
    let states = character.states();
    let only = |s: &crate::key::StateId| states.get(s.0 as usize).is_some_and(|s| s.only_a_look);
    let meta = super::meta::Meta::of(character);
    if set.is_empty() || !set.iter().all(|s| only(&s)) || meta.visible(condition).overlaps(set) {
        return Ok(());
    }
    let conditions = (0..key.conditions.len() as u16)
        .map(ConditionId)
        .filter(|c| meta.visible(*c).overlaps(set))
        .map(|c| key.condition(c).name.clone())
        .collect();
    Err(Unread::OnlyALook { character: character.name.clone(), word: text.to_string(), conditions })
}
