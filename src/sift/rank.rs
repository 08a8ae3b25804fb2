//! Names by probability, with everything that was assumed.

use std::cmp::Ordering;

use serde::Serialize;

use super::evidence::{Evidence, MISREADING, evidence};
use super::observation::Observation;
use super::prior::{Prior, Used};
use super::recurring::Recurring;
use super::table::Table;

/// The part of all probability that is held back and spread evenly over every name and `none of
/// these`, so that no probability is ever exactly 0 or 1.
pub const HELD_BACK: f64 = 1e-6;

/// What a ranking stands on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assumptions {
    /// The share of readings that are wrong, before doubt.
    pub misreading: f64,
    /// The probability, before anything is seen, that the plant is none of the key's taxa. Our
    /// choice: one plant in twenty.
    pub none: f64,
    /// Observations are taken as independent of each other, given the taxon. They seldom quite
    /// are, so that the figures are surer than they should be.
    pub independent: bool,
}

impl Default for Assumptions {
    fn default() -> Assumptions {
        Assumptions { misreading: MISREADING, none: 0.05, independent: true }
    }
}

/// A probability for every taxon and for none of them; all sum to one.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// Rows with their probability, the most probable first, equal ones in the order of the key;
    /// all of them, unless only the first were asked for.
    pub order: Vec<(usize, f64)>,
    /// That the plant is none of the key's taxa.
    pub none: f64,
    pub assumptions: Assumptions,
    pub prior: Used,
}

/// Ranks the taxa by their probability given what was seen.
pub fn rank(
    table: &Table,
    observations: &[Observation],
    prior: &Prior,
    assumptions: &Assumptions,
) -> Ranking {
    let said = |o| evidence(table, o, assumptions.misreading);
    let all: Vec<Evidence> = observations.iter().filter_map(said).collect();
    let before = Before::of(table.rows(), prior, assumptions);
    before.rank(&mut all.iter().collect::<Vec<_>>(), usize::MAX)
}

/// The probabilities before anything is seen, made ready for many rankings.
#[derive(Clone, Debug)]
pub struct Before {
    /// The natural logarithm of each row's probability.
    logs: Vec<f64>,
    /// And of that of a plant outside the key.
    none: f64,
    assumptions: Assumptions,
    prior: Used,
}

impl Before {
    pub fn of(rows: usize, prior: &Prior, assumptions: &Assumptions) -> Before {
        let none = if rows == 0 { 1.0 } else { assumptions.none.clamp(0.0, 1.0) };
        let sum: f64 = prior.weights.iter().sum();
        // In logarithms, for many small factors multiply.
        let share = |w: &f64| if sum > 0.0 { w / sum } else { 1.0 / rows as f64 };
        let mut ln = Recurring::new(f64::ln);
        let mut logs: Vec<f64> =
            prior.weights.iter().map(|w| ln.at((1.0 - none) * share(w))).collect();
        logs.resize(rows, f64::NEG_INFINITY);
        let assumptions = assumptions.clone();
        Before { logs, none: none.ln(), assumptions, prior: prior.used }
    }

    /// Ranks the taxa given `evidence`, which is put into the order in which it counts. Of the
    /// ranking the first `most` rows are kept.
    pub fn rank(&self, evidence: &mut [&Evidence], most: usize) -> Ranking {
        let (rows, none) = self.probabilities(evidence);
        let order = first(&rows, most);
        Ranking { order, none, assumptions: self.assumptions.clone(), prior: self.prior }
    }

    /// The probability of each row, and of none of them.
    fn probabilities(&self, evidence: &mut [&Evidence]) -> (Vec<f64>, f64) {
        let rows = self.logs.len();
        // Added up in one order, whatever the order of the observations, so that not even the last
        // digit depends on it.
        evidence.sort_by(|a, b| {
            a.none.total_cmp(&b.none).then_with(|| {
                let pairs = a.logs.iter().zip(&b.logs).map(|(x, y)| x.total_cmp(y));
                pairs.into_iter().find(|o| o.is_ne()).unwrap_or(Ordering::Equal)
            })
        });
        let mut logs = self.logs.clone();
        let mut none = self.none;
        for one in evidence {
            for (log, p) in logs.iter_mut().zip(&one.logs) {
                *log += p;
            }
            none += one.none.ln();
        }
        let top = logs.iter().copied().fold(none, f64::max);
        if top == f64::NEG_INFINITY {
            return even(rows);
        }
        let mut exp = Recurring::new(f64::exp);
        logs.iter_mut().for_each(|l| *l = exp.at(*l - top));
        let raw_none = (none - top).exp();
        let total: f64 = logs.iter().sum::<f64>() + raw_none;
        let least = HELD_BACK / (rows + 1) as f64;
        let held = |p: f64| p / total * (1.0 - HELD_BACK) + least;
        logs.iter_mut().for_each(|p| *p = held(*p));
        (logs, held(raw_none))
    }
}

fn even(rows: usize) -> (Vec<f64>, f64) {
    let each = 1.0 / (rows + 1) as f64;
    (vec![each; rows], each)
}

/// The `most` most probable rows, equal ones in the order of the key.
fn first(rows: &[f64], most: usize) -> Vec<(usize, f64)> {
    let by_worth = |a: &(usize, f64), b: &(usize, f64)| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0));
    let all = rows.iter().copied().enumerate();
    // Few of many: nearly every row is set aside by one comparison.
    if most < rows.len() / 8 {
        let mut out: Vec<(usize, f64)> = Vec::with_capacity(most + 1);
        for row in all {
            if out.len() < most || out.last().is_some_and(|last| by_worth(&row, last).is_lt()) {
                let at = out.partition_point(|o| by_worth(o, &row).is_lt());
                out.insert(at, row);
                out.truncate(most);
            }
        }
        return out;
    }
    let mut out: Vec<(usize, f64)> = all.collect();
    out.sort_unstable_by(by_worth);
    out.truncate(most);
    out
}

impl Ranking {
    /// The probability of a row; 0 where it is not among those that were asked for.
    pub fn probability(&self, row: usize) -> f64 {
        self.order.iter().find(|(r, _)| *r == row).map_or(0.0, |(_, p)| *p)
    }

    /// The most probable taxon.
    pub fn best(&self) -> Option<(usize, f64)> {
        self.order.first().copied()
    }

    /// The shortest list from the top whose probabilities reach `share` of what is not `none`; all
    /// that were asked for where they do not reach it.
    pub fn covering(&self, share: f64) -> &[(usize, f64)] {
        let wanted = share * (1.0 - self.none);
        let mut sum = 0.0;
        let reaches = |(_, p): &(usize, f64)| {
            sum += p;
            sum >= wanted
        };
        let count = self.order.iter().position(reaches).map_or(self.order.len(), |i| i + 1);
        &self.order[..count]
    }
}
