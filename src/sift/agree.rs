//! Which taxa agree with what was seen, and which with a misfit or two.

use super::bits::{Bits, LANE};
use super::observation::Observation;
use super::query::{Query, Ready};
use super::table::Table;

/// The taxa by their misfits: observations that their account contradicts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Agreement {
    /// `at_most[k]`: the taxa with at most `k` misfits, up to the tolerance.
    pub at_most: Vec<Bits>,
    /// How many observations could agree or disagree with an account.
    pub counted: usize,
}

/// The taxa that agree with `observations`, and those with up to `tolerance` misfits.
pub fn agree(table: &Table, observations: &[Observation], tolerance: usize) -> Agreement {
    // More misfits than observations no taxon can have.
    let tolerance = tolerance.min(observations.len());
    let mut out = Agreement::before_any(table.rows(), tolerance);
    for observation in observations {
        let Some(column) = table.columns.get(observation.character.0 as usize) else { continue };
        let query = Query::of(table, observation);
        if matches!(query, Query::Silent(_)) {
            continue;
        }
        let ready = Ready::new(column, &query);
        out.narrow(|block| ready.block(block));
    }
    out
}

impl Agreement {
    /// Every taxon, without a misfit yet.
    pub(super) fn before_any(rows: usize, tolerance: usize) -> Agreement {
        Agreement { at_most: vec![Bits::all(rows); tolerance + 1], counted: 0 }
    }

    /// Counts one observation; `fits` says which rows of a block it does not contradict.
    pub(super) fn narrow(&mut self, fits: impl Fn(usize) -> [u64; LANE]) {
        self.counted += 1;
        let at_most = &mut self.at_most;
        for block in 0..at_most[0].words().len() / LANE {
            let fit = fits(block);
            let here = block * LANE..(block + 1) * LANE;
            // From the most misfits down: at most k before is at most k + 1 after a misfit.
            for k in (0..at_most.len()).rev() {
                let (fewer, from) = at_most.split_at_mut(k);
                let words = &mut from[0].words_mut()[here.clone()];
                match fewer.last() {
                    Some(fewer) => {
                        let fewer = &fewer.words()[here.clone()];
                        for i in 0..LANE {
                            words[i] = words[i] & fit[i] | fewer[i];
                        }
                    }
                    None => (0..LANE).for_each(|i| words[i] &= fit[i]),
                }
            }
        }
    }

    /// The taxa without a misfit.
    pub fn agreeing(&self) -> &Bits {
        &self.at_most[0]
    }

    /// The taxa within the tolerance.
    pub fn tolerated(&self) -> &Bits {
        &self.at_most[self.at_most.len() - 1]
    }

    pub fn tolerance(&self) -> usize {
        self.at_most.len() - 1
    }

    /// How many misfits the taxon in `row` has; `None` beyond the tolerance.
    pub fn misfits(&self, row: usize) -> Option<usize> {
        self.at_most.iter().position(|b| b.contains(row))
    }
}

/// The observations that the account of the taxon in `row` contradicts, by index.
pub fn misfits_of(table: &Table, observations: &[Observation], row: usize) -> Vec<usize> {
    let fits = |o: &Observation| {
        let Some(column) = table.columns.get(o.character.0 as usize) else { return true };
        let query = Query::of(table, o);
        let word = row / 64;
        Ready::new(column, &query).block(word / LANE)[word % LANE] >> (row % 64) & 1 == 1
    };
    (0..observations.len()).filter(|i| !fits(&observations[*i])).collect()
}

/// The chance that the true taxon is kept when each of `observations` is misread with the same
/// chance, independently, and up to `tolerance` misfits are allowed: the sum of binomial terms
/// C(m,k) e^k (1-e)^(m-k) for k up to t.
pub fn chance_kept(observations: usize, misreading: f64, tolerance: usize) -> f64 {
    let m = observations;
    let mut term = (1.0 - misreading).powi(m as i32);
    if misreading >= 1.0 {
        return if tolerance >= m { 1.0 } else { 0.0 };
    }
    let mut sum = term;
    for k in 1..=tolerance.min(m) {
        term *= (m - k + 1) as f64 / k as f64 * misreading / (1.0 - misreading);
        sum += term;
    }
    sum.min(1.0)
}
