//! `1` and `1'`, `1*`, `1"`: the second lead's number bears a mark.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct NumberPrime;

impl Layout for NumberPrime {
    fn name(&self) -> &'static str {
        "number-prime"
    }

    fn told(&self) -> &'static str {
        "numbered couplets whose second lead has a prime or an asterisk (1, 1')"
    }

    fn step(&self, mark: &Mark, _: &Tally) -> Option<Step> {
        (mark.style == Style::Number && mark.letter.is_none())
            .then_some(Step::Numbered { id: (mark.ordinal, mark.capital), lead: Some(mark.primes) })
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.primed >= 1 && tally.bare >= 1
    }
}
