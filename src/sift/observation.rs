//! What was seen on a specimen: a character, a value as sure as the observer is, a condition.

use rust_decimal::Decimal;

use super::cut::Interval;
use crate::key::statement::{StateSet, Statement, Value};
use crate::key::{Character, CharacterId, ConditionId, Kind};
use crate::text::amount::{Amount, Extent};

use super::about::extreme_of;

/// One thing seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Observation {
    pub character: CharacterId,
    pub seen: Seen,
    /// The condition under which it was seen: a colour may be noted fresh and a length measured
    /// pressed on one specimen.
    pub condition: ConditionId,
    pub doubt: Doubt,
    /// In the words of whoever said it.
    pub words: String,
}

/// The value of an observation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seen {
    /// One of these states, the observer does not say which.
    States(StateSet),
    /// Every one of these readings was made on the specimen.
    Numbers(Vec<Reading>),
    /// The character does not apply to this plant: it has no petals whose colour could be told.
    DoesNotApply,
    /// The specimen in hand lacks the part; the plant may well have borne it.
    NotHere,
    /// It was looked at, and cannot be told.
    CannotTell,
}

/// One reading of a number: the value lies in one of these intervals, in the character's unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    pub within: Vec<Interval>,
}

/// How sure the observer is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Doubt {
    #[default]
    Sure,
    /// `probably red`, `petals red?`
    Some,
    /// `perhaps red`
    Much,
}

impl Observation {
    pub fn new(character: CharacterId, seen: Seen, condition: ConditionId) -> Observation {
        Observation { character, seen, condition, doubt: Doubt::Sure, words: String::new() }
    }

    pub fn doubted(self, doubt: Doubt) -> Observation {
        Observation { doubt, ..self }
    }

    pub fn in_words(self, words: impl Into<String>) -> Observation {
        Observation { words: words.into(), ..self }
    }

    /// What taking a lead says: the value lies somewhere in what the statement accepts.
    pub fn of_statement(
        statement: &Statement,
        character: &Character,
        condition: ConditionId,
    ) -> Observation {
        let seen = match &statement.value {
            Value::States(_) => Seen::States(statement.value.accepts().unwrap_or_default()),
            Value::Number(amount) => Seen::Numbers(vec![Reading::within(amount, character)]),
        };
        Observation::new(statement.character, seen, condition)
    }

    /// Whether it says anything that an account could agree or disagree with.
    pub fn is_evidence(&self) -> bool {
        !matches!(self.seen, Seen::NotHere | Seen::CannotTell)
    }
}

impl Reading {
    /// Somewhere in an amount, extremes included.
    pub fn within(amount: &Amount, character: &Character) -> Reading {
        let is_count = matches!(character.kind, Kind::Count);
        Reading { within: amount.extents.iter().map(|e| extreme_of(e, is_count)).collect() }
    }

    /// A measurement, read to the last of `places` decimal places: 34 is 33.5 to 34.5. Both ends
    /// belong to it.
    pub fn measured(value: Decimal, places: u32) -> Reading {
        let half = Decimal::try_from_i128_with_scale(5, places.saturating_add(1).min(28))
            .unwrap_or_default();
        let low = value.checked_sub(half).unwrap_or(value);
        let high = value.checked_add(half).unwrap_or(value);
        Reading { within: vec![Interval::between(low, high)] }
    }

    pub fn exactly(value: Decimal) -> Reading {
        Reading { within: vec![Interval::exactly(value)] }
    }

    /// The two ends of a measured range, each a reading of its own: `3-5 cm`, extremes included.
    pub fn ends(extent: &Extent, read: impl Fn(Decimal) -> Reading) -> Option<Vec<Reading>> {
        let (low, high) = (extent.extreme.low?.value, extent.extreme.high?.value);
        Some(if low == high { vec![read(low)] } else { vec![read(low), read(high)] })
    }
}
