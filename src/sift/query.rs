//! An observation as a question to the table, with what a correction made of it.

use super::bits::{Bits, LANE};
use super::cut::Interval;
use super::meta::{Factors, Meta};
use super::numbers::{Bounds, Numbers};
use super::observation::{Observation, Seen};
use super::table::{Body, Column, Table};
use crate::key::statement::StateSet;

/// What an observation asks of an account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Query {
    /// Nothing: no account can agree or disagree with it.
    Silent(Silent),
    /// That it shows one of these states.
    States(StateSet),
    /// That each reading falls within its limits.
    Numbers { readings: Vec<Vec<Interval>>, factors: Factors },
    /// That the character may not apply.
    Lacks,
}

/// Why an observation says nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Silent {
    CannotTell,
    NotHere,
    /// The key says that the character cannot be seen under the condition.
    CannotBeSeen,
    /// The value is none that this character can have.
    NoSuchValue,
}

impl Query {
    pub fn of(table: &Table, observation: &Observation) -> Query {
        match table.columns.get(observation.character.0 as usize) {
            Some(column) => Query::within(table, &column.meta, observation),
            None => Query::Silent(Silent::NoSuchValue),
        }
    }

    fn within(table: &Table, meta: &Meta, o: &Observation) -> Query {
        match &o.seen {
            Seen::CannotTell => Query::Silent(Silent::CannotTell),
            Seen::NotHere => Query::Silent(Silent::NotHere),
            // Against accounts described under the same condition nothing is lost.
            _ if meta.is_lost(o.condition) && o.condition != table.described => {
                Query::Silent(Silent::CannotBeSeen)
            }
            Seen::DoesNotApply if !meta.applies.is_empty() => Query::Lacks,
            Seen::States(seen) if meta.states() > 0 && !seen.is_empty() => {
                Query::States(meta.fitting(seen, table.described, o.condition))
            }
            Seen::Numbers(readings) if meta.states() == 0 && !readings.is_empty() => {
                Query::Numbers {
                    readings: readings.iter().map(|r| r.within.clone()).collect(),
                    factors: meta.factors(table.described, o.condition),
                }
            }
            _ => Query::Silent(Silent::NoSuchValue),
        }
    }
}

/// A query made ready for one column: the sets and bounds that each block of rows is held against.
pub(super) enum Ready<'t> {
    Everything,
    /// No account has it: only taxa of which nothing is said are left.
    Unknown(&'t [u64]),
    AnyOf(Vec<&'t [u64]>),
    Numbers {
        numbers: &'t Numbers,
        bounds: Vec<Vec<Bounds>>,
        readings: &'t [Vec<Interval>],
        factors: Factors,
    },
}

impl<'t> Ready<'t> {
    pub fn new(column: &'t Column, query: &'t Query) -> Ready<'t> {
        match (query, &column.body) {
            (Query::Silent(_), _) => Ready::Everything,
            (Query::Lacks, _) => match &column.may_lack {
                Some(lack) => Ready::AnyOf(vec![lack.words()]),
                None => Ready::Everything,
            },
            (Query::States(states), Body::States { fits, .. }) => {
                let sets: Vec<&[u64]> =
                    states.iter().filter_map(|s| fits.get(s.0 as usize)).map(Bits::words).collect();
                if sets.is_empty() {
                    Ready::Unknown(column.known.words())
                } else {
                    Ready::AnyOf(sets)
                }
            }
            (Query::Numbers { readings, factors }, Body::Numbers(numbers)) => {
                let bounds = readings
                    .iter()
                    .map(|any| any.iter().map(|i| numbers.bounds(i, factors)).collect())
                    .collect();
                Ready::Numbers { numbers, bounds, readings, factors: *factors }
            }
            // A value of the wrong kind was turned into silence before.
            _ => Ready::Everything,
        }
    }

    /// The rows of one block that fit.
    #[inline]
    pub fn block(&self, block: usize) -> [u64; LANE] {
        match self {
            Ready::Everything => [u64::MAX; LANE],
            Ready::Unknown(known) => {
                let words = &known[block * LANE..(block + 1) * LANE];
                std::array::from_fn(|i| !words[i])
            }
            Ready::AnyOf(sets) => {
                let mut fit = [0u64; LANE];
                for set in sets {
                    let words = &set[block * LANE..(block + 1) * LANE];
                    for i in 0..LANE {
                        fit[i] |= words[i];
                    }
                }
                fit
            }
            Ready::Numbers { numbers, bounds, readings, factors } => {
                let mut fit = [u64::MAX; LANE];
                for any in bounds {
                    let mut one = [0u64; LANE];
                    for b in any {
                        let within = numbers.within(block, *b);
                        for i in 0..LANE {
                            one[i] |= within[i];
                        }
                    }
                    for i in 0..LANE {
                        fit[i] &= one[i];
                    }
                }
                gaps(numbers, block, readings, factors, &mut fit);
                fit
            }
        }
    }
}

/// Looks at the gaps of those rows of a block that have any.
fn gaps(
    numbers: &Numbers,
    block: usize,
    readings: &[Vec<Interval>],
    factors: &Factors,
    fit: &mut [u64; LANE],
) {
    let first = (block * LANE * 64) as u32;
    let all = numbers.gaps();
    let from = all.partition_point(|(r, _)| *r < first);
    for (row, reaches) in &all[from..] {
        let at = (row - first) as usize;
        if at >= LANE * 64 {
            break;
        }
        let meets = |i: &Interval| reaches.iter().any(|r| factors.meet(&r.extreme, i));
        if !readings.iter().all(|any| any.iter().any(meets)) {
            fit[at / 64] &= !(1 << (at % 64));
        }
    }
}

impl Table {
    /// The taxa that an observation does not contradict.
    pub fn fits(&self, observation: &Observation) -> Bits {
        let mut out = Bits::all(self.rows());
        self.keep(&mut out, observation);
        out
    }

    /// Keeps of `taxa` those that an observation does not contradict.
    pub fn keep(&self, taxa: &mut Bits, observation: &Observation) {
        let Some(column) = self.columns.get(observation.character.0 as usize) else { return };
        let query = Query::of(self, observation);
        let ready = Ready::new(column, &query);
        if let Ready::AnyOf(sets) = &ready
            && let [set] = sets.as_slice()
        {
            return taxa.words_mut().iter_mut().zip(*set).for_each(|(a, b)| *a &= b);
        }
        for (block, words) in taxa.words_mut().chunks_exact_mut(LANE).enumerate() {
            let fit = ready.block(block);
            for i in 0..LANE {
                words[i] &= fit[i];
            }
        }
    }
}
