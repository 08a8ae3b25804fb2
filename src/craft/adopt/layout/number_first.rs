//! `1` and nothing: only the first lead is numbered, the others are paragraphs without a label.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct NumberFirst;

impl Layout for NumberFirst {
    fn name(&self) -> &'static str {
        "number-first"
    }

    fn told(&self) -> &'static str {
        "a number on the first lead only, the other leads unmarked paragraphs"
    }

    fn step(&self, mark: &Mark, _: &Tally) -> Option<Step> {
        (mark.style == Style::Number && mark.letter.is_none() && mark.primes == 0)
            .then_some(Step::Numbered { id: (mark.ordinal, mark.capital), lead: Some(0) })
    }

    fn unmarked(&self) -> bool {
        true
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.bare >= 1
    }
}
