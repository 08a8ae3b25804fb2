//! The forms of a taxon: what its account says it can show, and in what share of its plants.
//!
//! A word of frequency stands for its figure in [`crate::text::frequency::TABLE`]; what is stated
//! without one shares what is left. Within the usual range of a measure every value is as likely
//! as the next, and each written extreme is as rare as `rarely`. A range without an upper end
//! thins out as 1/x. Characters are taken to vary each on its own.

use std::collections::BTreeMap;

use rust_decimal::prelude::ToPrimitive;

use super::values::{Values, extreme_of, is_count, usual_of};
use crate::key::statement::Choice;
use crate::key::{Character, CharacterId, Key, Kind, StateSet, Statement, TaxonId, Value};
use crate::sift::cut::{Cut, Interval};
use crate::sift::shares;
use crate::text::amount::Extent;
use crate::text::frequency::Frequency;
use crate::text::language::fold;
use crate::text::span::Span;

/// What an account says, character by character; of every other character, nothing.
#[derive(Clone, Debug, Default)]
pub struct Forms {
    of: BTreeMap<CharacterId, Shown>,
    /// Statements of the account that deny each other.
    pub denials: Vec<Denial>,
}

/// What a taxon can show of one character.
#[derive(Clone, Debug)]
pub struct Shown {
    /// Their shares sum to one.
    pub cells: Vec<Cell>,
    /// The statements, nearest account first.
    pub spans: Vec<Span>,
    /// The taxon whose account says it.
    pub from: TaxonId,
    /// Not said: another character of the account applies only where this holds.
    pub implied_by: Option<CharacterId>,
}

/// Plants that are alike in one character, as far as the account tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    pub what: What,
    pub share: f64,
    /// Not an exception: neither a rare state nor beyond the usual range.
    pub usual: bool,
}

/// What such plants show.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// One of these; the account does not tell which.
    OneOf(Vec<u16>),
    /// Every number of it, each as likely as the next.
    Range(Interval),
}

/// A character is described, and its condition is denied by the same account.
#[derive(Clone, Debug)]
pub struct Denial {
    pub character: CharacterId,
    pub span: Span,
    pub condition: CharacterId,
    pub denied: Span,
}

impl Forms {
    /// The forms of a taxon from its own account and those it inherits.
    pub fn of(key: &Key, taxon: TaxonId) -> Forms {
        let mut said: BTreeMap<CharacterId, (TaxonId, Vec<&Statement>)> = BTreeMap::new();
        let mut levels: Vec<TaxonId> = Vec::new();
        for (from, statement) in key.statements_of(taxon) {
            if !levels.contains(&from) {
                levels.push(from);
            }
            said.entry(statement.character).or_insert((from, Vec::new())).1.push(statement);
        }
        let mut out = Forms::default();
        for (character, (from, statements)) in said {
            let cells = cells(key, key.character(character), &statements);
            if !cells.is_empty() {
                let spans = statements.iter().map(|s| s.span).collect();
                out.of.insert(character, Shown { cells, spans, from, implied_by: None });
            }
        }
        out.imply(key, &levels);
        out
    }

    pub fn get(&self, character: CharacterId) -> Option<&Shown> {
        self.of.get(&character)
    }

    pub fn is_empty(&self) -> bool {
        self.of.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = (CharacterId, &Shown)> {
        self.of.iter().map(|(c, s)| (*c, s))
    }

    // Stating a dependent character implies its condition, also against what a more distant
    // account says of that.
    fn imply(&mut self, key: &Key, levels: &[TaxonId]) {
        let level = |s: &Shown| levels.iter().position(|t| *t == s.from).unwrap_or(usize::MAX);
        let mut open: Vec<CharacterId> = self.of.keys().copied().collect();
        while let Some(character) = open.pop() {
            let Some(shown) = self.of.get(&character) else { continue };
            let (from, own, said) = (shown.from, level(shown), shown.implied_by.is_none());
            let spans = shown.spans.clone();
            for condition in &key.character(character).applies {
                let of = key.character(condition.character);
                let Some((wanted, _)) = Values::of(of, &condition.value) else { continue };
                if let Some(held) = self.of.get(&condition.character) {
                    if held.may_be(&wanted) {
                        continue;
                    }
                    if level(held) <= own {
                        if said && held.implied_by.is_none() {
                            self.denials.push(Denial {
                                character,
                                span: spans.first().copied().unwrap_or_default(),
                                condition: condition.character,
                                denied: held.spans.first().copied().unwrap_or_default(),
                            });
                        }
                        continue;
                    }
                }
                let Some(what) = What::of_values(&wanted) else { continue };
                let cells = vec![Cell { what, share: 1.0, usual: true }];
                let (spans, implied_by) = (spans.clone(), Some(character));
                self.of.insert(condition.character, Shown { cells, spans, from, implied_by });
                open.push(condition.character);
            }
        }
    }
}

impl What {
    /// Whether plants of which this is known may satisfy a demand.
    pub fn may_be(&self, wanted: &Values) -> bool {
        match (self, wanted) {
            (What::OneOf(states), Values::States(set)) => {
                states.iter().any(|s| set.contains(crate::key::StateId(*s)))
            }
            (What::Range(range), Values::Numbers(set)) => {
                set.iter().any(|i| !i.meet(range).is_void())
            }
            _ => false,
        }
    }

    // Values of which it is not known which one holds.
    fn of_values(values: &Values) -> Option<What> {
        match values {
            Values::States(set) => Some(What::OneOf(set.iter().map(|s| s.0).collect())),
            Values::Numbers(set) => {
                let mut all = set.iter();
                let first = *all.next()?;
                let last = all.last().copied().unwrap_or(first);
                Some(What::Range(Interval { low: first.low, high: last.high }))
            }
        }
    }

    pub fn values(&self) -> Values {
        match self {
            What::OneOf(states) => {
                Values::States(StateSet::of(states.iter().map(|s| crate::key::StateId(*s))))
            }
            What::Range(range) => Values::Numbers(super::intervals::Intervals::of([*range])),
        }
    }
}

impl Shown {
    /// Everything that occurs.
    pub fn values(&self) -> Option<Values> {
        self.cells.iter().map(|c| c.what.values()).reduce(|a, b| a.join(&b))
    }

    /// Whether some of its plants, usual or not, may satisfy a demand.
    pub fn may_be(&self, wanted: &Values) -> bool {
        self.cells.iter().any(|c| c.what.may_be(wanted))
    }
}

// Several statements of one account about one character: whatever one of them allows.
fn cells(key: &Key, character: &Character, statements: &[&Statement]) -> Vec<Cell> {
    let mut choices: Vec<&Choice> = Vec::new();
    let mut extents: Vec<&Extent> = Vec::new();
    for statement in statements {
        match &statement.value {
            Value::States(c) => choices.extend(c),
            Value::Number(a) => extents.extend(&a.extents),
        }
    }
    let mut out: Vec<Cell> = Vec::new();
    let shares_of = |words: Vec<Frequency>| shares::shares(&words);
    for (c, share) in choices.iter().zip(shares_of(choices.iter().map(|c| c.frequency).collect())) {
        let shown = c.accepts.meet(&StateSet::first(character.declared()));
        let states: Vec<u16> = shown.iter().map(|s| s.0).collect();
        let usual = !c.frequency.is_exception();
        if is_range(key, character, c) {
            let each = share / states.len().max(1) as f64;
            for s in states {
                add(&mut out, Cell { what: What::OneOf(vec![s]), share: each, usual });
            }
        } else if !states.is_empty() {
            add(&mut out, Cell { what: What::OneOf(states), share, usual });
        }
    }
    let count = is_count(character);
    for (e, share) in extents.iter().zip(shares_of(extents.iter().map(|e| e.frequency).collect())) {
        let usual = usual_of(e, count);
        let extreme = extreme_of(e, count);
        if usual.is_void() {
            continue;
        }
        let tails = [
            Interval { low: extreme.low.min(usual.low), high: usual.low },
            Interval { low: usual.high, high: extreme.high.max(usual.high) },
        ];
        let tails: Vec<Interval> = tails.into_iter().filter(is_wide).collect();
        let rare = Frequency::Rarely.row().share;
        let stated = !e.frequency.is_exception();
        let middle = share * (1.0 - rare * tails.len() as f64);
        out.push(Cell { what: What::Range(usual), share: middle, usual: stated });
        for t in tails {
            out.push(Cell { what: What::Range(t), share: share * rare, usual: false });
        }
    }
    out.retain(|c| c.share > 0.0);
    let all: f64 = out.iter().map(|c| c.share).sum();
    out.iter_mut().for_each(|c| c.share /= all);
    out
}

fn add(out: &mut Vec<Cell>, cell: Cell) {
    match out.iter_mut().find(|c| c.what == cell.what) {
        Some(old) => {
            old.share += cell.share;
            old.usual |= cell.usual;
        }
        None => out.push(cell),
    }
}

// `entire to lobed` says that all of them occur; a general word that one of them does.
fn is_range(key: &Key, character: &Character, choice: &Choice) -> bool {
    let Kind::States { ordered: true, groups, .. } = &character.kind else { return false };
    if choice.named.is_some() || choice.span.is_empty() {
        return false;
    }
    let words = fold(key.source.slice(choice.span));
    !groups.iter().any(|g| words.ends_with(&fold(&g.word)) && g.accepts == choice.accepts)
}

// A single value beside a range has no width of its own.
fn is_wide(interval: &Interval) -> bool {
    !interval.is_void() && interval.low.value() != interval.high.value()
}

/// The shares of the pieces of `whole`, summing to one: how its plants divide among them. By
/// length, or by how many numbers of a count; of a range without an upper end as
/// 1/(1 + low) - 1/(1 + high).
pub fn divide(whole: &Interval, pieces: &[Interval]) -> Vec<f64> {
    let at = |cut: Cut| cut.value().and_then(|v| v.to_f64());
    let bounded = at(whole.high).is_some();
    let weight = |p: &Interval| {
        if p.is_void() {
            return 0.0;
        }
        let low = at(p.low).unwrap_or(0.0).max(0.0);
        match (bounded, at(p.high)) {
            (true, Some(high)) => (high - low).max(0.0),
            (_, high) => 1.0 / (1.0 + low) - high.map_or(0.0, |h| 1.0 / (1.0 + h.max(0.0))),
        }
    };
    let raw: Vec<f64> = pieces.iter().map(weight).collect();
    let sum: f64 = raw.iter().sum();
    if sum > 0.0 {
        return raw.iter().map(|w| w / sum).collect();
    }
    // A single value: whichever piece holds it.
    let held = pieces.iter().filter(|p| !p.is_void()).count().max(1) as f64;
    pieces.iter().map(|p| if p.is_void() { 0.0 } else { 1.0 / held }).collect()
}
