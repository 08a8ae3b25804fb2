//! Which taxa the accounts tell apart, and by how many characters.
//!
//! Two taxa are told apart by a character where no value of it occurs in both, or only the one at
//! which two ranges touch. For every taxon the
//! taxa that a character tells from it are a set of bits, and the sets are counted all characters
//! at once, sixty-four taxa at a time; so that thousands of taxa take seconds.

use std::collections::BTreeMap;

use fixedbitset::FixedBitSet;
use rayon::prelude::*;
use rust_decimal::Decimal;

use super::courses::{Courses, Run};
use super::forms::{Forms, Shown, What};
use crate::check::watch::Watch;
use crate::key::{CharacterId, TaxonId};
use crate::sift::cut::Cut;

/// How near each other taxa are.
#[derive(Clone, Debug, Default)]
pub struct Apart {
    /// Pairs that no character tells apart, each once, in the order of the taxa.
    pub none: Vec<(TaxonId, TaxonId)>,
    /// Pairs that one character tells apart.
    pub one: Vec<(TaxonId, TaxonId)>,
    /// Pairs that two characters tell apart.
    pub two: Vec<(TaxonId, TaxonId)>,
    /// How many pairs there are of each, also beyond the `most` that are listed.
    pub counts: [usize; 3],
}

/// Compares every taxon that was run with every other; lists at most `most` pairs of each kind.
pub fn apart(courses: &Courses, most: usize, watch: &Watch) -> Apart {
    let runs = &courses.of;
    let mut characters: Vec<CharacterId> =
        runs.iter().flat_map(|r| r.forms.iter().map(|(c, _)| c)).collect();
    characters.sort_unstable();
    characters.dedup();
    let columns: Vec<Column> = characters.par_iter().map(|&c| Column::of(runs, c)).collect();
    watch.begin("comparing the accounts", runs.len());
    let mut out = Apart::default();
    // Not all rows at once: there can be as many pairs as taxa by taxa.
    for first in (0..runs.len()).step_by(ROWS) {
        let rows = first..(first + ROWS).min(runs.len());
        let near: Vec<[Near; 3]> = rows
            .clone()
            .into_par_iter()
            .map(|row| {
                if watch.stopped() {
                    return Default::default();
                }
                watch.step();
                nearest(&columns, runs.len(), row, most)
            })
            .collect();
        for (row, [none, one, two]) in rows.zip(near) {
            let pair = |other: u32| (runs[row].course.taxon, runs[other as usize].course.taxon);
            let mut add = |k: usize, near: Near, into: &mut Vec<(TaxonId, TaxonId)>| {
                out.counts[k] += near.count;
                let room = most.saturating_sub(into.len());
                into.extend(near.first.into_iter().take(room).map(pair));
            };
            add(0, none, &mut out.none);
            add(1, one, &mut out.one);
            add(2, two, &mut out.two);
        }
    }
    out
}

/// So many taxa are compared with all others before what was found is gathered.
const ROWS: usize = 256;

/// Rows near another one: the first of them, and how many there are.
#[derive(Default)]
struct Near {
    first: Vec<u32>,
    count: usize,
}

// The later rows that no, one and two characters tell from `row`: sums kept in two bits each.
fn nearest(columns: &[Column], rows: usize, row: usize, most: usize) -> [Near; 3] {
    let mut low = FixedBitSet::with_capacity(rows);
    let mut high = FixedBitSet::with_capacity(rows);
    let mut more = FixedBitSet::with_capacity(rows);
    let mut told = FixedBitSet::with_capacity(rows);
    for column in columns {
        told.clear();
        column.tell(row, &mut told);
        // more |= low & high & told; high ^= low & told; low ^= told, until a sum is three.
        let blocks = low
            .as_mut_slice()
            .iter_mut()
            .zip(high.as_mut_slice())
            .zip(more.as_mut_slice())
            .zip(told.as_slice());
        for (((low, high), more), told) in blocks {
            let carry = *low & told;
            *more |= *high & carry;
            *high ^= carry;
            *low ^= told;
        }
    }
    let mut out: [Near; 3] = Default::default();
    let add = |near: &mut Near, other: usize| {
        near.count += 1;
        if near.count <= most {
            near.first.push(other as u32);
        }
    };
    for other in row + 1..rows {
        if more.contains(other) {
            continue;
        }
        match (high.contains(other), low.contains(other)) {
            (false, false) => add(&mut out[0], other),
            (false, true) => add(&mut out[1], other),
            (true, false) => add(&mut out[2], other),
            (true, true) => {}
        }
    }
    out
}

// The outermost limits of a measure.
fn limits(shown: &Shown) -> Option<(Cut, Cut)> {
    let each = shown.cells.iter().filter_map(|c| match c.what {
        What::Range(i) => Some((i.low, i.high)),
        What::OneOf(_) => None,
    });
    each.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// The characters that tell two taxa apart.
pub fn told_by(one: &Forms, other: &Forms) -> Vec<CharacterId> {
    let both = one.iter().filter_map(|(c, a)| Some((c, a, other.get(c)?)));
    both.filter(|(_, a, b)| match (limits(a), limits(b)) {
        (Some(a), Some(b)) => {
            let (a, b) = (ends(a.0, a.1), ends(b.0, b.1));
            a.1 <= b.0 || b.1 <= a.0
        }
        _ => !states(a).any(|s| states(b).any(|t| s == t)),
    })
    .map(|(c, _, _)| c)
    .collect()
}

fn states(shown: &Shown) -> impl Iterator<Item = u16> + '_ {
    shown
        .cells
        .iter()
        .flat_map(|c| match &c.what {
            What::OneOf(s) => s.as_slice(),
            What::Range(_) => &[],
        })
        .copied()
}

/// One character over all taxa.
enum Column {
    /// Which set of states each row has, and for each set the rows that it tells apart.
    States {
        of: Vec<Option<u32>>,
        told: Vec<FixedBitSet>,
    },
    Numbers(Numbers),
}

/// An end of a range, in an order in which the upper end of one comes before the lower end of
/// another, or is equal to it, where no value lies in both, or the one at which wider ranges touch
/// and no other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Below,
    At(Decimal, Side),
    Above,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    /// Up to a value without it; or the lower end of that value alone.
    Before,
    /// From a value, or up to it and with it.
    With,
    /// The upper end of a value alone.
    Point,
    /// More than a value.
    After,
}

/// The ends of a range.
fn ends(low: Cut, high: Cut) -> (End, End) {
    let alone = low.value() == high.value();
    let low = match low {
        Cut::Below => End::Below,
        Cut::At { value, after: true } => End::At(value, Side::After),
        Cut::At { value, after: false } if alone => End::At(value, Side::Before),
        Cut::At { value, after: false } => End::At(value, Side::With),
        Cut::Above => End::Above,
    };
    let high = match high {
        Cut::Below => End::Below,
        Cut::At { value, after: false } => End::At(value, Side::Before),
        Cut::At { value, after: true } if alone => End::At(value, Side::Point),
        Cut::At { value, after: true } => End::At(value, Side::With),
        Cut::Above => End::Above,
    };
    (low, high)
}

/// The outermost limits of each row.
struct Numbers {
    of: Vec<Option<(End, End)>>,
    /// Rows by their upper limit, rising, and every so many of them as a set.
    by_high: Sorted,
    /// Rows by their lower limit, falling.
    by_low: Sorted,
}

struct Sorted {
    rows: Vec<(End, u32)>,
    sets: Vec<FixedBitSet>,
}

const STRIDE: usize = 64;

impl Column {
    fn of(runs: &[Run], character: CharacterId) -> Column {
        let is_number = runs
            .iter()
            .find_map(|r| r.forms.get(character))
            .is_some_and(|s| s.cells.iter().any(|c| matches!(c.what, What::Range(_))));
        if is_number {
            return Column::Numbers(Numbers::of(
                runs.iter().map(|r| r.forms.get(character).and_then(limits)),
            ));
        }
        let mut sets: BTreeMap<Vec<u16>, u32> = BTreeMap::new();
        let of: Vec<Option<u32>> = runs
            .iter()
            .map(|r| {
                let cells = r.forms.get(character)?;
                let mut states: Vec<u16> = states(cells).collect();
                states.sort_unstable();
                states.dedup();
                let next = sets.len() as u32;
                Some(*sets.entry(states).or_insert(next))
            })
            .collect();
        let mut told = vec![FixedBitSet::with_capacity(runs.len()); sets.len()];
        let parted: Vec<Vec<u32>> = {
            let mut all = vec![Vec::new(); sets.len()];
            for (a, i) in &sets {
                let others = sets.iter().filter(|(b, _)| !b.iter().any(|s| a.contains(s)));
                all[*i as usize] = others.map(|(_, j)| *j).collect();
            }
            all
        };
        let mut rows_of = vec![Vec::new(); sets.len()];
        for (row, set) in of.iter().enumerate() {
            if let Some(set) = set {
                rows_of[*set as usize].push(row);
            }
        }
        for (set, others) in parted.iter().enumerate() {
            for other in others {
                told[set].extend(rows_of[*other as usize].iter().copied());
            }
        }
        Column::States { of, told }
    }

    // Adds the rows that this character tells from `row`.
    fn tell(&self, row: usize, into: &mut FixedBitSet) {
        match self {
            Column::States { of, told } => {
                if let Some(set) = of[row] {
                    into.union_with(&told[set as usize]);
                }
            }
            Column::Numbers(n) => n.tell(row, into),
        }
    }
}

impl Numbers {
    fn of(limits: impl Iterator<Item = Option<(Cut, Cut)>>) -> Numbers {
        let of: Vec<Option<(End, End)>> =
            limits.map(|l| l.map(|(low, high)| ends(low, high))).collect();
        let known = || of.iter().enumerate().filter_map(|(i, l)| Some((i as u32, (*l)?)));
        let by_high = Sorted::of(known().map(|(i, (_, high))| (high, i)), of.len(), false);
        let by_low = Sorted::of(known().map(|(i, (low, _))| (low, i)), of.len(), true);
        Numbers { of, by_high, by_low }
    }

    fn tell(&self, row: usize, into: &mut FixedBitSet) {
        let Some((low, high)) = self.of[row] else { return };
        self.by_high.first(self.by_high.rows.partition_point(|(h, _)| *h <= low), into);
        self.by_low.first(self.by_low.rows.partition_point(|(l, _)| *l >= high), into);
    }
}

impl Sorted {
    fn of(rows: impl Iterator<Item = (End, u32)>, all: usize, falling: bool) -> Sorted {
        let mut rows: Vec<(End, u32)> = rows.collect();
        rows.sort_unstable();
        if falling {
            rows.reverse();
        }
        let mut set = FixedBitSet::with_capacity(all);
        let mut sets = Vec::with_capacity(rows.len() / STRIDE + 1);
        for chunk in rows.chunks(STRIDE) {
            sets.push(set.clone());
            set.extend(chunk.iter().map(|(_, r)| *r as usize));
        }
        sets.push(set);
        Sorted { rows, sets }
    }

    fn first(&self, n: usize, into: &mut FixedBitSet) {
        let whole = n / STRIDE;
        if let Some(set) = self.sets.get(whole) {
            into.union_with(set);
        }
        into.extend(self.rows[whole * STRIDE..n].iter().map(|(_, r)| *r as usize));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_told_by_ranges_that_do_not_meet() {
        let at = |v: i64| Cut::At { value: v.into(), after: false };
        let ranges: Vec<Option<(Cut, Cut)>> = (0..300)
            .map(|i: i64| (i % 7 != 0).then(|| (at(i * 37 % 101), at(i * 37 % 101 + 1 + i % 5))))
            .collect();
        let numbers = Numbers::of(ranges.iter().copied());
        for (i, a) in ranges.iter().enumerate() {
            let mut told = FixedBitSet::with_capacity(ranges.len());
            numbers.tell(i, &mut told);
            for (j, b) in ranges.iter().enumerate() {
                let apart = match (a, b) {
                    (Some(a), Some(b)) => a.1 <= b.0 || b.1 <= a.0,
                    _ => false,
                };
                assert_eq!(told.contains(j), apart, "{i} {j}");
            }
        }
    }

    #[test]
    fn ranges_that_touch_at_one_end_are_told_apart_and_a_value_alone_is_not() {
        let (before, after) = (|v: i64| Cut::before(v.into()), |v: i64| Cut::after(v.into()));
        let told = |a: (Cut, Cut), b: (Cut, Cut)| {
            let numbers = Numbers::of([Some(a), Some(b)].into_iter());
            let mut told = FixedBitSet::with_capacity(2);
            numbers.tell(0, &mut told);
            let one = told.contains(1);
            told.clear();
            numbers.tell(1, &mut told);
            assert_eq!(one, told.contains(0));
            one
        };
        // 4-7 and 7-15, 4-8 and 7-15, 4-7 and 7, 7 and 7, less than 7 and 7.
        assert!(told((before(4), after(7)), (before(7), after(15))));
        assert!(!told((before(4), after(8)), (before(7), after(15))));
        assert!(!told((before(4), after(7)), (before(7), after(7))));
        assert!(!told((before(7), after(7)), (before(7), after(7))));
        assert!(told((Cut::Below, before(7)), (before(7), after(7))));
        // More than 7 and up to 7.
        assert!(told((after(7), Cut::Above), (Cut::Below, after(7))));
        // A count of 5-9 goes up to 10 without it.
        assert!(!told((before(5), before(10)), (before(9), before(22))));
    }
}
