//! The limits of one measure over all taxa: each limit as its place among all limits that occur.

use super::about::Reach;
use super::account::Known;
use super::bits::LANE;
use super::cut::{Cut, Interval};
use super::meta::Factors;
use super::planes::Planes;

/// A measure, count or ratio. Exact: limits are compared as the decimals that were written.
#[derive(Clone, Debug)]
pub struct Numbers {
    /// Every limit that occurs, ascending, once; from below all to above all.
    cuts: Vec<Cut>,
    /// The places of the outermost extremes, low and high.
    low: Planes,
    high: Planes,
    /// The same of the usual range; `None` where no account writes extremes.
    usual: Option<(Planes, Planes)>,
    /// Taxa whose alternatives leave gaps or differ in frequency (`5(or 10)`), by row.
    gaps: Vec<(u32, Box<[Reach]>)>,
}

/// The question that narrowing asks of each taxon's outermost limits: low below `low`, high not
/// below `high`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    pub low: u32,
    pub high: u32,
}

impl Numbers {
    pub(super) fn of(rows: usize, mut known: impl FnMut(usize) -> Option<Known>) -> Numbers {
        let mut gaps: Vec<(u32, Box<[Reach]>)> = Vec::new();
        // Low, usual low, usual high, high of each row; void where it does not apply.
        let mut limits: Vec<[Cut; 4]> = Vec::with_capacity(rows);
        for row in 0..rows {
            limits.push(match known(row) {
                None => [Cut::Below, Cut::Below, Cut::Above, Cut::Above],
                Some(Known::Numbers(reaches)) if !reaches.is_empty() => {
                    let join =
                        |f: fn(&Reach) -> Interval| reaches.iter().map(f).reduce(|a, b| a.join(&b));
                    let outer = join(|r| r.extreme).unwrap_or(Interval::EVERYTHING);
                    let inner = join(|r| r.usual).unwrap_or(Interval::EVERYTHING);
                    if reaches.len() > 1 {
                        gaps.push((row as u32, reaches.into_boxed_slice()));
                    }
                    [outer.low, inner.low, inner.high, outer.high]
                }
                Some(_) => [Cut::Above, Cut::Above, Cut::Below, Cut::Below],
            });
        }
        let mut cuts: Vec<Cut> = limits.iter().flatten().copied().collect();
        cuts.extend([Cut::Below, Cut::Above]);
        cuts.sort_unstable();
        cuts.dedup();
        let most = cuts.len() as u32 - 1;
        let place = |cut: &Cut| cuts.partition_point(|c| c < cut) as u32;
        let plane = |i: usize| {
            let mut planes = Planes::new(rows, most);
            limits.iter().enumerate().for_each(|(row, l)| planes.put(row, place(&l[i])));
            planes
        };
        let extremes = limits.iter().any(|[a, b, c, d]| a != b || c != d);
        let (low, high) = (plane(0), plane(3));
        let usual = extremes.then(|| (plane(1), plane(2)));
        Numbers { cuts, low, high, usual, gaps }
    }

    /// How many bits tell its limits apart.
    pub fn bits(&self) -> usize {
        self.low.bits()
    }

    pub fn bytes(&self) -> usize {
        let gaps = self.gaps.iter().map(|(_, r)| 32 + std::mem::size_of_val(&**r)).sum::<usize>();
        let usual = self.usual.as_ref().map_or(0, |(a, b)| a.bytes() + b.bytes());
        self.cuts.len() * std::mem::size_of::<Cut>()
            + self.low.bytes()
            + self.high.bytes()
            + usual
            + gaps
    }

    pub fn cuts(&self) -> &[Cut] {
        &self.cuts
    }

    pub fn is_void(&self, row: usize) -> bool {
        self.low.get(row) >= self.high.get(row)
    }

    /// The planes of the outermost limits, low and high.
    pub(super) fn planes(&self) -> (&Planes, &Planes) {
        (&self.low, &self.high)
    }

    pub(super) fn gaps(&self) -> &[(u32, Box<[Reach]>)] {
        &self.gaps
    }

    fn cut(&self, planes: &Planes, row: usize) -> Cut {
        self.cuts.get(planes.get(row) as usize).copied().unwrap_or(Cut::Above)
    }

    /// The extremes of a row, over all its alternatives.
    pub fn extreme(&self, row: usize) -> Interval {
        Interval { low: self.cut(&self.low, row), high: self.cut(&self.high, row) }
    }

    /// The alternatives of a row.
    pub fn reaches(&self, row: usize) -> Vec<Reach> {
        if let Ok(at) = self.gaps.binary_search_by_key(&(row as u32), |(r, _)| *r) {
            return self.gaps[at].1.to_vec();
        }
        let extreme = self.extreme(row);
        let usual = match &self.usual {
            Some((low, high)) => Interval { low: self.cut(low, row), high: self.cut(high, row) },
            None => extreme,
        };
        vec![Reach { usual, extreme, share: 1.0 }]
    }

    /// What an observed interval asks of the limits, under a correction.
    pub fn bounds(&self, seen: &Interval, factors: &Factors) -> Bounds {
        if seen.is_void() {
            return Bounds { low: 0, high: u32::MAX };
        }
        let low = self
            .cuts
            .partition_point(|c| c.compare(factors.low.0, seen.high, factors.low.1).is_lt());
        let high = self
            .cuts
            .partition_point(|c| c.compare(factors.high.0, seen.low, factors.high.1).is_le());
        Bounds { low: low as u32, high: high as u32 }
    }

    /// Which rows of a block may have a value within the bounds, gaps not looked at.
    #[inline]
    pub(super) fn within(&self, block: usize, bounds: Bounds) -> [u64; LANE] {
        // Only what does not apply has its low limit above all, or its high one below all; it is
        // left out by the other limit too, so that where one is asked for no more than that, it
        // need not be read.
        let above_all = self.cuts.len() as u32 - 1;
        if bounds.high <= 1 && bounds.low <= above_all {
            return self.low.below(block, bounds.low);
        }
        let mut fit = self.high.below(block, bounds.high);
        fit.iter_mut().for_each(|w| *w = !*w);
        if bounds.low == above_all && bounds.high > 0 {
            return fit;
        }
        let under = self.low.below(block, bounds.low);
        for i in 0..LANE {
            fit[i] &= under[i];
        }
        fit
    }
}
