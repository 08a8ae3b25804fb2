//! What fills a gap: states with or, to, not and words of frequency; numbers by flora notation.

use super::Lexicon;
use super::forms::Filling;
use super::tokens::{Token, Word};
use crate::key::statement::{Choice, StateSet, Value};
use crate::text::amount::{Amount, Unit};
use crate::text::frequency::Frequency;
use crate::text::language::Language;
use crate::text::notation::{self, Fault, FaultKind, Reading};
use crate::text::span::Span;

/// A way to fill a gap: how many words it takes and what they mean. Spans are bytes of the text
/// read, not yet places in a source.
#[derive(Clone, Debug)]
pub(crate) struct Filled {
    pub words: usize,
    pub value: Value,
    /// What stands after `×`, where two dimensions are written.
    pub second: Option<Amount>,
    /// A number that lacks a unit where one is needed.
    pub unit_missing: bool,
}

/// A number as read, before it is turned into the unit of the character that asks.
#[derive(Clone, Debug)]
pub(crate) struct Number {
    pub words: usize,
    pub amount: Amount,
    pub unit: Option<Unit>,
    pub second: Option<(Amount, Option<Unit>)>,
}

/// A part while it is read: its text, its words, and the measures met in it so far.
pub(super) struct Place<'a> {
    pub part: &'a str,
    pub tokens: &'a [Token],
    pub measures: &'a mut Vec<(u32, Option<Number>)>,
    /// Figures that were not read because of what is wrong with them, by bytes of the part.
    pub spoilt: &'a mut Vec<Fault>,
}

impl Lexicon {
    /// Every way in which the words from `at` begin with a value of `filling`, longest first.
    pub(super) fn fill(&self, place: &mut Place, at: usize, filling: &Filling) -> Vec<Filled> {
        match filling {
            Filling::States { ordered, count, words } => {
                self.states(&place.tokens[at..], *ordered, *count, words)
            }
            Filling::Measure(unit) => self.measure(place, at, *unit).into_iter().collect(),
            Filling::Count { many } => self.count(place, at, many.as_ref()).into_iter().collect(),
            Filling::Ratio { dimension, many } => {
                self.ratio(place, at, dimension, many.as_ref()).into_iter().collect()
            }
        }
    }

    fn states(
        &self,
        tokens: &[Token],
        ordered: bool,
        count: usize,
        words: &super::forms::StateWords,
    ) -> Vec<Filled> {
        let mut out: Vec<Filled> = Vec::new();
        let mut choices: Vec<Choice> = Vec::new();
        let mut taken: Vec<StateSet> = Vec::new();
        let mut listed: Vec<usize> = Vec::new();
        let mut frequency = Frequency::Stated;
        let mut at = 0;
        let mut joined = Joint::First;
        loop {
            let begin = at;
            if let Some((n, f)) = self.phrases.frequency(&tokens[at..]) {
                frequency = f;
                at += n;
            } else if joined == Joint::Comma {
                frequency = Frequency::Stated;
            }
            let not = self.phrases.not.met(&tokens[at..]);
            at += not;
            // The longest declared words first.
            let found = words.matches(tokens[at..].iter().map(|t| t.word));
            let Some(&(n, set, named)) = found.first() else { break };
            // A bare comma between two states means both at once; only frequency, "not" or a
            // later "or" makes alternatives of it.
            let bare = joined == Joint::Comma && begin == at && not == 0;
            let span = Span { start: tokens[begin].start, end: tokens[at + n - 1].end };
            at += n;
            if not > 0 {
                taken.push(set.clone());
            } else {
                let choice = Choice { accepts: set.clone(), named, frequency, span };
                match (joined, choices.last_mut()) {
                    (Joint::To, Some(last)) if ordered => {
                        if let Some(between) = between(last, &choice) {
                            *last = between;
                        } else {
                            choices.push(choice);
                        }
                    }
                    _ => choices.push(choice),
                }
                if bare {
                    listed.push(at);
                }
            }
            // Where a comma list is still open, it is no value until its "or" comes.
            let open = !listed.is_empty() && joined != Joint::Or;
            if joined == Joint::Or {
                listed.clear();
            }
            if !open {
                out.push(Filled {
                    words: at,
                    value: Value::States(settled(&choices, &taken, count)),
                    second: None,
                    unit_missing: false,
                });
            }
            let rest = &tokens[at..];
            let comma = usize::from(rest.first().is_some_and(|t| t.word == Word::COMMA));
            let or = self.phrases.or.met(&rest[comma..]);
            let to = self.phrases.to.met(rest);
            joined = if or > 0 {
                at += comma + or;
                Joint::Or
            } else if to > 0 {
                at += to;
                Joint::To
            } else if comma > 0 {
                at += 1;
                Joint::Comma
            } else {
                break;
            };
        }
        out.reverse();
        out.retain(|f| !matches!(&f.value, Value::States(c) if c.is_empty()));
        out
    }

    /// A number by `read`. What is not sure is not read; limits out of order are read, and reported
    /// with the statement.
    fn number(
        &self,
        place: &mut Place,
        at: usize,
        many: bool,
        read: fn(&str, &Language) -> Option<Reading>,
    ) -> Option<Number> {
        let tokens = &place.tokens[at..];
        let first = tokens.first()?;
        let reading = read(&place.part[first.start as usize..], self.language)?;
        if !place.is_sure(&reading, first.start as usize) {
            return None;
        }
        if reading.to_many && !many {
            return None;
        }
        let words = words_within(tokens, first.start as usize + reading.len)?;
        Some(Number { words, amount: reading.amount, unit: reading.unit, second: reading.second })
    }

    /// The measure that begins with `tokens`, read once however many characters ask for it.
    fn measure_at(&self, place: &mut Place, word: usize) -> Option<Number> {
        let at = place.tokens.get(word)?.start;
        if let Some((_, known)) = place.measures.iter().find(|(a, _)| *a == at) {
            return known.clone();
        }
        let number = self.number(place, word, false, notation::read);
        place.measures.push((at, number.clone()));
        number
    }

    fn measure(&self, place: &mut Place, at: usize, unit: Unit) -> Option<Filled> {
        let number = self.measure_at(place, at)?;
        let convert = |amount: Amount, from: Option<Unit>| -> Option<Amount> {
            match from {
                Some(from) => amount.scaled(from.factor(unit)?),
                None => Some(amount),
            }
        };
        let unit_missing = number.unit.is_none();
        let amount = convert(number.amount, number.unit)?;
        let second = match number.second {
            Some((amount, from)) => Some(convert(amount, from.or(number.unit))?),
            None => None,
        };
        Some(Filled { words: number.words, value: Value::Number(amount), second, unit_missing })
    }

    fn count(&self, place: &mut Place, at: usize, many: Option<&Amount>) -> Option<Filled> {
        let plain = |words, amount| Filled {
            words,
            value: Value::Number(amount),
            second: None,
            unit_missing: false,
        };
        if let Some(many) = many {
            let n = self.phrases.many.met(&place.tokens[at..]);
            if n > 0 {
                return Some(plain(n, many.clone()));
            }
        }
        let number = self.number(place, at, many.is_some(), notation::read_count)?;
        if number.second.is_some() {
            return None;
        }
        Some(plain(number.words, number.amount))
    }

    fn ratio(
        &self,
        place: &mut Place,
        at: usize,
        dimension: &str,
        many: Option<&Amount>,
    ) -> Option<Filled> {
        let tokens = &place.tokens[at..];
        let start = tokens.first()?.start as usize;
        let reading = match notation::read_ratio(&place.part[start..], dimension, self.language) {
            Some(r) if place.is_sure(&r, start) => r,
            Some(_) => return None,
            None => return self.count(place, at, many),
        };
        let words = words_within(tokens, start + reading.len)?;
        Some(Filled {
            words,
            value: Value::Number(reading.amount),
            second: None,
            unit_missing: false,
        })
    }
}

impl Place<'_> {
    /// Whether the figures that begin at byte `start` are what the writer meant, though their
    /// order may be wrong; what makes them unsure is kept.
    fn is_sure(&mut self, reading: &Reading, start: usize) -> bool {
        let order = |k| matches!(k, FaultKind::LowAboveHigh | FaultKind::ExtremeInside);
        let mut sure = true;
        for fault in reading.faults.iter().filter(|f| f.kind.spoils() && !order(f.kind)) {
            sure = false;
            let span = fault.span.start + start..fault.span.end + start;
            if !self.spoilt.iter().any(|s| s.span == span && s.kind == fault.kind) {
                self.spoilt.push(Fault { span, kind: fault.kind });
            }
        }
        sure
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Joint {
    First,
    Or,
    To,
    Comma,
}

/// How many whole words end at byte `end`; `None` where it falls within a word.
fn words_within(tokens: &[Token], end: usize) -> Option<usize> {
    let n = tokens.partition_point(|t| (t.start as usize) < end);
    // A full stop after an abbreviated unit belongs to the word and not to the number.
    let last = tokens[..n].last()?;
    (last.end as usize <= end + 1).then_some(n)
}

/// `a to c` among ordered states: everything from the first to the last.
fn between(a: &Choice, b: &Choice) -> Option<Choice> {
    let low = a.accepts.iter().min()?.min(b.accepts.iter().min()?);
    let high = a.accepts.iter().max()?.max(b.accepts.iter().max()?);
    let states = (low.0..=high.0).map(crate::key::character::StateId);
    Some(Choice {
        accepts: StateSet::of(states),
        named: None,
        frequency: a.frequency.min(b.frequency),
        span: a.span.to(b.span),
    })
}

/// The choices less what `not` takes away; only `not`: every other state.
fn settled(choices: &[Choice], taken: &[StateSet], count: usize) -> Vec<Choice> {
    if taken.is_empty() {
        return choices.to_vec();
    }
    let mut gone = StateSet::default();
    taken.iter().for_each(|t| gone.extend(t));
    if choices.is_empty() {
        let mut rest = StateSet::first(count);
        rest.remove(&gone);
        let span = Span::default();
        return if rest.is_empty() {
            Vec::new()
        } else {
            vec![Choice { accepts: rest, named: None, frequency: Frequency::Stated, span }]
        };
    }
    choices
        .iter()
        .filter_map(|c| {
            let mut c = c.clone();
            c.accepts.remove(&gone);
            if c.named.is_some_and(|n| gone.contains(n)) {
                c.named = None;
            }
            (!c.accepts.is_empty()).then_some(c)
        })
        .collect()
}
