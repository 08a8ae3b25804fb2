//! A cut-point that halves very many taxa, found plane by plane of a measure.

use rust_decimal::Decimal;

use super::bits::{Bits, LANE};
use super::cut::Cut;
use super::meta::Gap;
use super::planes::Planes;
use super::split::roundest;
use super::table::{Body, Column, Table};
use super::weights::Weights;
use crate::key::ConditionId;

/// The cut at which as many of the remaining taxa lie wholly below as wholly above.
///
/// The number of taxa whose high limit is below a place grows with it, and the number whose low
/// limit is not below it shrinks; where they cross is found bit by bit from the highest.
pub(super) fn middle(
    table: &Table,
    column: &Column,
    weights: &Weights,
    condition: ConditionId,
) -> Option<Decimal> {
    let Body::Numbers(numbers) = &column.body else { return None };
    let (low, high) = numbers.planes();
    // Taxa of which something is said, that may have a value: what is still open for the high and
    // for the low limit.
    let mut open_high = weights.left.clone();
    open_high.and(&column.known);
    let mut open_low = open_high.clone();
    let known = open_high.count() as u64;
    let mut below = 0;
    let mut place = 0u32;
    // Which way the plane before went: the open taxa follow it while the next one is counted, so
    // that they and the planes are gone through once a plane.
    let mut up = true;
    for plane in 0..low.bits() {
        // With this bit set, so many would lie below by their high limit, and not above by their
        // low one.
        let zeros = follow(&mut open_high, high, plane, up) + follow(&mut open_low, low, plane, up);
        up = below + zeros <= known;
        if up {
            place |= 1 << (low.bits() - 1 - plane);
            below += zeros;
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

/// Keeps of `open` what has a one in the plane before, or a zero where that went not `up`, and
/// counts the zeros that this plane has of what is left.
fn follow(open: &mut Bits, planes: &Planes, plane: usize, up: bool) -> u64 {
    let flip = if up { 0 } else { u64::MAX };
    let mut zeros = 0;
    for (block, words) in open.words_mut().as_chunks_mut::<LANE>().0.iter_mut().enumerate() {
        let now = planes.plane(block, plane);
        if let Some(before) = plane.checked_sub(1) {
            let before = planes.plane(block, before);
            for i in 0..LANE {
                words[i] &= before[i] ^ flip;
            }
        }
        let counts: [u64; LANE] = std::array::from_fn(|i| bytes(words[i] & !now[i]));
        // A byte of each holds eight at most, so that all eight go into one.
        let sum: u64 = counts.iter().sum();
        let pairs = (sum & 0x00ff_00ff_00ff_00ff) + (sum >> 8 & 0x00ff_00ff_00ff_00ff);
        zeros += pairs.wrapping_mul(0x0001_0001_0001_0001) >> 48;
    }
    zeros
}

/// In each byte how many ones it had.
#[inline(always)]
fn bytes(x: u64) -> u64 {
    let x = x - (x >> 1 & 0x5555_5555_5555_5555);
    let x = (x & 0x3333_3333_3333_3333) + (x >> 2 & 0x3333_3333_3333_3333);
    (x + (x >> 4)) & 0x0f0f_0f0f_0f0f_0f0f
}
