//! Where a determination stands, in words with their limits.

use serde::Serialize;

use super::agree::{Agreement, misfits_of};
use super::observation::Observation;
use super::rank::Ranking;
use super::table::Table;

/// The probability from which a name counts as settled, and the two grades above it: field
/// isolates were accepted from 0.95, reference strains all exceeded 0.995 (Priest & Alexander
/// 1988, J. Gen. Microbiol. 134: 3011-3018); 0.999 was the threshold of Lapage et al. 1973, by
/// report.
pub const SETTLED: [f64; 3] = [0.95, 0.995, 0.999];

/// From here on it is more probable than not that the plant is none of the key's taxa.
pub const NOT_IN_KEY: f64 = 0.5;

/// More names than this are no short list: a person compares them one by one.
pub const SHORT: usize = 12;

/// Where a determination stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "verdict", rename_all = "kebab-case")]
pub enum Verdict {
    /// One name, above a limit of [`SETTLED`], without a misfit.
    Settled {
        #[serde(skip)]
        row: usize,
        probability: f64,
        above: f64,
    },
    /// A few names that hold 0.95 of what is not `none of these`.
    ShortList {
        #[serde(skip)]
        rows: Vec<usize>,
    },
    /// Every account contradicts something that was seen.
    Contradictory {
        #[serde(skip)]
        best: Option<usize>,
        /// The observation that alone excludes the best name: the one to look at again.
        look_again: Option<usize>,
    },
    /// It is more probable that the plant is none of these.
    NotInThisKey { none: f64 },
    /// Too many names are left for a list.
    Open { left: usize },
}

/// The verdict on what was seen. The first of these that holds: not in this key, contradictory,
/// settled, short list, open.
pub fn verdict(
    table: &Table,
    observations: &[Observation],
    agreement: &Agreement,
    ranking: &Ranking,
) -> Verdict {
    let left = agreement.agreeing().count();
    let Some((best, probability)) = ranking.best() else {
        return Verdict::NotInThisKey { none: ranking.none };
    };
    if agreement.counted > 0 {
        if ranking.none >= NOT_IN_KEY {
            return Verdict::NotInThisKey { none: ranking.none };
        }
        if left == 0 {
            let look_again = look_again(table, observations, agreement, ranking);
            return Verdict::Contradictory { best: Some(best), look_again };
        }
    }
    let above = SETTLED.into_iter().rev().find(|limit| probability >= *limit);
    if let (Some(above), true) = (above, agreement.agreeing().contains(best)) {
        return Verdict::Settled { row: best, probability, above };
    }
    let few = ranking.covering(SETTLED[0]);
    if few.len() <= SHORT {
        let mut rows: Vec<usize> = few.iter().map(|(r, _)| *r).collect();
        // What agrees with everything belongs on the list, however rare it is.
        if left <= SHORT {
            rows.extend(agreement.agreeing().iter().filter(|r| !few.iter().any(|f| f.0 == *r)));
        }
        return Verdict::ShortList { rows };
    }
    Verdict::Open { left }
}

/// The observation that alone excludes the most probable taxon, where no taxon agrees with all.
pub fn look_again(
    table: &Table,
    observations: &[Observation],
    agreement: &Agreement,
    ranking: &Ranking,
) -> Option<usize> {
    if !agreement.agreeing().is_empty() {
        return None;
    }
    match misfits_of(table, observations, ranking.best()?.0).as_slice() {
        [one] => Some(*one),
        _ => None,
    }
}

impl Verdict {
    /// The rows that it names.
    pub fn rows(&self) -> Vec<usize> {
        match self {
            Verdict::Settled { row, .. } => vec![*row],
            Verdict::ShortList { rows } => rows.clone(),
            Verdict::Contradictory { best, .. } => best.iter().copied().collect(),
            Verdict::NotInThisKey { .. } | Verdict::Open { .. } => Vec::new(),
        }
    }

    /// The name of the verdict.
    pub fn word(&self) -> &'static str {
        match self {
            Verdict::Settled { .. } => "settled",
            Verdict::ShortList { .. } => "short list",
            Verdict::Contradictory { .. } => "contradictory",
            Verdict::NotInThisKey { .. } => "not in this key",
            Verdict::Open { .. } => "open",
        }
    }
}
