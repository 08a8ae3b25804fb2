//! Few taxa weighed one by one: how probable each answer is for each, and what that tells.

use foldhash::HashMap;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::account::Known;
use super::cut::{Cut, Interval};
use super::next::{Answer, AnswerValue};
use super::numbers::Numbers;
use super::recurring::Recurring;
use super::table::{Body, Column, Table};
use super::weights::Weights;
use crate::key::{ConditionId, StateId};

/// The share of each answer, and the information, taxon by taxon.
pub(super) fn weighed(
    table: &Table,
    column: &Column,
    weights: &Weights,
    condition: ConditionId,
    answers: &[Answer],
) -> (Vec<f64>, f64) {
    let mut tally = Tally::new(answers.len());
    let give = Giving::new(table, column, condition, answers);
    let mut alike = Alike::new(column);
    let mut own = vec![0.0; answers.len()];
    for (row, weight) in weights.rows() {
        tally.total += weight;
        // Most taxa show the same states as another.
        match alike.pattern(column, row) {
            Some(pattern) => {
                let given = alike.met.entry(pattern).or_insert_with(|| {
                    let mut own = vec![0.0; answers.len()];
                    give.shares(column, row, &mut own).then(|| with_logs(&own))
                });
                if let Some(given) = given {
                    tally.add(weight, given.iter().copied());
                }
            }
            None => {
                if give.shares(column, row, &mut own) {
                    tally.add(weight, own.iter().map(|p| (*p, p.log2())));
                }
            }
        }
    }
    tally.finish()
}

fn with_logs(shares: &[f64]) -> Vec<(f64, f64)> {
    shares.iter().map(|p| (*p, p.log2())).collect()
}

/// What was added up so far.
struct Tally {
    marginal: Vec<f64>,
    within: f64,
    known: f64,
    total: f64,
}

impl Tally {
    fn new(answers: usize) -> Tally {
        Tally { marginal: vec![0.0; answers], within: 0.0, known: 0.0, total: 0.0 }
    }

    /// Adds a taxon that gives each answer with the probabilities `shares`, each with its binary
    /// logarithm.
    #[inline]
    fn add(&mut self, weight: f64, shares: impl Iterator<Item = (f64, f64)>) {
        self.known += weight;
        for (m, (p, log)) in self.marginal.iter_mut().zip(shares) {
            *m += weight * p;
            if p > 0.0 {
                self.within -= weight * p * log;
            }
        }
    }

    fn finish(self) -> (Vec<f64>, f64) {
        let Tally { mut marginal, within, known, total } = self;
        if known <= 0.0 || total <= 0.0 {
            let even = 1.0 / marginal.len().max(1) as f64;
            return (vec![even; marginal.len()], 0.0);
        }
        marginal.iter_mut().for_each(|m| *m /= known);
        let between: f64 = marginal.iter().filter(|m| **m > 0.0).map(|m| -m * m.log2()).sum();
        let information = (between - within / known) * known / total;
        (marginal, information.max(0.0))
    }
}

/// Taxa that show the same states as others, by these states.
struct Alike {
    met: HashMap<u64, Option<Vec<(f64, f64)>>>,
    /// Whether the states, and whether it may not apply, fit one word.
    fits: bool,
}

impl Alike {
    fn new(column: &Column) -> Alike {
        let fits = matches!(&column.body, Body::States { fits, .. } if fits.len() < 62);
        Alike { met: HashMap::default(), fits }
    }

    /// What a taxon's shares depend on alone; `None` where they are its own.
    fn pattern(&self, column: &Column, row: usize) -> Option<u64> {
        let Body::States { fits, uneven } = &column.body else { return None };
        let own =
            !uneven.is_empty() && uneven.binary_search_by_key(&(row as u32), |(r, _)| *r).is_ok();
        if !self.fits || own {
            return None;
        }
        let mut pattern = u64::from(column.is_known(row)) << 1;
        if let Some(lack) = &column.may_lack {
            pattern |= u64::from(lack.contains(row));
        }
        let shown = fits.iter().enumerate();
        Some(shown.fold(pattern, |p, (s, bits)| p | u64::from(bits.contains(row)) << (s + 2)))
    }
}

/// How probable each answer is for a taxon.
struct Giving {
    /// For each state of an account, the share of each answer.
    of_state: Vec<Vec<f64>>,
    /// Where a measure is cut, and what its limits are multiplied by.
    cut: Option<(f64, (f64, f64))>,
    lacking: Option<usize>,
}

impl Giving {
    fn new(table: &Table, column: &Column, condition: ConditionId, answers: &[Answer]) -> Giving {
        let place =
            |state: StateId| answers.iter().position(|a| a.value == AnswerValue::State(state));
        let meta = &column.meta;
        let of_state = (0..meta.states() as u16).map(StateId).map(|s| {
            let mut out = vec![0.0; answers.len()];
            let looks = meta.seen_as(s, table.described, condition);
            let each = 1.0 / looks.len().max(1) as f64;
            for at in looks.iter().filter_map(place) {
                out[at] += each;
            }
            out
        });
        let cut = answers.iter().find_map(|a| match a.value {
            AnswerValue::AtMost(c) | AnswerValue::MoreThan(c) => c.to_f64(),
            _ => None,
        });
        Giving {
            of_state: of_state.collect(),
            cut: cut.map(|c| (c, shares(table, column, condition))),
            lacking: answers.iter().position(|a| a.value == AnswerValue::DoesNotApply),
        }
    }

    /// The probability of each answer into `out`; `false` where nothing is said of the taxon.
    fn shares(&self, column: &Column, row: usize, out: &mut [f64]) -> bool {
        let Some(known) = column.known(row) else { return false };
        out.fill(0.0);
        match &known {
            Known::Lacking => {}
            Known::States(shown) => {
                for (state, share) in shown {
                    for (o, p) in out.iter_mut().zip(&self.of_state[state.0 as usize]) {
                        *o += share * p;
                    }
                }
            }
            Known::Numbers(reaches) => {
                let Some((cut, shares)) = self.cut else { return false };
                let below: f64 = reaches
                    .iter()
                    .map(|r| r.share * Stretch::of(&r.usual, shares, r.share).under(cut))
                    .sum();
                // The answers that a number has are the first, where they are left at all.
                let numbers = out.len() - usize::from(self.lacking.is_some());
                match numbers {
                    2 => (out[0], out[1]) = (below, 1.0 - below),
                    1 => out[0] = 1.0,
                    _ => {}
                }
            }
        }
        if let Some(lacking) = self.lacking
            && column.may_lack(row)
        {
            // It may not apply: as likely as that it does, or certain.
            let applies = if matches!(known, Known::Lacking) { 0.0 } else { 0.5 };
            out.iter_mut().for_each(|p| *p *= applies);
            out[lacking] = 1.0 - applies;
        }
        let sum: f64 = out.iter().sum();
        if sum <= 0.0 {
            return false;
        }
        out.iter_mut().for_each(|p| *p /= sum);
        true
    }
}

/// What an account's low and high limits are multiplied by under a condition.
fn shares(table: &Table, column: &Column, condition: ConditionId) -> (f64, f64) {
    let (low, high) = column.meta.factors(table.described, condition).shares();
    (low.to_f64().unwrap_or(1.0), high.to_f64().unwrap_or(1.0))
}

/// A usual range on the line of numbers with the share of plants that show it; an end that it does
/// not have is no number.
struct Stretch {
    low: f64,
    high: f64,
    share: f64,
}

impl Stretch {
    fn of(usual: &Interval, shares: (f64, f64), share: f64) -> Stretch {
        let at = |c: Cut, share: f64| c.value().and_then(|v| v.to_f64()).map(|v| v * share);
        let end = |c, share| at(c, share).unwrap_or(f64::NAN);
        Stretch { low: end(usual.low, shares.0), high: end(usual.high, shares.1), share }
    }

    /// The share of it at or below a cut; a half where that cannot be said.
    fn under(&self, cut: f64) -> f64 {
        if self.high <= cut {
            1.0
        } else if self.low > cut {
            0.0
        } else if self.high > self.low {
            ((cut - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
        } else {
            0.5
        }
    }
}

/// The numbers of the taxa that are left, made ready to be cut at many places.
pub(super) struct Cuttable {
    /// Each taxon's weight, and where its stretches end.
    rows: Vec<(f64, usize)>,
    stretches: Vec<Stretch>,
    total: f64,
    log2: Recurring,
}

impl Cuttable {
    pub fn of(
        table: &Table,
        column: &Column,
        numbers: &Numbers,
        weights: &Weights,
        condition: ConditionId,
    ) -> Cuttable {
        let shares = shares(table, column, condition);
        let log2 = Recurring::new(f64::log2);
        let mut out = Cuttable { rows: Vec::new(), stretches: Vec::new(), total: 0.0, log2 };
        for (row, weight) in weights.rows() {
            out.total += weight;
            if column.is_known(row) && !column.is_lacking(row) {
                let reaches = numbers.reaches(row);
                out.stretches
                    .extend(reaches.iter().map(|r| Stretch::of(&r.usual, shares, r.share)));
                out.rows.push((weight, out.stretches.len()));
            }
        }
        out
    }

    /// What it tells whether a number is at most `cut` or more.
    pub fn information(&mut self, cut: Decimal) -> f64 {
        let Some(cut) = cut.to_f64() else { return 0.0 };
        let mut tally = Tally::new(2);
        tally.total = self.total;
        let mut from = 0;
        for (weight, to) in &self.rows {
            let of = &self.stretches[from..*to];
            from = *to;
            let below: f64 = of.iter().map(|s| s.share * s.under(cut)).sum();
            let above = 1.0 - below;
            let sum = below + above;
            if sum > 0.0 {
                let shares = [below / sum, above / sum];
                tally.add(*weight, shares.into_iter().map(|p| (p, self.log2.at(p))));
            }
        }
        tally.finish().1
    }
}
