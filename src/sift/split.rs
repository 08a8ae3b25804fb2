//! How a character splits the remaining taxa, and what that is expected to tell.
//!
//! Few taxa are weighed one by one: the information is what the answer and the taxon have in
//! common, H(A) - sum of w H(A|taxon), where a variable taxon gives each of its answers by its
//! share and one of which nothing is said tells nothing. Of very many, the taxa that each answer
//! leaves are counted, and the information is the sum of p log2(W/w) over the answers. Where every
//! taxon has one state, both are the entropy of the split.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use super::account::Known;
use super::bits::Ones;
use super::cut::{Cut, Interval};
use super::meta::{Gap, Meta};
use super::next::{Answer, AnswerValue};
use super::numbers::Numbers;
use super::observation::Observation;
use super::query::{Query, Ready};
use super::table::{Body, Column, Table};
use super::weights::Weights;
use crate::key::{CharacterId, ConditionId, StateId};

/// Up to so many taxa are weighed one by one.
pub const WEIGHED: usize = 2048;

/// And so long as taxa times answers stay below this.
const WEIGHED_CELLS: usize = 1 << 20;

/// No more cut-points of one measure are tried.
const CUTS: usize = 48;

/// How one character splits the taxa.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    pub answers: Vec<Answer>,
    pub information: f64,
    pub by_shares: bool,
}

/// Splits the taxa of `weights` by a character seen under a condition; `None` where it has no
/// answers.
pub fn split(
    table: &Table,
    character: CharacterId,
    weights: &Weights,
    condition: ConditionId,
) -> Option<Split> {
    let column = table.columns.get(character.0 as usize)?;
    let n = weights.left.count();
    let values = match column.meta.gap {
        Gap::States { .. } => looks(column, table.described, condition),
        _ => {
            let cut = if n <= WEIGHED {
                best_cut(table, column, weights, condition)?
            } else {
                super::halve::middle(table, column, weights, condition)?
            };
            vec![AnswerValue::AtMost(cut), AnswerValue::MoreThan(cut)]
        }
    };
    let mut values = values;
    if !column.meta.applies.is_empty() {
        values.push(AnswerValue::DoesNotApply);
    }
    let mut answers = Vec::new();
    let mut held = Vec::new();
    for value in values {
        let o = Observation::new(character, value.seen(), condition);
        let query = Query::of(table, &o);
        let ready = Ready::new(column, &query);
        let (left, weight) = match &ready {
            // One set is counted without being copied.
            Ready::AnyOf(sets) if sets.len() == 1 => weights.count(sets[0]),
            ready => weights.count_blocks(|b| ready.block(b)),
        };
        if left > 0 {
            answers.push(Answer { value, left, share: 0.0 });
            held.push(weight);
        }
    }
    if n <= WEIGHED && n * answers.len() <= WEIGHED_CELLS {
        let (shares, information) = weighed(table, column, weights, condition, &answers);
        for (answer, share) in answers.iter_mut().zip(shares) {
            answer.share = share;
        }
        return Some(Split { answers, information, by_shares: true });
    }
    let sum: f64 = held.iter().sum();
    let mut information = 0.0;
    for (answer, weight) in answers.iter_mut().zip(&held) {
        answer.share = if sum > 0.0 { weight / sum } else { 0.0 };
        if *weight > 0.0 {
            information += answer.share * (weights.total / weight).log2();
        }
    }
    Some(Split { answers, information: information.max(0.0), by_shares: false })
}

fn looks(column: &Column, described: ConditionId, condition: ConditionId) -> Vec<AnswerValue> {
    let mut visible = column.meta.visible(condition);
    if condition == described {
        visible.extend(&column.meta.visible(ConditionId::FRESH));
    }
    visible.iter().map(AnswerValue::State).collect()
}

/// The share of each answer, and the information, taxon by taxon.
fn weighed(
    table: &Table,
    column: &Column,
    weights: &Weights,
    condition: ConditionId,
    answers: &[Answer],
) -> (Vec<f64>, f64) {
    let mut marginal = vec![0.0; answers.len()];
    let mut within = 0.0;
    let mut known_weight = 0.0;
    let mut total = 0.0;
    let give = Giving::new(table, column, condition, answers);
    for (index, word) in weights.left.words().iter().enumerate() {
        for bit in Ones(*word) {
            let row = index * 64 + bit;
            let weight = weights.weight(row);
            total += weight;
            let Some(given) = give.shares(column, row) else { continue };
            known_weight += weight;
            for (m, p) in marginal.iter_mut().zip(&given) {
                *m += weight * p;
                if *p > 0.0 {
                    within -= weight * p * p.log2();
                }
            }
        }
    }
    if known_weight <= 0.0 || total <= 0.0 {
        let even = 1.0 / answers.len().max(1) as f64;
        return (vec![even; answers.len()], 0.0);
    }
    marginal.iter_mut().for_each(|m| *m /= known_weight);
    let between: f64 = marginal.iter().filter(|m| **m > 0.0).map(|m| -m * m.log2()).sum();
    let information = (between - within / known_weight) * known_weight / total;
    (marginal, information.max(0.0))
}

/// How probable each answer is for a taxon.
struct Giving {
    /// For each state of an account, the share of each answer.
    of_state: Vec<Vec<f64>>,
    /// Where a measure is cut, and what its limits are multiplied by.
    cut: Option<(f64, (f64, f64))>,
    lacking: Option<usize>,
    answers: usize,
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
        let (low, high) = meta.factors(table.described, condition).shares();
        let shares = (low.to_f64().unwrap_or(1.0), high.to_f64().unwrap_or(1.0));
        Giving {
            of_state: of_state.collect(),
            cut: cut.map(|c| (c, shares)),
            lacking: answers.iter().position(|a| a.value == AnswerValue::DoesNotApply),
            answers: answers.len(),
        }
    }

    /// `None` where nothing is said of the taxon.
    fn shares(&self, column: &Column, row: usize) -> Option<Vec<f64>> {
        let known = column.known(row)?;
        let mut out = vec![0.0; self.answers];
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
                let (cut, shares) = self.cut?;
                let below: f64 =
                    reaches.iter().map(|r| r.share * under(&r.usual, cut, shares)).sum();
                // The answers that a number has are the first, where they are left at all.
                let numbers = self.answers - usize::from(self.lacking.is_some());
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
            return None;
        }
        out.iter_mut().for_each(|p| *p /= sum);
        Some(out)
    }
}

/// The share of a usual range at or below a cut.
fn under(usual: &Interval, cut: f64, shares: (f64, f64)) -> f64 {
    let at = |c: Cut, share: f64| c.value().and_then(|v| v.to_f64()).map(|v| v * share);
    match (at(usual.low, shares.0), at(usual.high, shares.1)) {
        (_, Some(high)) if high <= cut => 1.0,
        (Some(low), _) if low > cut => 0.0,
        (Some(low), Some(high)) if high > low => ((cut - low) / (high - low)).clamp(0.0, 1.0),
        _ => 0.5,
    }
}

/// The cut-point of a measure that tells most, the first of equals.
fn best_cut(
    table: &Table,
    column: &Column,
    weights: &Weights,
    condition: ConditionId,
) -> Option<Decimal> {
    let Body::Numbers(numbers) = &column.body else { return None };
    let limits = limits(table, column, numbers, weights, condition);
    let step = limits.len().div_ceil(CUTS).max(1);
    let mut best: Option<(f64, Decimal)> = None;
    for pair in limits.windows(2).step_by(step) {
        let cut = roundest(pair[0], pair[1], column.meta.gap == Gap::Count);
        let answers = [AnswerValue::AtMost(cut), AnswerValue::MoreThan(cut)].map(|value| Answer {
            value,
            left: 0,
            share: 0.0,
        });
        let (_, information) = weighed(table, column, weights, condition, &answers);
        if best.is_none_or(|(most, _)| information > most + 1e-12) {
            best = Some((information, cut));
        }
    }
    best.map(|(_, cut)| cut)
}

/// The limits of the remaining taxa as they look under the condition, ascending, once.
fn limits(
    table: &Table,
    column: &Column,
    numbers: &Numbers,
    weights: &Weights,
    condition: ConditionId,
) -> Vec<Decimal> {
    let (low, high) = column.meta.factors(table.described, condition).shares();
    let mut out = Vec::new();
    for row in weights.left.iter().filter(|r| column.is_known(*r) && !column.is_lacking(*r)) {
        for reach in numbers.reaches(row) {
            for (cut, share) in [(reach.usual.low, low), (reach.usual.high, high)] {
                out.extend(cut.value().and_then(|v| v.checked_mul(share)).map(|v| v.normalize()));
            }
        }
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// The roundest number from `low` up to, not including, `high`: the one with the fewest digits. A
/// count is cut after a whole number.
pub(super) fn roundest(low: Decimal, high: Decimal, is_count: bool) -> Decimal {
    if is_count {
        return low.floor().max(Decimal::ZERO);
    }
    let mut step = Decimal::from_i64(1_000_000).unwrap_or(Decimal::ONE);
    for _ in 0..20 {
        for at in [step, step / Decimal::TWO] {
            let middle = (low + high) / Decimal::TWO;
            if let Some(times) = middle.checked_div(at) {
                let down = times.floor() * at;
                let up = times.ceil() * at;
                if let Some(found) = [down, up].into_iter().find(|v| *v >= low && *v < high) {
                    return found.normalize();
                }
            }
        }
        step /= Decimal::TEN;
    }
    low
}

impl Meta {
    /// Whether its answers are numbers.
    pub fn is_number(&self) -> bool {
        !matches!(self.gap, Gap::States { .. })
    }
}
