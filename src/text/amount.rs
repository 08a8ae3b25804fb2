//! Numbers as floras write them: limits, ranges with extremes, alternatives, units.

use rust_decimal::Decimal;
use serde::Serialize;

use super::frequency::Frequency;

/// One end of a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Limit {
    pub value: Decimal,
    /// The value itself is excluded (`more than 12`).
    pub open: bool,
}

impl Limit {
    pub fn closed(value: Decimal) -> Limit {
        Limit { value, open: false }
    }

    pub fn open(value: Decimal) -> Limit {
        Limit { value, open: true }
    }
}

/// A range; a missing end is unbounded (`up to 5`, `more than 12`).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Range {
    pub low: Option<Limit>,
    pub high: Option<Limit>,
}

/// A range with its usual part and its extremes: `(2-)3-5(-7)` has `usual` 3 to 5 and `extreme`
/// 2 to 7. Where no extremes are written, `extreme` equals `usual`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Extent {
    pub usual: Range,
    pub extreme: Range,
    /// Written with `ca.`, `about`, `±`.
    pub about: bool,
    /// `5(or 10)`: the 10 is [`Frequency::Rarely`]; a word of frequency says its own.
    pub frequency: Frequency,
}

/// One or more alternatives (`4 or 5` are two extents; `4-5` is one). Never empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, Serialize)]
pub struct Amount {
    pub extents: Vec<Extent>,
}

/// A unit that a flora may write; `Count` is the unit of things counted and of ratios.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    Count,
    Micrometre,
    Millimetre,
    Centimetre,
    Decimetre,
    Metre,
    Inch,
    Foot,
    Degree,
    Percent,
}

impl Unit {
    /// How the unit is printed after a number; empty for counts.
    pub fn sign(self) -> &'static str {
        match self {
            Unit::Count => "",
            Unit::Micrometre => "µm",
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Decimetre => "dm",
            Unit::Metre => "m",
            Unit::Inch => "in",
            Unit::Foot => "ft",
            Unit::Degree => "°",
            Unit::Percent => "%",
        }
    }

    /// Micrometres in one unit, for lengths. The inch is 25.4 mm exactly (international inch,
    /// 1959), the foot 12 inches.
    pub fn micrometres(self) -> Option<Decimal> {
        let n: i64 = match self {
            Unit::Micrometre => 1,
            Unit::Millimetre => 1_000,
            Unit::Centimetre => 10_000,
            Unit::Decimetre => 100_000,
            Unit::Metre => 1_000_000,
            Unit::Inch => 25_400,
            Unit::Foot => 304_800,
            Unit::Count | Unit::Degree | Unit::Percent => return None,
        };
        Some(Decimal::from(n))
    }

    /// The exact factor that turns a figure in `self` into `to`; `None` where the two do not
    /// measure the same thing.
    pub fn factor(self, to: Unit) -> Option<Decimal> {
        if self == to {
            return Some(Decimal::ONE);
        }
        self.micrometres()?.checked_div(to.micrometres()?)
    }
}

impl Range {
    pub fn exactly(value: Decimal) -> Range {
        Range { low: Some(Limit::closed(value)), high: Some(Limit::closed(value)) }
    }

    pub fn between(low: Decimal, high: Decimal) -> Range {
        Range { low: Some(Limit::closed(low)), high: Some(Limit::closed(high)) }
    }

    /// Whether no value can lie in it (low above high, or equal with an open end).
    pub fn is_void(&self) -> bool {
        match (self.low, self.high) {
            (Some(l), Some(h)) => l.value > h.value || (l.value == h.value && (l.open || h.open)),
            _ => false,
        }
    }

    /// The values in both.
    pub fn meet(&self, other: &Range) -> Range {
        Range {
            low: pick(self.low, other.low, |a, b| (a.value, a.open) >= (b.value, b.open)),
            high: pick(self.high, other.high, |a, b| (a.value, !a.open) <= (b.value, !b.open)),
        }
    }

    pub fn overlaps(&self, other: &Range) -> bool {
        !self.meet(other).is_void()
    }

    /// The smallest range that holds both.
    pub fn join(&self, other: &Range) -> Range {
        let wide = |a: Option<Limit>, b: Option<Limit>, f: fn(Limit, Limit) -> bool| match (a, b) {
            (Some(a), Some(b)) => Some(if f(a, b) { a } else { b }),
            _ => None,
        };
        Range {
            low: wide(self.low, other.low, |a, b| (a.value, a.open) <= (b.value, b.open)),
            high: wide(self.high, other.high, |a, b| (a.value, !a.open) >= (b.value, !b.open)),
        }
    }

    pub fn contains(&self, value: Decimal) -> bool {
        self.overlaps(&Range::exactly(value))
    }

    /// Every value of `other` lies in `self`.
    pub fn covers(&self, other: &Range) -> bool {
        self.join(other) == *self
    }

    /// Both ends times `factor`; `None` on overflow.
    pub fn scaled(&self, factor: Decimal) -> Option<Range> {
        let end = |l: Option<Limit>| match l {
            None => Some(None),
            Some(l) => l
                .value
                .checked_mul(factor)
                .map(|v| Some(Limit { value: v.normalize(), open: l.open })),
        };
        Some(Range { low: end(self.low)?, high: end(self.high)? })
    }
}

fn pick(a: Option<Limit>, b: Option<Limit>, first: fn(Limit, Limit) -> bool) -> Option<Limit> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if first(a, b) { a } else { b }),
        (a, b) => a.or(b),
    }
}

impl Extent {
    pub fn plain(range: Range) -> Extent {
        Extent { usual: range, extreme: range, about: false, frequency: Frequency::Stated }
    }

    pub fn scaled(&self, factor: Decimal) -> Option<Extent> {
        Some(Extent {
            usual: self.usual.scaled(factor)?,
            extreme: self.extreme.scaled(factor)?,
            ..*self
        })
    }
}

impl Amount {
    pub fn plain(range: Range) -> Amount {
        Amount { extents: vec![Extent::plain(range)] }
    }

    pub fn scaled(&self, factor: Decimal) -> Option<Amount> {
        let extents = self.extents.iter().map(|e| e.scaled(factor)).collect::<Option<_>>()?;
        Some(Amount { extents })
    }
}
