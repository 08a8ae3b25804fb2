//! `A`, `A`, `A`: a letter names the group, and every lead of it bears the letter.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};
use crate::craft::adopt::pointer::Called;

pub struct GroupLetters;

impl Layout for GroupLetters {
    fn name(&self) -> &'static str {
        "group-letters"
    }

    fn told(&self) -> &'static str {
        "the group's letter before each of its leads (A, A, A)"
    }

    fn step(&self, mark: &Mark, _: &Tally) -> Option<Step> {
        // Before the groups the leads to them may have a star.
        if mark.style == Style::Star && mark.ordinal == 1 {
            return Some(Step::Numbered { id: (0, None), lead: None });
        }
        (mark.style == Style::Upper && mark.primes == 0 && mark.repeated <= 4).then_some(
            Step::Numbered {
                id: (mark.ordinal + 26 * u32::from(mark.repeated - 1), None),
                // `A1`, `A2`
                lead: mark.letter,
            },
        )
    }

    fn called(&self) -> Called {
        Called::Letters
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.styles.iter().any(|((style, _), s)| *style == Style::Upper && s.0 >= 2)
    }
}
