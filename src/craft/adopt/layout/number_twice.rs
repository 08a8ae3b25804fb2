//! `1` and `1` again: each lead bears its couplet's number.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct NumberTwice;

impl Layout for NumberTwice {
    fn name(&self) -> &'static str {
        "number-twice"
    }

    fn told(&self) -> &'static str {
        "the couplet's number before each of its leads (1, 1)"
    }

    fn step(&self, mark: &Mark, _: &Tally) -> Option<Step> {
        (mark.style == Style::Number && mark.letter.is_none() && mark.primes == 0)
            .then_some(Step::Numbered { id: (mark.ordinal, mark.capital), lead: None })
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.bare >= 2
    }
}
