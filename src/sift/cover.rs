//! The fewest sets that cover everything coverable: by branch and bound, proved where there is time.

use super::bits::Bits;

/// A cover, and what is known of how good it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// Indices of the chosen sets, ascending.
    pub chosen: Vec<usize>,
    /// No smaller cover exists.
    pub proved: bool,
    /// No cover is smaller than this.
    pub at_least: usize,
}

/// Steps after which the search stops and says that its answer is not proved smallest.
const STEPS: usize = 200_000;

/// And so many words of sets are looked at, in all steps together.
const WORK: usize = 200_000_000;

/// The fewest of `sets` that together hold everything that any of them holds; among equally many,
/// those of the least `cost` that the search meets first.
pub fn smallest(sets: &[(Bits, f64)]) -> Cover {
    let reduced = reduced(sets);
    let sets = reduced.as_slice();
    let Some((first, _)) = sets.first() else {
        return Cover { chosen: Vec::new(), proved: true, at_least: 0 };
    };
    let mut wanted = Bits::none(first.len());
    sets.iter().for_each(|(s, _)| wanted.or(s));
    let step = sets.len() * first.words().len().max(1) * 4;
    let steps = (WORK / step.max(1)).clamp(64, STEPS);
    let best = greedy(sets, &wanted);
    let mut search = Search { sets, best, steps, chosen: Vec::new() };
    let root = bound(sets, &wanted);
    let finished = search.descend(wanted);
    let mut chosen = search.best.chosen;
    chosen.sort_unstable();
    let proved = finished || root == chosen.len();
    let at_least = if proved { chosen.len() } else { root };
    Cover { chosen, proved, at_least }
}

/// The same problem with fewer elements: whoever covers an element that few sets hold covers all
/// that at least those sets hold.
fn reduced(sets: &[(Bits, f64)]) -> Vec<(Bits, f64)> {
    let len = sets.first().map_or(0, |(s, _)| s.len());
    let width = sets.len().div_ceil(64);
    let mut holders: std::collections::BTreeSet<(u32, Vec<u64>)> = Default::default();
    let mut of = vec![0u64; len * width];
    for (i, (set, _)) in sets.iter().enumerate() {
        for element in set.iter() {
            of[element * width + i / 64] |= 1 << (i % 64);
        }
    }
    for held in of.chunks_exact(width.max(1)) {
        let count: u32 = held.iter().map(|w| w.count_ones()).sum();
        if count > 0 {
            holders.insert((count, held.to_vec()));
        }
    }
    let mut kept: Vec<Vec<u64>> = Vec::new();
    for (_, held) in holders {
        let within = |k: &Vec<u64>| k.iter().zip(&held).all(|(a, b)| a & !b == 0);
        // The rarest make all the difference; against more of them it does not pay to look.
        if !kept.iter().take(256).any(within) {
            kept.push(held);
        }
    }
    let holds = |i: usize, k: &Vec<u64>| k[i / 64] >> (i % 64) & 1 == 1;
    sets.iter()
        .enumerate()
        .map(|(i, (_, cost))| {
            let elements = (0..kept.len()).filter(|e| holds(i, &kept[*e]));
            (Bits::of(kept.len(), elements), *cost)
        })
        .collect()
}

struct Best {
    chosen: Vec<usize>,
    cost: f64,
}

struct Search<'s> {
    sets: &'s [(Bits, f64)],
    best: Best,
    steps: usize,
    chosen: Vec<usize>,
}

impl Search<'_> {
    /// Tries every way to cover what is still wanted; `false` where the steps ran out.
    fn descend(&mut self, wanted: Bits) -> bool {
        if self.steps == 0 {
            return false;
        }
        self.steps -= 1;
        if wanted.is_empty() {
            let cost = self.chosen.iter().map(|i| self.sets[*i].1).sum::<f64>();
            let better = self.chosen.len() < self.best.chosen.len()
                || self.chosen.len() == self.best.chosen.len() && cost < self.best.cost - 1e-9;
            if better {
                self.best = Best { chosen: self.chosen.clone(), cost };
            }
            return true;
        }
        if self.chosen.len() + bound(self.sets, &wanted) > self.best.chosen.len() {
            return true;
        }
        // The element that the fewest sets hold: one of those must be chosen.
        let Some(hardest) = hardest(self.sets, &wanted) else { return true };
        let mut ways: Vec<usize> =
            (0..self.sets.len()).filter(|i| self.sets[*i].0.contains(hardest)).collect();
        let gain = |i: &usize| {
            let mut both = self.sets[*i].0.clone();
            both.and(&wanted);
            both.count()
        };
        ways.sort_by(|a, b| {
            gain(b).cmp(&gain(a)).then(self.sets[*a].1.total_cmp(&self.sets[*b].1)).then(a.cmp(b))
        });
        let mut finished = true;
        for way in ways {
            let mut rest = wanted.clone();
            rest.without(&self.sets[way].0);
            self.chosen.push(way);
            finished &= self.descend(rest);
            self.chosen.pop();
            if self.steps == 0 {
                return false;
            }
        }
        finished
    }
}

/// At least so many sets are needed: elements of which no set holds two, and what the largest
/// set can hold at a time.
fn bound(sets: &[(Bits, f64)], wanted: &Bits) -> usize {
    let most = sets
        .iter()
        .map(|(s, _)| {
            s.words().iter().zip(wanted.words()).map(|(a, b)| (a & b).count_ones() as usize).sum()
        })
        .max()
        .unwrap_or(0usize);
    if most == 0 {
        return 0;
    }
    let by_size = wanted.count().div_ceil(most);
    let mut free = wanted.clone();
    let mut apart = 0;
    // A few are enough for a bound; a long list costs more than it saves.
    while apart < 32 {
        let Some(element) = free.iter().next() else { break };
        apart += 1;
        free.remove(element);
        for (set, _) in sets.iter().filter(|(s, _)| s.contains(element)) {
            free.without(set);
        }
    }
    by_size.max(apart)
}

fn hardest(sets: &[(Bits, f64)], wanted: &Bits) -> Option<usize> {
    wanted
        .iter()
        // Enough to find a hard one; all of very many would take too long at every step.
        .take(256)
        .min_by_key(|e| sets.iter().filter(|(s, _)| s.contains(*e)).count())
}

/// The largest gain at each step, cheaper ones first among equals.
fn greedy(sets: &[(Bits, f64)], wanted: &Bits) -> Best {
    let mut left = wanted.clone();
    let mut best = Best { chosen: Vec::new(), cost: 0.0 };
    while !left.is_empty() {
        let gain = |s: &Bits| {
            s.words()
                .iter()
                .zip(left.words())
                .map(|(a, b)| (a & b).count_ones() as usize)
                .sum::<usize>()
        };
        let next = (0..sets.len()).max_by(|a, b| {
            gain(&sets[*a].0)
                .cmp(&gain(&sets[*b].0))
                .then(sets[*b].1.total_cmp(&sets[*a].1))
                .then(b.cmp(a))
        });
        let Some(next) = next else { break };
        left.without(&sets[next].0);
        best.cost += sets[next].1;
        best.chosen.push(next);
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn greedy_is_bettered_where_it_is_not_smallest() {
        // The textbook case: two rows of seven hold all fourteen, but the largest sets mislead.
        let of = |v: &[usize]| (Bits::of(14, v.iter().copied()), 1.0);
        let sets = [
            of(&[0, 1, 2, 3, 7, 8, 9, 10]),
            of(&[4, 5, 11, 12]),
            of(&[6, 13]),
            of(&[0, 1, 2, 3, 4, 5, 6]),
            of(&[7, 8, 9, 10, 11, 12, 13]),
        ];
        let cover = smallest(&sets);
        assert_eq!(cover, Cover { chosen: vec![3, 4], proved: true, at_least: 2 });
        assert_eq!(smallest(&[]).chosen, Vec::<usize>::new());
    }
}
