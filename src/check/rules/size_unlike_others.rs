//! Measures that look like a slip of the unit.

use rust_decimal::Decimal;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::character::Kind;
use crate::key::{Statement, Value};
use crate::text::amount::Unit;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A measure in another unit is far from all others of its character.
    ///
    /// ## What it finds
    /// Measures of a declared character, in leads and accounts, that are written in another unit
    /// than most and lie more than twice above or below all that are written in the usual one;
    /// where there are four of these at least.
    ///
    /// ## Why it matters
    /// Petals of `5 m` were meant to be `5 mm`.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petal length: Petals _ long
    ///   measure   mm
    ///   pressed   0.8 to 1
    ///
    /// key
    ///
    /// 1a  Sap milky; sepals falling early ..... 2
    /// 1b  Sap clear; sepals staying ........... 3
    ///
    /// 2a  Petals 35-40 mm long; pods round .... Papaver rhoeas
    /// 2b  Petals 30-34 mm long; pods long ..... Papaver dubium
    ///
    /// 3a  Petals 9-12 cm long; fruit long ..... Sinapis arvensis
    /// 3b  Petals 2-8 mm long; fruit short ..... 4
    ///
    /// 4a  Petals 2-3 mm long; fruit flat ...... Capsella bursa-pastoris
    /// 4b  Petals 4-8 mm long; fruit round ..... Rorippa amphibia
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petal length: Petals _ long
    ///   measure   mm
    ///   pressed   0.8 to 1
    ///
    /// key
    ///
    /// 1a  Petals 30-40 mm long; sap milky ..... Papaver rhoeas
    /// 1b  Petals 2-29 mm long; sap clear ...... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Look at the unit again; nothing, where the plant is so.
    ///
    /// ## Source
    /// Practice of the trade, cited from memory. That twice is far is ours: a slip between
    /// neighbouring units is a factor of ten.
    "size-unlike-others", Note, Weak, examine
}

/// Fewer measures say nothing of what is usual.
const ENOUGH: usize = 4;

struct Measure {
    unit: Unit,
    low: Decimal,
    high: Decimal,
    span: Span,
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    let mut all: Vec<Vec<Measure>> = key.characters.iter().map(|_| Vec::new()).collect();
    let leads = key.couplets.iter().flat_map(|c| &c.leads).flat_map(|l| l.statements());
    let accounts = key.taxa.iter().flat_map(|t| t.own_statements());
    for s in leads.chain(accounts) {
        if let Kind::Measure { .. } = key.character(s.character).kind {
            all[s.character.0 as usize].extend(measure(exam, s));
        }
    }
    for (measures, character) in all.iter().zip(&key.characters) {
        check(measures, &character.name, out);
    }
}

fn check(measures: &[Measure], name: &str, out: &mut Vec<Finding>) {
    let mut counts: Vec<(Unit, usize)> = Vec::new();
    for m in measures {
        match counts.iter_mut().find(|(u, _)| *u == m.unit) {
            Some((_, n)) => *n += 1,
            None => counts.push((m.unit, 1)),
        }
    }
    // The first of the commonest.
    let Some(&(usual, n)) = counts.iter().rev().max_by_key(|(_, n)| *n) else { return };
    if n < ENOUGH || counts.len() < 2 {
        return;
    }
    let common = || measures.iter().filter(|m| m.unit == usual);
    let (Some(least), Some(most)) = (common().map(|m| m.low).min(), common().map(|m| m.high).max())
    else {
        return;
    };
    let times = Decimal::TWO;
    let far = |m: &Measure| {
        most.checked_mul(times).is_some_and(|most| m.low > most)
            || m.high.checked_mul(times).is_some_and(|high| high < least)
    };
    for m in measures.iter().filter(|m| m.unit != usual && far(m)) {
        out.push(
            RULE.at(
                m.span,
                format!("`{name}` in {}, far from all others in {}", m.unit.sign(), usual.sign()),
            )
            .why(format!(
                "The others lie between {} and {} {}.",
                least.normalize(),
                most.normalize(),
                usual.sign()
            ))
            .remedy("Look at the unit again; nothing, where the plant is so."),
        );
    }
}

// Its ends in the unit of the character, and the unit in which it is written.
fn measure(exam: &Examination, statement: &Statement) -> Option<Measure> {
    let Value::Number(amount) = &statement.value else { return None };
    let unit = written(exam.key.source.slice(statement.span))?;
    let mut ends = amount.extents.iter().flat_map(|e| [e.usual.low, e.usual.high]).flatten();
    let first = ends.next()?.value;
    let (low, high) = ends.fold((first, first), |(l, h), e| (l.min(e.value), h.max(e.value)));
    Some(Measure { unit, low, high, span: statement.span })
}

// The unit behind the last figure.
fn written(text: &str) -> Option<Unit> {
    let figure = text.rfind(|c: char| c.is_ascii_digit())?;
    let behind = text[figure + 1..].trim_start_matches([')', ']', ' ']);
    let word: String = behind.chars().take_while(|c| c.is_alphabetic()).collect();
    [Unit::Micrometre, Unit::Millimetre, Unit::Centimetre, Unit::Decimetre, Unit::Metre]
        .into_iter()
        .chain([Unit::Inch, Unit::Foot])
        .find(|u| u.sign() == word)
}
