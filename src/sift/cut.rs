//! Ends of ranges as places between numbers, compared exactly even after a correction.

use std::cmp::Ordering;

use num_bigint::BigInt;
use rust_decimal::Decimal;
use serde::Serialize;

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
    pub fn before(value: Decimal) -> Cut {
        Cut::At { value, after: false }
    }

    pub fn after(value: Decimal) -> Cut {
        Cut::At { value, after: true }
    }

    pub fn value(self) -> Option<Decimal> {
        match self {
            Cut::At { value, .. } => Some(value),
            Cut::Below | Cut::Above => None,
        }
    }

    /// How `self` times `a` lies to `other` times `b`, for factors above zero. Exact: no digit is
    /// rounded away, however long.
    pub fn compare(self, a: Decimal, other: Cut, b: Decimal) -> Ordering {
        match (self, other) {
            (Cut::At { value: x, after: p }, Cut::At { value: y, after: q }) => {
                products(x, a, y, b).then(p.cmp(&q))
            }
            (x, y) => x.cmp(&y),
        }
    }
}

impl Interval {
    pub const EVERYTHING: Interval = Interval { low: Cut::Below, high: Cut::Above };

    pub fn exactly(value: Decimal) -> Interval {
        Interval { low: Cut::before(value), high: Cut::after(value) }
    }

    pub fn between(low: Decimal, high: Decimal) -> Interval {
        Interval { low: Cut::before(low), high: Cut::after(high) }
    }

    pub fn of(range: &Range) -> Interval {
        let cut = |l: Limit, open_is_after: bool| Cut::At {
            value: l.value,
            after: l.open == open_is_after,
        };
        Interval {
            low: range.low.map_or(Cut::Below, |l| cut(l, true)),
            high: range.high.map_or(Cut::Above, |l| cut(l, false)),
        }
    }

    /// The same for a number of things: `more than 12` begins at 13.
    pub fn of_count(range: &Range) -> Interval {
        let whole = |l: Limit, step: Decimal, inwards: fn(&Decimal) -> Decimal| {
            let v = inwards(&l.value);
            // A limit that is no whole number lies inside already.
            let v = if l.open && v == l.value { v.checked_add(step).unwrap_or(v) } else { v };
            Limit::closed(v)
        };
        Interval::of(&Range {
            low: range.low.map(|l| whole(l, Decimal::ONE, Decimal::ceil)),
            high: range.high.map(|l| whole(l, Decimal::NEGATIVE_ONE, Decimal::floor)),
        })
    }

    /// Both ends times `factor`, which is above zero; `None` on overflow.
    pub fn scaled(&self, factor: Decimal) -> Option<Interval> {
        let end = |cut: Cut| match cut {
            Cut::At { value, after } => {
                let value = value.checked_mul(factor)?.normalize();
                Some(Cut::At { value, after })
            }
            other => Some(other),
        };
        Some(Interval { low: end(self.low)?, high: end(self.high)? })
    }

    pub fn is_void(&self) -> bool {
        self.low >= self.high
    }

    pub fn overlaps(&self, other: &Interval) -> bool {
        !self.is_void() && !other.is_void() && self.low < other.high && other.low < self.high
    }

    /// The smallest interval that holds both.
    pub fn join(&self, other: &Interval) -> Interval {
        Interval { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    pub fn meet(&self, other: &Interval) -> Interval {
        Interval { low: self.low.max(other.low), high: self.high.min(other.high) }
    }

    /// Every value of `other` lies in `self`.
    pub fn covers(&self, other: &Interval) -> bool {
        self.low <= other.low && other.high <= self.high
    }
}

/// How `x a` lies to `y b`.
fn products(x: Decimal, a: Decimal, y: Decimal, b: Decimal) -> Ordering {
    if a == b && a.is_sign_positive() {
        return x.cmp(&y);
    }
    // x a = m / 10^s on the left, n / 10^t on the right.
    let left = x.mantissa().checked_mul(a.mantissa());
    let right = y.mantissa().checked_mul(b.mantissa());
    let (s, t) = (x.scale() + a.scale(), y.scale() + b.scale());
    let (up_left, up_right) = (t.saturating_sub(s), s.saturating_sub(t));
    let small = |m: Option<i128>, up: u32| m?.checked_mul(10i128.checked_pow(up)?);
    if let (Some(l), Some(r)) = (small(left, up_left), small(right, up_right)) {
        return l.cmp(&r);
    }
    let ten = BigInt::from(10);
    let l = BigInt::from(x.mantissa()) * BigInt::from(a.mantissa()) * ten.pow(up_left);
    let r = BigInt::from(y.mantissa()) * BigInt::from(b.mantissa()) * ten.pow(up_right);
    l.cmp(&r)
}

impl Serialize for Interval {
    /// `{"low": "33.5", "low_open": false, "high": "34.5", "high_open": false}`; a missing end is
    /// `null`.
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let mut s = to.serialize_struct("Interval", 4)?;
        s.serialize_field("low", &self.low.value())?;
        s.serialize_field("low_open", &matches!(self.low, Cut::At { after: true, .. }))?;
        s.serialize_field("high", &self.high.value())?;
        s.serialize_field("high_open", &matches!(self.high, Cut::At { after: false, .. }))?;
        s.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn d(s: &str) -> Decimal {
        s.parse().unwrap()
    }

    #[test]
    fn limits_meet_exactly() {
        let account = Interval::between(d("35"), d("50"));
        assert!(!account.overlaps(&Interval::between(d("33.5"), d("34.5"))));
        assert!(account.overlaps(&Interval::between(d("34.5"), d("35.0"))));
        let more = Interval::of(&Range { low: Some(Limit::open(d("12"))), high: None });
        assert!(!more.overlaps(&Interval::exactly(d("12.000"))));
        assert!(more.overlaps(&Interval::exactly(d("12.001"))));
        let whole = Interval::of_count(&Range { low: Some(Limit::open(d("12"))), high: None });
        assert_eq!(whole.low, Cut::before(d("13")));
        let few = Interval::of_count(&Range { low: None, high: Some(Limit::open(d("12.5"))) });
        assert_eq!(few.high, Cut::after(d("12")));
    }

    #[test]
    fn products_are_compared_to_the_last_digit() {
        let long = d("7922816251426433759354395033.5");
        let bit = d("0.0000000000000000000000000001");
        // x(1+e) against x and against x(1+2e): ordinary decimals would round these together.
        let one = d("1.0000000000000000000000000001");
        let at = Cut::before(long);
        assert_eq!(at.compare(one, at, Decimal::ONE), Ordering::Greater);
        assert_eq!(at.compare(one, at, Decimal::ONE + bit + bit), Ordering::Less);
        assert_eq!(at.compare(one, at, one), Ordering::Equal);
        // 30 mm at 0.80 is 24 mm and not a hair less.
        assert_eq!(
            Cut::before(d("30")).compare(d("0.80"), Cut::before(d("24")), Decimal::ONE),
            Ordering::Equal
        );
    }
}
