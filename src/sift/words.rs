//! Observations, accounts and corrections in words.

use rust_decimal::Decimal;

use super::account::{Entry, Origin};
use super::cut::{Cut, Interval};
use super::next::AnswerValue;
use super::observation::{Observation, Seen};
use crate::key::{Character, Key, Kind};
use crate::text::amount::{Amount, Limit, Range, Unit};
use crate::text::language::{Language, fold};
use crate::text::notation;

/// `34 mm`, `33.5–34.5 mm`, `up to 5 mm`, `more than 12`.
pub fn interval(interval: &Interval, unit: Unit) -> String {
    let with_unit = |figures: String| match unit.sign() {
        "" => figures,
        sign => format!("{figures} {sign}"),
    };
    let at = |v: Decimal| v.normalize().to_string();
    match (interval.low, interval.high) {
        (Cut::At { value: a, .. }, Cut::At { value: b, .. }) if a == b => with_unit(at(a)),
        (Cut::At { value: a, .. }, Cut::At { value: b, .. }) => {
            with_unit(format!("{}–{}", at(a), at(b)))
        }
        (_, Cut::At { value, after: true }) => format!("up to {}", with_unit(at(value))),
        (_, Cut::At { value, after: false }) => format!("less than {}", with_unit(at(value))),
        (Cut::At { value, after: true }, _) => format!("more than {}", with_unit(at(value))),
        (Cut::At { value, after: false }, _) => format!("at least {}", with_unit(at(value))),
        _ => "any number".to_string(),
    }
}

/// What was seen, as it fills the character's sentence.
pub fn seen(character: &Character, seen: &Seen, language: &Language) -> String {
    let unit = character.unit().unwrap_or(Unit::Count);
    match seen {
        Seen::States(set) => character.set_in_words(set, language),
        Seen::Numbers(readings) => {
            let any = |within: &[Interval]| {
                within.iter().map(|i| interval(i, unit)).collect::<Vec<_>>().join(" or ")
            };
            readings.iter().map(|r| any(&r.within)).collect::<Vec<_>>().join(", ")
        }
        Seen::DoesNotApply => "does not apply".to_string(),
        Seen::NotHere => "not on this specimen".to_string(),
        Seen::CannotTell => "cannot tell".to_string(),
    }
}

/// An observation in the observer's words, or as the key's own sentence.
pub fn observation(key: &Key, observation: &Observation, language: &Language) -> String {
    if observation.words.is_empty() {
        sentence(key, observation, language)
    } else {
        observation.words.clone()
    }
}

/// An observation as the key's own sentence, whatever words it was said in; a measurement as it
/// was read, without the half unit to either side.
pub fn sentence(key: &Key, observation: &Observation, language: &Language) -> String {
    let character = key.character(observation.character);
    let language = key.spoken(character, language);
    let value = match &observation.seen {
        Seen::Numbers(readings) => {
            let unit = character.unit().unwrap_or(Unit::Count);
            let one = |i: &Interval| match &character.kind {
                Kind::Ratio { dimension } => compared(i, dimension, language),
                _ => interval(&as_read(i), unit),
            };
            let any = |within: &[Interval]| within.iter().map(one).collect::<Vec<_>>().join(" or ");
            readings.iter().map(|r| any(&r.within)).collect::<Vec<_>>().join(", ")
        }
        other => seen(character, other, language),
    };
    match observation.seen {
        Seen::States(_) | Seen::Numbers(_) => character.fill_in(&value, language),
        _ => format!("{}: {value}", character.name),
    }
}

/// A ratio in words: `shorter than`, `2 times as long as`.
fn compared(interval: &Interval, dimension: &str, language: &Language) -> String {
    let limit = |cut: Cut, open_is_after: bool| match cut {
        Cut::At { value, after } => Some(Limit { value, open: after == open_is_after }),
        Cut::Below | Cut::Above => None,
    };
    let range = Range { low: limit(interval.low, true), high: limit(interval.high, false) };
    notation::write_ratio(&Amount::plain(range), dimension, language)
        .unwrap_or_else(|| format!("{} ×", self::interval(interval, Unit::Count)))
}

/// Whether an observation was said in other words than the key's own sentence.
pub fn is_reworded(key: &Key, observation: &Observation, language: &Language) -> bool {
    let plain = |text: &str| {
        let text = fold(text).replace(['(', ')', ':', ','], " ");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let sentence = sentence(key, observation, language);
    !observation.words.is_empty() && plain(&observation.words) != plain(&sentence)
}

/// The figure of which an interval is the reading: 33.5 to 34.5 is 34, read to the whole unit.
fn as_read(interval: &Interval) -> Interval {
    let figure = || {
        let (low, high) = (interval.low.value()?, interval.high.value()?);
        let width = high.checked_sub(low)?.normalize();
        let middle = low.checked_add(high)?.checked_div(2.into())?.normalize();
        // A unit of the last place: 1, 0.1, 0.01.
        let is_place = width.mantissa() == 1 && middle.scale() <= width.scale();
        is_place.then(|| Interval::exactly(middle))
    };
    figure().unwrap_or(*interval)
}

/// An answer to a question, as it fills the sentence.
pub fn answer(character: &Character, value: AnswerValue, language: &Language) -> String {
    let unit = character.unit().unwrap_or(Unit::Count);
    let sign = |v: Decimal| match unit.sign() {
        "" => v.normalize().to_string(),
        s => format!("{} {s}", v.normalize()),
    };
    match value {
        AnswerValue::State(s) => character.state_word(s.0 as usize, language).to_string(),
        AnswerValue::AtMost(v) => format!("up to {}", sign(v)),
        AnswerValue::MoreThan(v) => format!("more than {}", sign(v)),
        AnswerValue::DoesNotApply => "does not apply".to_string(),
    }
}

/// What is known of a character, as it fills the sentence; `None` where it does not apply.
pub fn entry(key: &Key, character: &Character, entry: &Entry) -> Option<String> {
    entry.value.as_ref().map(|v| character.value_in_words(v, key.heading.language))
}

/// Where knowledge comes from, as a person is told.
pub fn origin(key: &Key, origin: Origin) -> String {
    match origin {
        Origin::Own => "from its account".to_string(),
        Origin::Inherited(taxon) => format!("from the account of {}", key.taxon(taxon).name),
        Origin::Leads => "from the key's leads".to_string(),
        Origin::Implied(c) => format!("implied by `{}`", key.character(c).name),
        Origin::Follows(c) => format!("follows from `{}`", key.character(c).name),
    }
}
