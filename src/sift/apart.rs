//! Which taxa a character tells apart for certain: whatever one may show, the other may not.

use super::account::Known;
use super::bits::Bits;
use super::cut::Interval;
use super::meta::Factors;
use super::table::{Column, Table};
use crate::key::statement::StateSet;
use crate::key::{CharacterId, ConditionId};

/// What each of a few taxa may show of one character under a condition.
pub struct Shown {
    of: Vec<One>,
}

enum One {
    /// Nothing is said of it, or it cannot be seen: it may show anything.
    Anything,
    States {
        looks: StateSet,
        may_lack: bool,
    },
    Numbers {
        reaches: Vec<Interval>,
        factors: Factors,
        may_lack: bool,
    },
    Lacking,
}

impl Shown {
    /// What the taxa in `rows` may show of a character.
    pub fn new(
        table: &Table,
        character: CharacterId,
        rows: &[usize],
        condition: ConditionId,
    ) -> Shown {
        let column = table.column(character);
        let lost = column.meta.is_lost(condition) && condition != table.described;
        let of = rows
            .iter()
            .map(|&row| if lost { One::Anything } else { one(table, column, row, condition) })
            .collect();
        Shown { of }
    }

    /// Whether the taxa in places `i` and `j` are told apart.
    pub fn apart(&self, i: usize, j: usize) -> bool {
        match (&self.of[i], &self.of[j]) {
            (One::Anything, _) | (_, One::Anything) => false,
            (One::Lacking, One::Lacking) => false,
            (One::Lacking, other) | (other, One::Lacking) => !other.may_lack(),
            (a, b) if a.may_lack() && b.may_lack() => false,
            (One::States { looks: a, .. }, One::States { looks: b, .. }) => !a.overlaps(b),
            (One::Numbers { reaches: a, factors, .. }, One::Numbers { reaches: b, .. }) => {
                !a.iter().any(|x| b.iter().any(|y| touch(x, y, factors)))
            }
            // One character has one kind of value.
            _ => false,
        }
    }
}

impl One {
    fn may_lack(&self) -> bool {
        match self {
            One::States { may_lack, .. } | One::Numbers { may_lack, .. } => *may_lack,
            One::Lacking | One::Anything => true,
        }
    }
}

fn one(table: &Table, column: &Column, row: usize, condition: ConditionId) -> One {
    let may_lack = column.may_lack(row);
    match column.known(row) {
        None => One::Anything,
        Some(Known::Lacking) => One::Lacking,
        Some(Known::States(shown)) => {
            let mut looks = StateSet::default();
            for (state, _) in shown {
                looks.extend(&column.meta.seen_as(state, table.described, condition));
            }
            One::States { looks, may_lack }
        }
        Some(Known::Numbers(reaches)) => One::Numbers {
            reaches: reaches.iter().map(|r| r.extreme).collect(),
            factors: column.meta.factors(table.described, condition),
            may_lack,
        },
    }
}

/// Whether two accounts' limits, both under the same correction, share a value. Exact: low limits
/// are `low.0 / low.1` of what is written and high ones `high.0 / high.1`, so both sides are
/// multiplied crosswise.
fn touch(a: &Interval, b: &Interval, f: &Factors) -> bool {
    let crosswise = |x: rust_decimal::Decimal, y: rust_decimal::Decimal| x.checked_mul(y);
    match (crosswise(f.low.0, f.high.1), crosswise(f.high.0, f.low.1)) {
        (Some(low), Some(high)) => {
            a.low.compare(low, b.high, high).is_lt() && b.low.compare(low, a.high, high).is_lt()
        }
        // Factors so long that they cannot be multiplied: not told apart for certain.
        _ => true,
    }
}

/// For a few taxa and some characters: which pairs each character tells apart.
pub struct Pairs {
    pub taxa: usize,
    /// For each character the pairs, numbered by [`Pairs::number`].
    pub by_character: Vec<(CharacterId, Bits)>,
}

/// More taxa than this are not compared pair by pair.
pub const MOST: usize = 512;

impl Pairs {
    pub fn new(
        table: &Table,
        rows: &[usize],
        characters: impl IntoIterator<Item = (CharacterId, ConditionId)>,
    ) -> Pairs {
        use rayon::prelude::*;
        let taxa = rows.len();
        let wanted: Vec<_> = characters.into_iter().collect();
        let by_character = wanted
            .into_par_iter()
            .map(|(character, condition)| {
                let shown = Shown::new(table, character, rows, condition);
                let mut bits = Bits::none(Pairs::count(taxa));
                for j in 1..taxa {
                    for i in 0..j {
                        if shown.apart(i, j) {
                            bits.insert(Pairs::number(i, j));
                        }
                    }
                }
                (character, bits)
            })
            .collect();
        Pairs { taxa, by_character }
    }

    /// How many pairs `taxa` make.
    pub fn count(taxa: usize) -> usize {
        taxa * taxa.saturating_sub(1) / 2
    }

    /// The number of the pair of places `i` below `j`.
    pub fn number(i: usize, j: usize) -> usize {
        j * (j - 1) / 2 + i
    }

    /// The pairs that one character or another tells apart.
    pub fn all(&self) -> Bits {
        let mut out = Bits::none(Pairs::count(self.taxa));
        self.by_character.iter().for_each(|(_, b)| out.or(b));
        out
    }
}

/// Groups of places that `apart` leaves together: each is linked to another of its group by a pair
/// that is not told apart. Places that are told apart from all others are left out.
pub fn groups(taxa: usize, apart: &Bits) -> Vec<Vec<usize>> {
    let mut group: Vec<usize> = (0..taxa).collect();
    fn root(group: &mut [usize], mut i: usize) -> usize {
        while group[i] != i {
            group[i] = group[group[i]];
            i = group[i];
        }
        i
    }
    for j in 1..taxa {
        for i in 0..j {
            if !apart.contains(Pairs::number(i, j)) {
                let (a, b) = (root(&mut group, i), root(&mut group, j));
                group[a.max(b)] = a.min(b);
            }
        }
    }
    let mut out: std::collections::BTreeMap<usize, Vec<usize>> = Default::default();
    for i in 0..taxa {
        out.entry(root(&mut group, i)).or_default().push(i);
    }
    out.into_values().filter(|g| g.len() > 1).collect()
}
