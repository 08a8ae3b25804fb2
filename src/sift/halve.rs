//! A cut-point that halves very many taxa, found in one pass over the planes of a measure.

use rust_decimal::Decimal;

use super::bits::LANE;
use super::cut::Cut;
use super::meta::Gap;
use super::split::roundest;
use super::table::{Body, Column, Table};
use super::weights::Weights;
use crate::key::ConditionId;

/// The cut at which as many of the remaining taxa lie wholly below as wholly above.
///
/// The number of taxa whose high limit is below a place grows with it, and the number whose low
/// limit is not below it shrinks; where they cross is found bit by bit from the highest, reading
/// each plane once.
pub(super) fn middle(
    table: &Table,
    column: &Column,
    weights: &Weights,
    condition: ConditionId,
) -> Option<Decimal> {
    let Body::Numbers(numbers) = &column.body else { return None };
    let (low, high) = numbers.planes();
    let words = weights.left.words();
    // Taxa of which something is said, that may have a value.
    let mut at_high: Vec<u64> =
        words.iter().zip(column.known.words()).map(|(a, b)| a & b).collect();
    let mut at_low = at_high.clone();
    let known: i64 = at_high.iter().map(|w| i64::from(w.count_ones())).sum();
    let (mut high_below, mut low_below) = (0i64, 0i64);
    let mut place = 0u32;
    for plane in 0..low.bits() {
        let (mut high_zeros, mut low_zeros) = (0i64, 0i64);
        for block in 0..words.len() / LANE {
            let here = block * LANE..(block + 1) * LANE;
            let (h, l) = (high.plane(block, plane), low.plane(block, plane));
            for ((i, h), l) in here.zip(h).zip(l) {
                high_zeros += i64::from((at_high[i] & !h).count_ones());
                low_zeros += i64::from((at_low[i] & !l).count_ones());
            }
        }
        // With this bit set, so many would lie below.
        let (h, l) = (high_below + high_zeros, low_below + low_zeros);
        let up = h <= known - l;
        if up {
            place |= 1 << (low.bits() - 1 - plane);
            (high_below, low_below) = (h, l);
        }
        for block in 0..words.len() / LANE {
            let here = block * LANE..(block + 1) * LANE;
            let (h, l) = (high.plane(block, plane), low.plane(block, plane));
            for ((i, h), l) in here.zip(h).zip(l) {
                at_high[i] &= if up { *h } else { !h };
                at_low[i] &= if up { *l } else { !l };
            }
        }
    }
    let cuts = numbers.cuts();
    let value = |i: usize| cuts.get(i).copied().and_then(Cut::value);
    let place = (place as usize).min(cuts.len() - 1);
    let below =
        (0..=place).rev().find_map(value).or_else(|| (place..cuts.len()).find_map(value))?;
    let above = (place + 1..cuts.len()).filter_map(value).find(|v| *v > below);
    let (a, b) = column.meta.factors(table.described, condition).shares();
    // Between the shares of both ends, for a corrected measure.
    let share = a.checked_add(b)?.checked_div(Decimal::TWO)?;
    let (from, to) = (below.checked_mul(share)?, above.unwrap_or(below).checked_mul(share)?);
    let is_count = column.meta.gap == Gap::Count;
    Some(if to > from { roundest(from, to, is_count) } else { from.normalize() })
}
