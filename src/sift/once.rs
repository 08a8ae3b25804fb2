//! One sight counts once, however often it was said; sights that shut each other out are told.

use super::cut::Interval;
use super::observation::{Observation, Reading, Seen};
use std::cmp::Ordering;

/// The observations that count, in their order: of two that say the same of one character under
/// one condition, or of which one holds the other, the surer counts, of equally sure ones the
/// narrower. Those that contradict each other both stay.
pub fn once(observations: &[Observation]) -> Vec<Observation> {
    let counts = counted(observations);
    let kept = observations.iter().zip(counts).filter(|(_, counts)| counts.is_none());
    kept.map(|(o, _)| o.clone()).collect()
}

/// For each observation the one that counts in its place; `None` where it counts itself.
pub fn counted(observations: &[Observation]) -> Vec<Option<usize>> {
    let mut out: Vec<Option<usize>> = vec![None; observations.len()];
    for (i, o) in observations.iter().enumerate() {
        for (j, other) in observations.iter().enumerate().take(i) {
            if out[j].is_some() || !is_same_sight(o, other) {
                continue;
            }
            if is_better(o, other) {
                out[j] = Some(i);
            } else {
                out[i] = Some(j);
                break;
            }
        }
    }
    // What counts in the place of another may have been replaced itself.
    for i in 0..out.len() {
        while let Some(next) = out[i].and_then(|j| out[j]) {
            out[i] = Some(next);
        }
    }
    out
}

/// Whether `new` takes the place of `old`, which was said first and says no more.
fn is_better(new: &Observation, old: &Observation) -> bool {
    match new.doubt.cmp(&old.doubt) {
        Ordering::Less => true,
        Ordering::Greater => false,
        Ordering::Equal => is_within(&new.seen, &old.seen) && !is_within(&old.seen, &new.seen),
    }
}

/// Whether two observations tell of one sight: the same character under the same condition, and
/// what one says holds what the other does.
fn is_same_sight(a: &Observation, b: &Observation) -> bool {
    a.character == b.character
        && a.condition == b.condition
        && (is_within(&a.seen, &b.seen) || is_within(&b.seen, &a.seen))
}

/// Whether `narrow` says all that `wide` says.
fn is_within(narrow: &Seen, wide: &Seen) -> bool {
    match (narrow, wide) {
        (Seen::States(narrow), Seen::States(wide)) => !narrow.is_empty() && narrow.is_subset(wide),
        (Seen::Numbers(narrow), Seen::Numbers(wide)) => {
            let held = |w: &Reading| narrow.iter().any(|n| is_reading_within(n, w));
            !wide.is_empty() && wide.iter().all(held)
        }
        _ => narrow == wide,
    }
}

fn is_reading_within(narrow: &Reading, wide: &Reading) -> bool {
    narrow.within.iter().all(|n| wide.within.iter().any(|w| is_held(n, w)))
}

/// Whether an interval lies in another. A measurement reaches half a unit of its last figure to
/// either side: `8 cm` is in 4 to 8 cm.
fn is_held(narrow: &Interval, wide: &Interval) -> bool {
    let starts = wide.low.cmp(&narrow.low).is_le();
    let ends = wide.high.cmp(&narrow.high).is_ge();
    if starts && ends {
        return true;
    }
    let (Some(low), Some(high)) = (narrow.low.value(), narrow.high.value()) else { return false };
    let half = low.checked_add(high).and_then(|sum| sum.checked_div(2.into()));
    let (Some(middle), Some(width)) = (half, high.checked_sub(low)) else { return false };
    let at = Interval::exactly(middle);
    let is_wider = match (wide.low.value(), wide.high.value()) {
        (Some(a), Some(b)) => b.checked_sub(a).is_some_and(|w| w > width),
        _ => true,
    };
    is_wider && wide.low.cmp(&at.low).is_le() && wide.high.cmp(&at.high).is_ge()
}

/// Whether two observations of one character under one condition cannot both be true of what was
/// looked at. Different readings of a number are two measurements, no contradiction, unless one
/// is a range that a lead states: `stated` says that the second is.
pub fn contradict(a: &Observation, b: &Observation, stated: bool) -> bool {
    if a.character != b.character || a.condition != b.condition {
        return false;
    }
    match (&a.seen, &b.seen) {
        (Seen::States(x), Seen::States(y)) => !x.is_empty() && !y.is_empty() && !x.overlaps(y),
        (Seen::Numbers(x), Seen::Numbers(y)) => {
            let meet = |x: &Reading, y: &Reading| {
                x.within.iter().any(|i| y.within.iter().any(|k| i.overlaps(k)))
            };
            stated && !x.iter().all(|x| y.iter().all(|y| meet(x, y)))
        }
        (Seen::DoesNotApply, Seen::States(_) | Seen::Numbers(_))
        | (Seen::States(_) | Seen::Numbers(_), Seen::DoesNotApply) => true,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::ConditionId;
    use crate::key::bundled;
    use crate::sift::read_observation;

    fn read(text: &str) -> Vec<Observation> {
        let key = bundled::find("field-weeds").expect("it is inside the library").key();
        read_observation(&key, &key.lexicon(), text, ConditionId::FRESH).expect(text)
    }

    fn words(text: &str) -> Vec<String> {
        once(&read(text)).into_iter().map(|o| o.words).collect()
    }

    #[test]
    fn the_surer_and_the_narrower_of_one_sight_counts() {
        assert_eq!(words("petals red; petals red?"), ["petals red"]);
        assert_eq!(words("petals red?; petals red"), ["petals red"]);
        assert_eq!(words("petals red or orange; petals red"), ["petals red"]);
        assert_eq!(words("petals red; petals red or orange"), ["petals red"]);
        assert_eq!(words("petals red or orange; petals red?"), ["petals red or orange"]);
    }

    #[test]
    fn a_measurement_at_the_end_of_a_range_lies_in_it() {
        let all = |text| words(text).len();
        assert_eq!(all("leaf blade 34 mm long; leaf blade 34 mm"), 1);
        assert_eq!(all("leaf blade up to 34 mm long; leaf blade 34 mm"), 1);
        assert_eq!(all("leaf blade 34 mm; leaf blade 60 mm"), 2, "two leaves");
    }

    #[test]
    fn other_states_and_other_conditions_stay() {
        assert_eq!(words("petals red; petals white").len(), 2);
        assert_eq!(words("petals purple; pressed: petals purple").len(), 2);
        let both = read("petals red; petals white");
        assert!(contradict(&both[0], &both[1], false));
        let both = read("petals red; petals red or white");
        assert!(!contradict(&both[0], &both[1], false));
    }

    #[test]
    fn a_measurement_outside_what_a_lead_states_contradicts_it() {
        let two = read("leaf blade 34 mm; leaf blade 60 mm");
        assert!(!contradict(&two[0], &two[1], false));
        assert!(contradict(&two[0], &two[1], true));
    }
}
