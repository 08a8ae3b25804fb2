//! From drafts to an amount: units lent and made one, limits set, and what is wrong said.

use std::ops::Range as Bytes;

use rust_decimal::Decimal;

use super::Reading;
use super::draft::{Draft, End, Mark, Number};
use super::fault::{Fault, FaultKind};
use super::figure::{DIGITS, significant};
use super::reader::Reader;
use crate::text::amount::{Amount, Extent, Limit, Range, Unit};

/// The reading of what ends at `first`, and at `second` after a cross.
pub(super) fn finish(reader: Reader<'_>, first: Mark, second: Option<Mark>) -> Reading {
    let last = second.unwrap_or(first);
    let to_many = reader.drafts[..last.drafts].iter().any(|d| d.to_many);
    let mut numbers = reader.numbers;
    numbers.truncate(last.numbers);
    lend_units(&mut numbers);
    let mut faults = Vec::new();
    for n in &numbers {
        if let Some(kind) = n.figure.slip {
            faults.push(Fault { span: n.start..n.end, kind });
        }
        if n.prime {
            faults.push(Fault { span: n.start..n.end, kind: FaultKind::Prime });
        }
    }
    let unit = one_unit(&mut numbers[..first.numbers], &mut faults);
    let amount = amount(&reader.drafts[..first.drafts], &numbers, &mut faults);
    let second = second.map(|last| {
        let unit = one_unit(&mut numbers[first.numbers..], &mut faults);
        (self::amount(&reader.drafts[first.drafts..last.drafts], &numbers, &mut faults), unit)
    });
    faults.sort_by_key(|f| (f.span.start, f.span.end));
    Reading { amount, unit, second, to_many, len: last.end, faults }
}

/// A number without a unit has the next one's; after the last unit, the last one's.
fn lend_units(numbers: &mut [Number]) {
    let mut unit = None;
    for n in numbers.iter_mut().rev() {
        unit = n.unit.or(unit);
        n.unit = unit;
    }
    for n in numbers.iter_mut() {
        unit = n.unit.or(unit);
        n.unit = unit;
    }
}

/// Converts all numbers to one unit, in which each is exact.
fn one_unit(numbers: &mut [Number], faults: &mut Vec<Fault>) -> Option<Unit> {
    let first = numbers.first()?.unit?;
    if numbers.iter().all(|n| n.unit == Some(first)) {
        return Some(first);
    }
    // From inches and feet to a metric unit is exact, the other way round is not.
    let imperial = |u: Unit| matches!(u, Unit::Inch | Unit::Foot);
    let target = numbers
        .iter()
        .filter_map(|n| n.unit)
        .min_by_key(|u| (imperial(*u), u.micrometres()))
        .unwrap_or(first);
    let whole = bytes(numbers);
    for n in numbers {
        let Some(factor) = n.unit.and_then(|u| u.factor(target)) else {
            faults.push(Fault { span: whole, kind: FaultKind::UnitMismatch });
            return Some(first);
        };
        match exact_product(n.figure.value, factor) {
            Some(value) => n.figure.value = value,
            None if n.figure.slip.is_none() => {
                faults.push(Fault { span: n.start..n.end, kind: FaultKind::TooLong });
            }
            None => {}
        }
    }
    Some(target)
}

/// The product, where it needs no rounding.
fn exact_product(a: Decimal, b: Decimal) -> Option<Decimal> {
    let product = a.checked_mul(b)?;
    let exact = product.is_zero() || product.scale() == a.scale() + b.scale();
    let product = product.normalize();
    (exact && significant(product) <= DIGITS).then_some(product)
}

fn bytes(numbers: &[Number]) -> Bytes<usize> {
    let start = numbers.iter().map(|n| n.start).min().unwrap_or(0);
    let end = numbers.iter().map(|n| n.end).max().unwrap_or(start);
    start..end
}

fn amount(drafts: &[Draft], numbers: &[Number], faults: &mut Vec<Fault>) -> Amount {
    let limit = |end: End| Limit { value: numbers[end.number].figure.value, open: end.open };
    let mut extents: Vec<Extent> = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let [low, high] = draft.usual.map(|end| end.map(limit));
        let mut usual = Range { low, high };
        if draft.goes_on
            && let (Some(before), Some(high)) = (extents.last().and_then(|e| e.usual.high), high)
            && before.value < high.value
        {
            usual.low = Some(Limit::closed(before.value));
        }
        let [low, high] = draft.extreme.map(|end| end.map(|end| end.map(limit)));
        let extreme = Range { low: low.unwrap_or(usual.low), high: high.unwrap_or(usual.high) };
        let kind = if usual.is_void() {
            Some(FaultKind::LowAboveHigh)
        } else if !extreme.covers(&usual) {
            Some(FaultKind::ExtremeInside)
        } else {
            None
        };
        if let Some(kind) = kind {
            let ends = draft.usual.into_iter().chain(draft.extreme.into_iter().flatten());
            let used: Vec<Number> = ends.flatten().map(|e| numbers[e.number]).collect();
            faults.push(Fault { span: bytes(&used), kind });
        }
        let (about, frequency) = (draft.about, draft.frequency);
        extents.push(Extent { usual, extreme, about, frequency });
    }
    Amount { extents }
}
