//! What a character can be: a set of states, or of numbers.

use rust_decimal::Decimal;

use super::intervals::Intervals;
use crate::key::{Character, Kind, StateSet, Value};
use crate::sift::about;
use crate::sift::cut::{Cut, Interval};
use crate::text::amount::{Amount, Extent, Limit, Range};
use crate::text::language::Language;

/// A set of states or of numbers of one character.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Values {
    States(StateSet),
    Numbers(Intervals),
}

impl Values {
    /// Everything that a plant can show of the character. What only looks like a state under some
    /// condition is not among it.
    pub fn everything(character: &Character) -> Values {
        match character.kind {
            Kind::States { .. } => Values::States(StateSet::first(character.declared())),
            _ => Values::Numbers(Intervals::everything()),
        }
    }

    /// What a statement allows at all, and what it allows without exception: rare states and the
    /// extremes of a measure left out. `None` where it names nothing that a fresh plant shows.
    pub fn of(character: &Character, value: &Value) -> Option<(Values, Values)> {
        match value {
            Value::States(choices) => {
                let declared = StateSet::first(character.declared());
                let (mut all, mut usual) = (StateSet::default(), StateSet::default());
                for c in choices {
                    let shown = c.accepts.meet(&declared);
                    if !c.frequency.is_exception() {
                        usual.extend(&shown);
                    }
                    all.extend(&shown);
                }
                (!all.is_empty()).then_some((Values::States(all), Values::States(usual)))
            }
            Value::Number(amount) => {
                let is_count = is_count(character);
                let extents = amount.extents.iter();
                let all = Intervals::of(extents.clone().map(|e| extreme_of(e, is_count)));
                let stated = extents.filter(|e| !e.frequency.is_exception());
                let usual = Intervals::of(stated.map(|e| usual_of(e, is_count)));
                (!all.is_empty()).then_some((Values::Numbers(all), Values::Numbers(usual)))
            }
        }
    }

    /// What is in both. Sets of different kinds have nothing in common.
    pub fn meet(&self, other: &Values) -> Values {
        match (self, other) {
            (Values::States(a), Values::States(b)) => Values::States(a.meet(b)),
            (Values::Numbers(a), Values::Numbers(b)) => Values::Numbers(a.meet(b)),
            _ => Values::States(StateSet::default()),
        }
    }

    /// What is in either.
    pub fn join(&self, other: &Values) -> Values {
        match (self, other) {
            (Values::States(a), Values::States(b)) => {
                let mut both = a.clone();
                both.extend(b);
                Values::States(both)
            }
            (Values::Numbers(a), Values::Numbers(b)) => Values::Numbers(a.join(b)),
            _ => self.clone(),
        }
    }

    pub fn is_empty(&self) -> bool {
        match self {
            Values::States(s) => s.is_empty(),
            Values::Numbers(n) => n.is_empty(),
        }
    }

    pub fn overlaps(&self, other: &Values) -> bool {
        match (self, other) {
            (Values::States(a), Values::States(b)) => a.overlaps(b),
            (Values::Numbers(a), Values::Numbers(b)) => !a.meet(b).is_empty(),
            _ => false,
        }
    }

    pub fn is_subset(&self, other: &Values) -> bool {
        match (self, other) {
            (Values::States(a), Values::States(b)) => a.is_subset(b),
            (Values::Numbers(a), Values::Numbers(b)) => a.is_subset(b),
            _ => false,
        }
    }

    pub fn is_number(&self) -> bool {
        matches!(self, Values::Numbers(_))
    }

    /// Whether it holds one number and no other.
    pub fn is_point(&self, character: &Character) -> bool {
        matches!(self, Values::Numbers(n) if n.is_point(is_count(character)))
    }

    /// Whether a measure of one and the other has nothing in common, or one end of wider ranges and
    /// no more: what measures just so is exceptional, and all the rest is parted.
    pub fn parts(&self, other: &Values) -> bool {
        match (self, other) {
            (Values::Numbers(a), Values::Numbers(b)) => {
                let both = a.meet(b);
                both.is_empty() || both.is_point(false) && !a.is_point(false) && !b.is_point(false)
            }
            _ => !self.overlaps(other),
        }
    }

    /// The same with the ends of its ranges in them; counts have no others.
    pub fn closed(&self, character: &Character) -> Values {
        match self {
            Values::Numbers(set) if !is_count(character) => {
                Values::Numbers(Intervals::of(set.iter().map(closed)))
            }
            _ => self.clone(),
        }
    }

    /// `red or white`, `3-5 mm`.
    pub fn in_words(&self, character: &Character, language: &Language) -> String {
        match self {
            Values::States(set) => character.set_in_words(set, language),
            Values::Numbers(set) => {
                let range = |i: &Interval| Extent::plain(range(i, is_count(character)));
                let extents = set.iter().map(range).collect();
                character.value_in_words(&Value::Number(Amount { extents }), language)
            }
        }
    }

    /// The whole statement with these values in its gap: `Petals red or white`.
    pub fn in_sentence(&self, character: &Character, language: &Language) -> String {
        character.fill_in(&self.in_words(character, language), language)
    }
}

/// Whether only whole numbers fill the character's gap.
pub fn is_count(character: &Character) -> bool {
    matches!(character.kind, Kind::Count)
}

/// The usual range of an extent. That of a count reaches to just before the number that follows
/// its greatest, so that 4 and 5 touch.
pub fn usual_of(extent: &Extent, is_count: bool) -> Interval {
    touching(about::usual_of(extent, is_count), is_count)
}

/// The extremes of an extent, in the same way.
pub fn extreme_of(extent: &Extent, is_count: bool) -> Interval {
    touching(about::extreme_of(extent, is_count), is_count)
}

fn touching(interval: Interval, is_count: bool) -> Interval {
    let high = match interval.high {
        Cut::At { value, after: true } if is_count => {
            value.checked_add(Decimal::ONE).map_or(Cut::Above, Cut::before)
        }
        other => other,
    };
    Interval { high, ..interval }
}

// An interval as a range again.
fn range(interval: &Interval, is_count: bool) -> Range {
    let limit = |cut: Cut, open_is_after: bool| match cut {
        Cut::At { value, after } => {
            Some(Limit { value: value.normalize(), open: after == open_is_after })
        }
        Cut::Below | Cut::Above => None,
    };
    let high = match interval.high {
        Cut::At { value, after: false } if is_count => {
            value.checked_sub(Decimal::ONE).map(Limit::closed)
        }
        other => limit(other, false),
    };
    Range { low: limit(interval.low, true), high }
}

// The same with its ends in it.
fn closed(interval: &Interval) -> Interval {
    let end = |cut: Cut, after: bool| match cut {
        Cut::At { value, .. } => Cut::At { value, after },
        other => other,
    };
    Interval { low: end(interval.low, false), high: end(interval.high, true) }
}
