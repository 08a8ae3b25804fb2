//! Written numbers to exact decimals.

use rust_decimal::Decimal;

use super::fault::FaultKind;
use crate::text::language::lexicon::is_blank;

/// The most digits that a number may have, leading noughts not counted.
pub(super) const DIGITS: usize = 27;
/// Decimal places kept of a fraction that no decimal ends, such as 1/3.
pub(super) const PLACES: u32 = 24;

/// A number as written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figure {
    pub value: Decimal,
    pub slip: Option<FaultKind>,
}

/// What the grammar's `number` turns out to be.
pub(super) enum Written {
    One(Figure),
    /// `0-1/2`, `1-3/2` are ranges. The whole ends at byte `middle`, the part begins at `begin`.
    Two {
        whole: Figure,
        dash: bool,
        part: Figure,
        middle: usize,
        begin: usize,
    },
}

/// Reads what the grammar's `number` has matched. `1½`, `1 1/2` and `1-1/2` are one number.
pub(super) fn written(text: &str) -> Written {
    let middle = text.bytes().take_while(u8::is_ascii_digit).count();
    let rest = &text[middle..];
    match rest.chars().next() {
        None | Some('.') => return Written::One(decimal(text)),
        Some(',') => {
            let figure = decimal(&text.replace(',', "."));
            let slip = figure.slip.or(Some(FaultKind::Comma));
            return Written::One(Figure { slip, ..figure });
        }
        Some(c) if middle == 0 || matches!(c, '/' | '\u{2044}') => {
            return Written::One(fraction(text));
        }
        Some(_) => {}
    }
    let part = rest.trim_start_matches(|c| c == '-' || is_blank(c));
    let begin = text.len() - part.len();
    let dash = rest.starts_with('-');
    let (whole, part) = (decimal(&text[..middle]), fraction(part));
    if part.value >= Decimal::ONE || dash && whole.value.is_zero() {
        return Written::Two { whole, dash, part, middle, begin };
    }
    Written::One(match whole.value.checked_add(part.value) {
        Some(sum) => {
            let room = DIGITS.saturating_sub(middle) as u32;
            let value = sum.round_dp(room.min(PLACES)).normalize();
            Figure { value, slip: whole.slip.or(part.slip) }
        }
        None => Figure { value: Decimal::MAX, slip: Some(FaultKind::TooLong) },
    })
}

/// Digits with at most one point, to a number; the places written are kept (`3.0`).
fn decimal(written: &str) -> Figure {
    let digits = written.bytes().filter(|b| b.is_ascii_digit());
    let count = digits.clone().skip_while(|b| *b == b'0').count();
    let places = written.find('.').map_or(0, |dot| written.len() - dot - 1);
    if count <= 18 && places <= 18 {
        // Eighteen digits fit into 64 bits.
        let mantissa = digits.fold(0_i64, |n, b| n * 10 + i64::from(b - b'0'));
        return Figure { value: Decimal::new(mantissa, places as u32), slip: None };
    }
    let long = Some(FaultKind::TooLong);
    if count > DIGITS || places > DIGITS {
        return Figure { value: Decimal::MAX, slip: long };
    }
    // A leading point is no number to the decimal reader, so a nought is put before it.
    match format!("0{written}").parse() {
        Ok(value) => Figure { value, slip: None },
        Err(_) => Figure { value: Decimal::MAX, slip: long },
    }
}

fn fraction(written: &str) -> Figure {
    let signs = [
        ("½", 1, 2),
        ("¼", 1, 4),
        ("¾", 3, 4),
        ("⅓", 1, 3),
        ("⅔", 2, 3),
        ("⅛", 1, 8),
        ("⅜", 3, 8),
        ("⅝", 5, 8),
        ("⅞", 7, 8),
        ("⅕", 1, 5),
        ("⅖", 2, 5),
        ("⅗", 3, 5),
        ("⅘", 4, 5),
        ("⅙", 1, 6),
        ("⅚", 5, 6),
        ("⅐", 1, 7),
        ("⅑", 1, 9),
        ("⅒", 1, 10),
    ];
    if let Some((_, n, d)) = signs.iter().find(|(sign, ..)| *sign == written) {
        return quotient(Decimal::from(*n), Decimal::from(*d));
    }
    let (above, below) = written.split_once(['/', '\u{2044}']).unwrap_or((written, "1"));
    let (above, below) = (decimal(above), decimal(below));
    let figure = quotient(above.value, below.value);
    Figure { slip: above.slip.or(below.slip).or(figure.slip), ..figure }
}

/// `n / d`, exactly where a decimal of at most 24 places ends, else rounded to as many.
pub(super) fn quotient(n: Decimal, d: Decimal) -> Figure {
    if d.is_zero() {
        return Figure { value: Decimal::ZERO, slip: Some(FaultKind::ZeroDenominator) };
    }
    match n.checked_div(d) {
        Some(value) => {
            let room = DIGITS.saturating_sub(significant(value.trunc())) as u32;
            Figure { value: value.round_dp(room.min(PLACES)).normalize(), slip: None }
        }
        None => Figure { value: Decimal::MAX, slip: Some(FaultKind::TooLong) },
    }
}

/// Digits without leading noughts.
pub(super) fn significant(value: Decimal) -> usize {
    let mantissa = value.mantissa().unsigned_abs();
    mantissa.checked_ilog10().map_or(0, |n| n as usize + 1)
}
