//! Ends of ranges as places between numbers, so that open and closed ends compare exactly.

use rust_decimal::Decimal;

use crate::text::amount::{Limit, Range};

/// A place on the line of numbers: below all, just before or just after a value, above all. A
/// closed lower limit lies before its value, a closed upper one after it; so two intervals share a
/// value exactly when each begins below the end of the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cut {
    Below,
    At { value: Decimal, after: bool },
    Above,
}

/// All values from one cut to another; void where `low` is not below `high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Interval {
    pub low: Cut,
    pub high: Cut,
}

impl Cut {
    pub fn value(self) -> Option<Decimal> {
        match self {
            Cut::At { value, .. } => Some(value),
            Cut::Below | Cut::Above => None,
        }
    }
}

impl Interval {
    pub const EVERYTHING: Interval = Interval { low: Cut::Below, high: Cut::Above };

    pub fn of(range: &Range) -> Interval {
        let cut = |l: Limit, open_is_after: bool| Cut::At {
            value: l.value.normalize(),
            after: l.open == open_is_after,
        };
        Interval {
            low: range.low.map_or(Cut::Below, |l| cut(l, true)),
            high: range.high.map_or(Cut::Above, |l| cut(l, false)),
        }
    }

    /// The same for a number of things: `more than 12` begins at 13. It reaches from just before
    /// its least number to just before the number that follows its greatest, so that 4 and 5
    /// touch.
    pub fn of_count(range: &Range) -> Interval {
        let whole = |l: Limit, step: Decimal, inwards: fn(&Decimal) -> Decimal| {
            let v = inwards(&l.value);
            // A limit that is no whole number lies inside already.
            if l.open && v == l.value { v.checked_add(step).unwrap_or(v) } else { v }
        };
        let before = |value: Decimal| Cut::At { value: value.normalize(), after: false };
        let low = range.low.map(|l| whole(l, Decimal::ONE, Decimal::ceil));
        let high = range.high.map(|l| whole(l, Decimal::NEGATIVE_ONE, Decimal::floor));
        Interval {
            low: low.map_or(Cut::Below, before),
            high: high.map_or(Cut::Above, |v| before(v.checked_add(Decimal::ONE).unwrap_or(v))),
        }
    }

    /// The interval as a range again.
    pub fn range(&self, is_count: bool) -> Range {
        let limit = |cut: Cut, open_is_after: bool| match cut {
            Cut::At { value, after } => Some(Limit { value, open: after == open_is_after }),
            Cut::Below | Cut::Above => None,
        };
        let high = match self.high {
            Cut::At { value, after: false } if is_count => {
                value.checked_sub(Decimal::ONE).map(Limit::closed)
            }
            other => limit(other, false),
        };
        Range { low: limit(self.low, true), high }
    }

    /// The same with its ends in it.
    pub fn closed(&self) -> Interval {
        let end = |cut: Cut, after: bool| match cut {
            Cut::At { value, .. } => Cut::At { value, after },
            other => other,
        };
        Interval { low: end(self.low, false), high: end(self.high, true) }
    }

    pub fn is_void(&self) -> bool {
        self.low >= self.high
    }

    /// Whether it holds one value and no other.
    pub fn is_point(&self, is_count: bool) -> bool {
        match (self.low, self.high) {
            (Cut::At { value: a, after: false }, Cut::At { value: b, after: true }) => a == b,
            (Cut::At { value: a, .. }, Cut::At { value: b, .. }) if is_count => {
                b.checked_sub(a) == Some(Decimal::ONE)
            }
            _ => false,
        }
    }

    pub fn meet(&self, other: &Interval) -> Interval {
        Interval { low: self.low.max(other.low), high: self.high.min(other.high) }
    }
}
