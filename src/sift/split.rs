//! How a character splits the remaining taxa, and what that is expected to tell.
//!
//! Few taxa are weighed one by one: the information is what the answer and the taxon have in
//! common, H(A) - sum of w H(A|taxon), where a variable taxon gives each of its answers by its
//! share and one of which nothing is said tells nothing. Of very many, the taxa that each answer
//! leaves are counted, and the information is the sum of p log2(W/w) over the answers. Where every
//! taxon has one state, both are the entropy of the split.

use rust_decimal::Decimal;

use super::meta::{Gap, Meta};
use super::next::{Answer, AnswerValue};
use super::numbers::Numbers;
use super::observation::Observation;
use super::query::{Query, Ready};
use super::table::{Body, Column, Table};
use super::weigh::{Cuttable, weighed};
use super::weights::Weights;
use crate::key::{CharacterId, ConditionId};

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
    let mut numbers = Cuttable::of(table, column, numbers, weights, condition);
    let mut best: Option<(f64, Decimal)> = None;
    for pair in limits.windows(2).step_by(step) {
        let cut = roundest(pair[0], pair[1], column.meta.gap == Gap::Count);
        let information = numbers.information(cut);
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
    let Some(sum) = low.checked_add(high) else { return low };
    let middle = sum / Decimal::TWO;
    for place in -6..14i32 {
        let step = match u32::try_from(place) {
            Ok(scale) => Decimal::new(1, scale),
            Err(_) => Decimal::from(10i64.pow(place.unsigned_abs())),
        };
        for at in [step, step / Decimal::TWO] {
            // Of steps that reach beyond both, only nothing at all could lie between them.
            if low > Decimal::ZERO && at >= high {
                continue;
            }
            if let Some(times) = middle.checked_div(at) {
                let down = times.floor() * at;
                let up = times.ceil() * at;
                if let Some(found) = [down, up].into_iter().find(|v| *v >= low && *v < high) {
                    return found.normalize();
                }
            }
        }
    }
    low
}

impl Meta {
    /// Whether its answers are numbers.
    pub fn is_number(&self) -> bool {
        !matches!(self.gap, Gap::States { .. })
    }
}
