//! The remaining taxa with their weights, counted many at a time.

use std::sync::OnceLock;

use super::bits::{Bits, LANE};

/// Weights are cut to this many binary places beside the greatest, where many taxa are left; with
/// few, to as many as matter.
const PLACES_OF_MANY: u32 = 8;
const PLACES_OF_FEW: u32 = 40;
const FEW_WORDS: usize = 512;

/// A set of taxa with a weight each. The sum of the weights of a subset is the sum over the planes
/// of `unit` times the count in that plane.
#[derive(Clone, Debug)]
pub struct Weights {
    pub left: Bits,
    planes: Vec<(f64, Bits)>,
    pub total: f64,
    each: OnceLock<Vec<f64>>,
}

impl Weights {
    /// Every taxon of `left` weighs one.
    pub fn equal(left: Bits) -> Weights {
        let total = left.count() as f64;
        Weights { planes: vec![(1.0, left.clone())], left, total, each: OnceLock::new() }
    }

    /// The taxa of `left` with their weights by row; only the ratios matter.
    pub fn of(left: Bits, weight: impl Fn(usize) -> f64) -> Weights {
        let most = left.iter().map(&weight).fold(0.0, f64::max);
        let alike = left.iter().all(|row| weight(row) == most);
        if alike || !most.is_finite() || most <= 0.0 {
            return Weights::equal(left);
        }
        let few = left.words().len() <= FEW_WORDS;
        let places = if few { PLACES_OF_FEW } else { PLACES_OF_MANY };
        let full = ((1u64 << places) - 1) as f64;
        let mut planes = vec![Bits::none(left.len()); places as usize];
        for row in left.iter() {
            // Nothing that is left weighs nothing.
            let scaled = ((weight(row) / most * full).round() as u64).max(1);
            for (k, plane) in planes.iter_mut().enumerate() {
                if scaled >> k & 1 == 1 {
                    plane.insert(row);
                }
            }
        }
        let planes: Vec<(f64, Bits)> = planes
            .into_iter()
            .enumerate()
            .filter(|(_, p)| !p.is_empty())
            .map(|(k, p)| ((1u64 << k) as f64, p))
            .collect();
        let total = planes.iter().map(|(unit, p)| unit * p.count() as f64).sum();
        Weights { left, planes, total, each: OnceLock::new() }
    }

    /// The weight of one row, as it is counted.
    pub fn weight(&self, row: usize) -> f64 {
        self.planes.iter().filter(|(_, p)| p.contains(row)).map(|(unit, _)| unit).sum()
    }

    /// The rows that are left with the weight of each, lowest first.
    pub fn rows(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let each = self.each.get_or_init(|| self.left.iter().map(|r| self.weight(r)).collect());
        self.left.iter().zip(each.iter().copied())
    }

    /// Whether all weigh alike, so that counting is enough.
    pub fn is_equal(&self) -> bool {
        self.planes.len() == 1
    }

    /// The number of taxa in a set given by its words, and their weight.
    pub fn count(&self, set: &[u64]) -> (usize, f64) {
        if self.is_equal() {
            let n = count_both(self.left.words(), set);
            return (n as usize, n as f64);
        }
        let of = |(unit, plane): &(f64, Bits)| unit * count_both(plane.words(), set) as f64;
        (count_both(self.left.words(), set) as usize, self.planes.iter().map(of).sum())
    }

    /// The same for a set that is made block by block.
    pub fn count_blocks(&self, block: impl Fn(usize) -> [u64; LANE]) -> (usize, f64) {
        let mut set = Vec::with_capacity(self.left.words().len());
        (0..self.left.words().len() / LANE).for_each(|b| set.extend_from_slice(&block(b)));
        self.count(&set)
    }
}

/// How many bits two sets share. Carry-save adders take sixteen words to one count, so that it
/// keeps up with memory without any instruction that not every machine has.
pub fn count_both(a: &[u64], b: &[u64]) -> u64 {
    const W: usize = 4;
    type Lanes = [u64; W];
    #[inline]
    fn both(a: &[u64], b: &[u64], at: usize) -> Lanes {
        std::array::from_fn(|i| a[at * W + i] & b[at * W + i])
    }
    #[inline]
    fn add(high: &mut Lanes, low: &mut Lanes, x: Lanes, y: Lanes) {
        for i in 0..W {
            let u = low[i] ^ x[i];
            high[i] = low[i] & x[i] | u & y[i];
            low[i] = u ^ y[i];
        }
    }
    #[inline]
    fn ones(x: &Lanes) -> u64 {
        x.iter().map(|w| u64::from(w.count_ones())).sum()
    }
    let (mut total, zero) = (0u64, [0u64; W]);
    let (mut one, mut two, mut four, mut eight) = (zero, zero, zero, zero);
    let n = a.len().min(b.len());
    let step = 16 * W;
    let mut chunks = a[..n].chunks_exact(step).zip(b[..n].chunks_exact(step));
    for (a, b) in &mut chunks {
        let (mut t1, mut t2, mut f1, mut f2, mut e1, mut e2) = (zero, zero, zero, zero, zero, zero);
        let mut sixteen = zero;
        add(&mut t1, &mut one, both(a, b, 0), both(a, b, 1));
        add(&mut t2, &mut one, both(a, b, 2), both(a, b, 3));
        add(&mut f1, &mut two, t1, t2);
        add(&mut t1, &mut one, both(a, b, 4), both(a, b, 5));
        add(&mut t2, &mut one, both(a, b, 6), both(a, b, 7));
        add(&mut f2, &mut two, t1, t2);
        add(&mut e1, &mut four, f1, f2);
        add(&mut t1, &mut one, both(a, b, 8), both(a, b, 9));
        add(&mut t2, &mut one, both(a, b, 10), both(a, b, 11));
        add(&mut f1, &mut two, t1, t2);
        add(&mut t1, &mut one, both(a, b, 12), both(a, b, 13));
        add(&mut t2, &mut one, both(a, b, 14), both(a, b, 15));
        add(&mut f2, &mut two, t1, t2);
        add(&mut e2, &mut four, f1, f2);
        add(&mut sixteen, &mut eight, e1, e2);
        total += 16 * ones(&sixteen);
    }
    total += 8 * ones(&eight) + 4 * ones(&four) + 2 * ones(&two) + ones(&one);
    let done = n - n % step;
    total
        + a[done..n]
            .iter()
            .zip(&b[done..n])
            .map(|(a, b)| u64::from((a & b).count_ones()))
            .sum::<u64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counting_by_adders_is_counting() {
        let mut x = 88172645463325252u64;
        let mut next = || {
            x ^= x << 13;
            x ^= x >> 7;
            x ^= x << 17;
            x
        };
        for n in [0, 1, 8, 63, 64, 65, 128, 200, 1000] {
            let a: Vec<u64> = (0..n).map(|_| next()).collect();
            let b: Vec<u64> = (0..n).map(|_| next()).collect();
            let plain: u64 = a.iter().zip(&b).map(|(a, b)| u64::from((a & b).count_ones())).sum();
            assert_eq!(count_both(&a, &b), plain);
        }
    }

    #[test]
    fn weights_add_up() {
        let left = Bits::of(700, (0..700).step_by(3));
        let weights = Weights::of(left.clone(), |row| 1.0 / (row + 1) as f64);
        let all = Bits::all(700);
        let (n, whole) = weights.count(all.words());
        assert_eq!(n, left.count());
        assert!((whole - weights.total).abs() < 1e-6 * whole);
        let half = Bits::of(700, 0..300);
        let share = weights.count(half.words()).1 / whole;
        let exact = |rows: &Bits| rows.iter().map(|r| 1.0 / (r + 1) as f64).sum::<f64>();
        let mut both = half.clone();
        both.and(&left);
        assert!((share - exact(&both) / exact(&left)).abs() < 1e-9);
    }
}
