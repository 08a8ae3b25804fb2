//! What a number in an account stands for: its usual range, its extremes, and `about`.

use rust_decimal::Decimal;

use super::cut::{Cut, Interval};
use crate::text::amount::Extent;

/// `about 10 m` has 9 to 11 as its usual range and 8 to 12 as its extremes: a tenth either way,
/// and twice that. No source gives a figure; a tenth is our choice.
pub const ABOUT: Decimal = Decimal::from_parts(1, 0, 0, false, 1);

/// `about 8 petals` is never less than one, or at the extremes two, either way.
const ABOUT_COUNT: Decimal = Decimal::ONE;

/// The usual range and the extremes of one alternative of a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    pub usual: Interval,
    pub extreme: Interval,
    /// The share of plants that show this alternative; all alternatives sum to one.
    pub share: f64,
}

/// The usual range of an extent.
pub fn usual_of(extent: &Extent, is_count: bool) -> Interval {
    let usual = interval(&extent.usual, is_count);
    if extent.about { widened(usual, Decimal::ONE, is_count) } else { usual }
}

/// The extremes of an extent, beyond which an observation is a misfit.
pub fn extreme_of(extent: &Extent, is_count: bool) -> Interval {
    let extreme = interval(&extent.extreme, is_count);
    if extent.about { widened(extreme, Decimal::TWO, is_count) } else { extreme }
}

fn interval(range: &crate::text::amount::Range, is_count: bool) -> Interval {
    if is_count { Interval::of_count(range) } else { Interval::of(range) }
}

fn widened(interval: Interval, times: Decimal, is_count: bool) -> Interval {
    let by = |value: Decimal| -> Option<Decimal> {
        let share = value.abs().checked_mul(ABOUT)?;
        let least = if is_count { share.max(ABOUT_COUNT) } else { share };
        least.checked_mul(times)
    };
    let end = |cut: Cut, down: bool| match cut {
        Cut::At { value, after } => {
            let moved = by(value)
                .and_then(|b| if down { value.checked_sub(b) } else { value.checked_add(b) });
            Cut::At { value: moved.unwrap_or(value), after }
        }
        other => other,
    };
    Interval { low: end(interval.low, true), high: end(interval.high, false) }
}
