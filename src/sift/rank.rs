//! Names by probability, with everything that was assumed.

use serde::Serialize;

use super::evidence::{Evidence, MISREADING, evidence};
use super::observation::Observation;
use super::prior::{Prior, Used};
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
    /// Rows with their probability, the most probable first, equal ones in the order of the key.
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
    let all = observations.iter().filter_map(|o| evidence(table, o, assumptions.misreading));
    let (rows, none) = probabilities(table.rows(), all, prior, assumptions);
    let mut order: Vec<(usize, f64)> = rows.into_iter().enumerate().collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    Ranking { order, none, assumptions: assumptions.clone(), prior: prior.used }
}

/// The probability of each row, and of none of them.
pub fn probabilities(
    rows: usize,
    evidence: impl IntoIterator<Item = impl std::borrow::Borrow<Evidence>>,
    prior: &Prior,
    assumptions: &Assumptions,
) -> (Vec<f64>, f64) {
    let none = if rows == 0 { 1.0 } else { assumptions.none.clamp(0.0, 1.0) };
    let sum: f64 = prior.weights.iter().sum();
    // In logarithms, for many small factors multiply.
    let share = |w: &f64| if sum > 0.0 { w / sum } else { 1.0 / rows as f64 };
    let mut logs: Vec<f64> = prior.weights.iter().map(|w| ((1.0 - none) * share(w)).ln()).collect();
    logs.resize(rows, f64::NEG_INFINITY);
    let mut log_none = none.ln();
    let mut seen: Vec<_> = evidence.into_iter().collect();
    // Added up in one order, whatever the order of the observations, so that not even the last
    // digit depends on it.
    seen.sort_by(|a, b| {
        let (a, b) = (a.borrow(), b.borrow());
        a.none.total_cmp(&b.none).then_with(|| {
            let pairs = a.rows.iter().zip(&b.rows).map(|(x, y)| x.total_cmp(y));
            pairs.into_iter().find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal)
        })
    });
    for one in &seen {
        let one = one.borrow();
        for (log, p) in logs.iter_mut().zip(&one.rows) {
            *log += p.ln();
        }
        log_none += one.none.ln();
    }
    let top = logs.iter().copied().fold(log_none, f64::max);
    if top == f64::NEG_INFINITY {
        return even(rows);
    }
    let raw: Vec<f64> = logs.iter().map(|l| (l - top).exp()).collect();
    let raw_none = (log_none - top).exp();
    let total: f64 = raw.iter().sum::<f64>() + raw_none;
    let least = HELD_BACK / (rows + 1) as f64;
    let held = |p: f64| p / total * (1.0 - HELD_BACK) + least;
    (raw.into_iter().map(held).collect(), held(raw_none))
}

fn even(rows: usize) -> (Vec<f64>, f64) {
    let each = 1.0 / (rows + 1) as f64;
    (vec![each; rows], each)
}

impl Ranking {
    pub fn probability(&self, row: usize) -> f64 {
        self.order.iter().find(|(r, _)| *r == row).map_or(0.0, |(_, p)| *p)
    }

    /// The most probable taxon.
    pub fn best(&self) -> Option<(usize, f64)> {
        self.order.first().copied()
    }

    /// The shortest list from the top whose probabilities reach `share` of what is not `none`.
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
