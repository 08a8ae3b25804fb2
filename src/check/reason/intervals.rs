//! Sets of numbers as intervals that do not touch, exact at every end.

use rust_decimal::Decimal;

use crate::sift::cut::{Cut, Interval};

/// Beyond so many intervals the narrowest gaps are closed: the set then holds more than it should,
/// never less. A character of a real key has a handful.
const MOST: usize = 64;

/// Intervals in rising order, none void, none touching the next.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Intervals(Vec<Interval>);

impl Intervals {
    pub fn everything() -> Intervals {
        Intervals(vec![Interval::EVERYTHING])
    }

    /// The union of any intervals.
    pub fn of(intervals: impl IntoIterator<Item = Interval>) -> Intervals {
        let mut all: Vec<Interval> = intervals.into_iter().filter(|i| !i.is_void()).collect();
        all.sort_unstable();
        let mut out: Vec<Interval> = Vec::with_capacity(all.len());
        for i in all {
            match out.last_mut() {
                Some(last) if i.low <= last.high => last.high = last.high.max(i.high),
                _ => out.push(i),
            }
        }
        Intervals(out)
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = &Interval> {
        self.0.iter()
    }

    /// The numbers in both.
    pub fn meet(&self, other: &Intervals) -> Intervals {
        let (mut i, mut j) = (0, 0);
        let mut out = Vec::new();
        while let (Some(a), Some(b)) = (self.0.get(i), other.0.get(j)) {
            let both = a.meet(b);
            if !both.is_void() {
                out.push(both);
            }
            if a.high < b.high {
                i += 1;
            } else {
                j += 1;
            }
        }
        Intervals(out)
    }

    /// The numbers in either. Where that takes too many intervals, the smallest that hold them.
    pub fn join(&self, other: &Intervals) -> Intervals {
        let mut joined = Intervals::of(self.0.iter().chain(&other.0).copied());
        while joined.0.len() > MOST {
            let width = |i: usize| {
                let (a, b) = (joined.0[i].high.value()?, joined.0[i + 1].low.value()?);
                b.checked_sub(a)
            };
            let narrowest = (0..joined.0.len() - 1).min_by_key(|&i| (width(i), i)).unwrap_or(0);
            joined.0[narrowest].high = joined.0[narrowest + 1].high;
            joined.0.remove(narrowest + 1);
        }
        joined
    }

    /// The numbers that are not in it.
    pub fn complement(&self) -> Intervals {
        let mut out = Vec::with_capacity(self.0.len() + 1);
        let mut low = Cut::Below;
        for i in &self.0 {
            out.push(Interval { low, high: i.low });
            low = i.high;
        }
        out.push(Interval { low, high: Cut::Above });
        Intervals(out.into_iter().filter(|i| !i.is_void()).collect())
    }

    pub fn is_subset(&self, other: &Intervals) -> bool {
        self.0.iter().all(|a| other.0.iter().any(|b| b.low <= a.low && a.high <= b.high))
    }

    /// Whether it holds one number and no other.
    pub fn is_point(&self, is_count: bool) -> bool {
        let [one] = self.0.as_slice() else { return false };
        match (one.low, one.high) {
            (Cut::At { value: a, after: false }, Cut::At { value: b, after: true }) => a == b,
            (Cut::At { value: a, .. }, Cut::At { value: b, .. }) if is_count => {
                b.checked_sub(a) == Some(Decimal::ONE)
            }
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::amount::{Limit, Range};
    use proptest::prelude::*;

    fn limit() -> impl Strategy<Value = Option<Limit>> {
        proptest::option::of(
            (0..9i64, any::<bool>()).prop_map(|(v, open)| Limit { value: Decimal::from(v), open }),
        )
    }

    fn sets() -> impl Strategy<Value = Intervals> {
        let one = (limit(), limit()).prop_map(|(low, high)| Interval::of(&Range { low, high }));
        proptest::collection::vec(one, 0..5).prop_map(Intervals::of)
    }

    // Every whole number and every place between two of them.
    fn probes() -> impl Iterator<Item = Decimal> {
        (-2..22).map(|i| Decimal::new(i * 5, 1))
    }

    fn holds(set: &Intervals, v: Decimal) -> bool {
        let point = Intervals::of([Interval::of(&Range::exactly(v))]);
        !set.meet(&point).is_empty()
    }

    proptest! {
        #[test]
        fn sets_of_numbers_are_those_of_their_members(a in sets(), b in sets()) {
            for v in probes() {
                prop_assert_eq!(holds(&a.meet(&b), v), holds(&a, v) && holds(&b, v));
                prop_assert_eq!(holds(&a.join(&b), v), holds(&a, v) || holds(&b, v));
                prop_assert_eq!(holds(&a.complement(), v), !holds(&a, v));
            }
            prop_assert_eq!(a.is_subset(&b), a.meet(&b.complement()).is_empty());
            prop_assert_eq!(a.complement().complement(), a);
        }
    }

    #[test]
    fn many_gaps_are_closed_and_nothing_is_lost() {
        let at = |v: i64| Intervals::of([Interval::of(&Range::exactly(Decimal::from(v * v)))]);
        let all = (0..200).map(at).fold(Intervals::default(), |a, b| a.join(&b));
        assert!(all.0.len() <= MOST);
        assert!((0..200).all(|v| at(v).is_subset(&all)));
    }
}
