//! How one thing compares with another: `2-3 times as long as`, `longer than`, as a ratio.

use super::Reading;
use super::draft::{Draft, End, Mark, Mode, Number};
use super::fault::{Fault, FaultKind};
use super::figure::Figure;
use super::finish::finish;
use super::reader::{ALTERNATIVES, Reader, implies_the_rule};
use crate::text::amount::Unit;
use crate::text::frequency::Frequency;
use crate::text::language::lexicon::Role;
use crate::text::language::{Dimension, Language};

/// The ratio at the beginning of `text`, through the last `as` or `than`: `about half as long as`
/// is 0.5, `longer than` is more than 1. `dimension` is one of the language's by name (`length`);
/// `None` where it has no such dimension, or where no comparison begins.
///
/// Comparisons are joined as amounts are: `as long as or longer than`, `half to as long as`,
/// `shorter than, rarely as long as`. `not longer than` is at most 1, and `not as long as` is less
/// than 1. `much longer than`, `nearly twice again as long as` and the like are not read; of `2
/// times longer than` the reading has a fault where the language leaves open what it means. As of
/// amounts, `rarely longer than` standing first says that at most as long is the rule.
pub fn read_ratio(text: &str, dimension: &str, language: &Language) -> Option<Reading> {
    let dimension = language.compare.dimensions.iter().find(|d| d.name == dimension)?;
    let mut reader = Reader::new(text, language, Mode::Ratio);
    reader.plain = dimension.plain;
    let mut faults = Vec::new();
    let mut frequency = Frequency::Stated;
    let mut good = comparison(&mut reader, 0, dimension, &mut frequency, &mut faults)?;
    while good.drafts < ALTERNATIVES {
        let mut next = reader.lexer.skip(good.end);
        let comma = text[next..].starts_with(',');
        if comma {
            next = reader.lexer.skip(next + 1);
        }
        let or = reader.lexer.is(next, Role::Or);
        let to = reader.lexer.is(next, Role::To).filter(|_| !comma);
        let hedged = reader.lexer.word(next, |r| matches!(r, Role::Frequency(_))).is_some();
        if or.is_none() && to.is_none() && !hedged {
            break;
        }
        if comma {
            frequency = Frequency::Stated;
        }
        let known = faults.len();
        let from = or.or(to).unwrap_or(next);
        let mark = comparison(&mut reader, from, dimension, &mut frequency, &mut faults);
        let mark = match (mark, to) {
            (Some(mark), Some(_)) => join(&mut reader, good, mark),
            (mark, _) => mark,
        };
        match mark {
            Some(mark) => good = mark,
            None => {
                reader.back(good);
                faults.truncate(known);
                break;
            }
        }
    }
    let mut reading = finish(reader, good, None);
    reading.unit = None;
    reading.faults.append(&mut faults);
    Some(reading)
}

/// `as long as to twice as long as`: one extent out of the last two.
fn join(reader: &mut Reader<'_>, before: Mark, mark: Mark) -> Option<Mark> {
    if mark.drafts != before.drafts + 1 {
        return None;
    }
    let high = reader.drafts.pop()?;
    let low = reader.drafts.last_mut()?;
    low.usual[1] = high.usual[1];
    low.extreme[1] = high.extreme[1];
    low.about |= high.about;
    Some(Mark { drafts: before.drafts, ..mark })
}

/// One comparison.
fn comparison(
    reader: &mut Reader<'_>,
    at: usize,
    dimension: &Dimension,
    frequency: &mut Frequency,
    faults: &mut Vec<Fault>,
) -> Option<Mark> {
    let compare = &reader.lexer.language.compare;
    let start = reader.lexer.skip(at);
    let mark = reader.here(start);
    let before = *frequency;
    if let Some(amount) = reader.amount(start, frequency, mark.drafts == 0) {
        let end = reader.lexer.skip(amount.end);
        let counted = reader.numbers[mark.numbers..].iter().any(|n| n.unit == Some(Unit::Count));
        if let Some(end) = reader.as_plain_as(end) {
            let least = reader.numbers[mark.numbers..].iter().map(|n| n.figure.value).min();
            // "2/3 as long as" is said, "3 as long as" is not.
            if counted || least.is_some_and(|v| v <= 1.into()) {
                return Some(Mark { end, ..amount });
            }
        } else if counted && let Some(end) = than(reader, end, dimension.more) {
            if !compare.times_more {
                faults.push(Fault { span: start..end, kind: FaultKind::TimesLonger });
            }
            return Some(Mark { end, ..amount });
        }
    }
    reader.back(mark);
    *frequency = before;
    let mut at = start;
    if let Some((Role::Frequency(f), end)) =
        reader.lexer.word(at, |r| matches!(r, Role::Frequency(_)))
    {
        (*frequency, at) = (f, reader.lexer.skip(end));
    }
    let not = reader.lexer.phrase(at, reader.lexer.language.not);
    at = reader.lexer.skip(not.unwrap_or(at));
    // Low and high: whether the end is there, and whether 1 itself is excluded.
    let more = [Some(not.is_none()), None];
    let less = [None, Some(not.is_none())];
    let (usual, end) = if let Some(end) = than(reader, at, dimension.more) {
        (if not.is_some() { less } else { more }, end)
    } else if let Some(end) = than(reader, at, dimension.less) {
        (if not.is_some() { more } else { less }, end)
    } else if let (Some(_), Some(end)) = (not, reader.as_plain_as(at)) {
        ([None, Some(true)], end)
    } else if let (None, Some(end)) = (not, reader.lexer.phrase(at, compare.equal)) {
        ([Some(false), Some(false)], end)
    } else {
        return None;
    };
    let number = reader.numbers.len();
    let figure = Figure { value: 1.into(), slip: None };
    let unit = Some(Unit::Count);
    reader.numbers.push(Number { figure, unit, prime: false, start: at, end });
    let usual = usual.map(|open| open.map(|open| End { number, open }));
    if let (0, true, [Some(end @ End { open: true, .. }), None])
    | (0, true, [None, Some(end @ End { open: true, .. })]) =
        (mark.drafts, implies_the_rule(*frequency), usual)
    {
        // "rarely longer than" says that as long as or shorter is the rule.
        let rule = End { open: false, ..end };
        let usual = if usual[0].is_some() { [None, Some(rule)] } else { [Some(rule), None] };
        reader.drafts.push(Draft { usual, ..Draft::default() });
    }
    reader.drafts.push(Draft { usual, frequency: *frequency, ..Draft::default() });
    Some(reader.here(end))
}

/// `longer than` at `at`; where it ends.
fn than(reader: &Reader<'_>, at: usize, words: &[&str]) -> Option<usize> {
    let end = reader.lexer.phrase(at, words)?;
    reader.lexer.phrase(reader.lexer.skip(end), reader.lexer.language.compare.than)
}
