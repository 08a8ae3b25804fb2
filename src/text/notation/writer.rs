//! Amounts back to flora notation, with the en dash.

use std::fmt::Write as _;

use rust_decimal::Decimal;

use super::figure::{PLACES, quotient};
use crate::text::amount::{Amount, Extent, Limit, Range, Unit};
use crate::text::frequency::Frequency;
use crate::text::language::Language;

/// Writes an amount in flora notation: `(2–)3–5(–7) mm`, `5(or 10)`, `up to 5 cm`, `more than 12`.
///
/// Reading it again gives the same amount, whatever [`super::read`] has given. Of amounts that
/// come from elsewhere, four are not read back as they were: an extent without any limit is
/// written `0 or more`; an extreme inside the usual range is left out or is a fault; `rarely more
/// than 5` standing first is read as `up to 5, rarely more than 5`; and `many` extents above 32.
pub fn write(amount: &Amount, unit: Unit, language: &Language) -> String {
    let mut out = String::new();
    Writer { language, out: &mut out }.amount(amount);
    match unit {
        Unit::Count => {}
        Unit::Degree | Unit::Percent => out.push_str(unit.sign()),
        _ => {
            out.push(' ');
            out.push_str(unit.sign());
        }
    }
    out
}

/// Writes a ratio: `as long as`, `longer than`, `2–3 times as long as`. `None` where the language
/// has no such dimension, or no words for the comparison.
pub fn write_ratio(amount: &Amount, dimension: &str, language: &Language) -> Option<String> {
    let compare = &language.compare;
    let dimension = compare.dimensions.iter().find(|d| d.name == dimension)?;
    let plain = dimension.plain.first()?;
    let (before, after) = (compare.as_before.first()?, compare.as_after.first()?);
    if let [Extent { usual, extreme, about: false, frequency: Frequency::Stated }] =
        amount.extents[..]
        && usual == extreme
    {
        let one = |open| Some(Limit { value: Decimal::ONE, open });
        let words = match (usual.low, usual.high) {
            (low, None) if low == one(true) => Some(dimension.more),
            (None, high) if high == one(true) => Some(dimension.less),
            (low, high) if low == one(false) && high == low => {
                return Some(format!("{before} {plain} {after}"));
            }
            _ => None,
        };
        if let Some(words) = words {
            return Some(format!("{} {}", words.first()?, compare.than.first()?));
        }
    }
    let times = compare.times.first()?;
    let figures = write(amount, Unit::Count, language);
    Some(format!("{figures} {times} {before} {plain} {after}"))
}

struct Writer<'a> {
    language: &'a Language,
    out: &'a mut String,
}

impl Writer<'_> {
    fn amount(&mut self, amount: &Amount) {
        let extents = &amount.extents;
        let mut in_force = Frequency::Stated;
        let mut at = 0;
        while let Some(extent) = extents.get(at) {
            let first = at == 0;
            let frequency = extent.frequency;
            // (3 or)4
            if first
                && is_exception(extent)
                && extents.get(1).is_some_and(|next| is_stated(next) && is_simple(next))
            {
                self.out.push('(');
                self.range(&extent.usual);
                self.word(self.language.or, " ", ")");
                in_force = Frequency::Stated;
                self.extent(&extents[1], true);
                at = 2;
            } else {
                if !first && frequency == in_force {
                    self.word(self.language.or, " ", " ");
                } else if !first && frequency == Frequency::Stated {
                    self.word(self.language.or, ", ", " ");
                } else if !first {
                    self.out.push_str(", ");
                }
                if frequency != in_force && frequency != Frequency::Stated {
                    self.frequency(frequency);
                }
                in_force = frequency;
                self.extent(extent, first);
                at += 1;
            }
            // 5(or 10)
            let main = &extents[at - 1];
            if is_stated(main) && is_simple(main) {
                let more = extents[at..].iter().take_while(|e| is_exception(e)).count();
                for (i, e) in extents[at..at + more].iter().enumerate() {
                    let or = if i == 0 { "(" } else { " " };
                    self.word(self.language.or, or, " ");
                    self.range(&e.usual);
                }
                if more > 0 {
                    self.out.push(')');
                }
                at += more;
            }
        }
    }

    /// One extent; `first` where no other stands before it.
    fn extent(&mut self, e: &Extent, first: bool) {
        if e.about {
            self.word(self.language.about, "", " ");
        }
        let Range { low, high } = e.usual;
        let (out_low, out_high) = (e.extreme.low, e.extreme.high);
        if let (Some(l), Some(_)) = (out_low, low)
            && out_low != low
        {
            self.out.push('(');
            if l.open {
                self.out.push('>');
            }
            self.figure(l.value);
            self.out.push_str("–)");
        }
        // A word of frequency before an upper limit would change what it means.
        let hedged = e.frequency != Frequency::Stated;
        match (low, high) {
            (Some(l), Some(h)) if l.open || h.open => {
                let words = if l.open { self.language.more_than } else { self.language.at_least };
                self.word(words, "", " ");
                self.figure(l.value);
                self.word(self.language.and, " ", " ");
                let words = if h.open { self.language.less_than } else { self.language.at_most };
                self.word(words, "", " ");
                self.figure(h.value);
            }
            (Some(_), Some(_)) => self.range(&e.usual),
            (Some(l), None) if l.open => {
                self.word(self.language.more_than, "", " ");
                self.figure(l.value);
            }
            (Some(l), None) => {
                self.word(self.language.at_least, "", " ");
                self.figure(l.value);
            }
            (None, Some(h)) if h.open => {
                self.word(self.language.less_than, "", " ");
                self.figure(h.value);
            }
            (None, Some(h)) if hedged && first => {
                self.figure(h.value);
                self.word(self.language.or_less, " ", "");
            }
            (None, Some(h)) => {
                let words = if hedged { self.language.at_most } else { self.language.up_to };
                self.word(words, "", " ");
                self.figure(h.value);
            }
            (None, None) => {
                self.out.push('0');
                self.word(self.language.or_more, " ", "");
            }
        }
        if low.is_some() && out_low.is_none() {
            self.word(self.language.or_less, "(", ")");
        }
        match (high, out_high) {
            (Some(_), None) => self.word(self.language.or_more, "(", ")"),
            (Some(_), Some(h)) if out_high != high => {
                self.out.push_str(if h.open { "(–<" } else { "(–" });
                self.figure(h.value);
                self.out.push(')');
            }
            _ => {}
        }
    }

    /// `3–5`, or `3` where both ends are one.
    fn range(&mut self, range: &Range) {
        let low = range.low.map(|l| l.value);
        let high = range.high.map(|h| h.value);
        if let Some(low) = low.or(high) {
            self.figure(low);
        }
        if low != high
            && let Some(high) = high
        {
            self.out.push('–');
            self.figure(high);
        }
    }

    /// The first of a language's words, with what stands around it.
    fn word(&mut self, words: &[&str], before: &str, after: &str) {
        if let Some(word) = words.first() {
            self.out.push_str(before);
            self.out.push_str(word);
            self.out.push_str(after);
        }
    }

    fn frequency(&mut self, frequency: Frequency) {
        if let Some((word, _)) = self.language.frequency.iter().find(|(_, f)| *f == frequency) {
            self.out.push_str(word);
            self.out.push(' ');
        }
    }

    /// A number; a fraction that no decimal ends is written as a fraction.
    fn figure(&mut self, value: Decimal) {
        let whole = value.trunc();
        let part = value.fract();
        if part.scale() + 4 >= PLACES {
            for d in 3..100_u32 {
                let n = (part * Decimal::from(d)).round();
                if n >= Decimal::ONE && same(part, quotient(n, d.into()).value) {
                    if !whole.is_zero() {
                        // Writing to a string cannot fail.
                        let _ = write!(self.out, "{whole} ");
                    }
                    let _ = write!(self.out, "{n}/{d}");
                    return;
                }
            }
        }
        let _ = write!(self.out, "{value}");
    }
}

/// Whether `part` is `exact` to as many places as it has.
fn same(part: Decimal, exact: Decimal) -> bool {
    exact.round_dp(part.scale()) == part
}

fn is_stated(e: &Extent) -> bool {
    e.frequency == Frequency::Stated
}

/// Both limits closed, no extremes, not about.
fn is_simple(e: &Extent) -> bool {
    let closed = |l: Option<Limit>| l.is_some_and(|l| !l.open);
    !e.about && e.usual == e.extreme && closed(e.usual.low) && closed(e.usual.high)
}

fn is_exception(e: &Extent) -> bool {
    e.frequency == Frequency::Rarely && is_simple(e)
}
