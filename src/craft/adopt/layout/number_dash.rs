//! `1` and `–`: a number, then a dash or a bullet for each further lead.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct NumberDash;

impl Layout for NumberDash {
    fn name(&self) -> &'static str {
        "number-dash"
    }

    fn told(&self) -> &'static str {
        "a number on the first lead and a dash on the others (1, –)"
    }

    fn step(&self, mark: &Mark, _: &Tally) -> Option<Step> {
        match mark.style {
            Style::Dash => Some(Step::More),
            Style::Star if mark.ordinal == 1 => Some(Step::More),
            Style::Number if mark.letter.is_none() && mark.primes == 0 => {
                Some(Step::Numbered { id: (mark.ordinal, mark.capital), lead: Some(0) })
            }
            // Some books letter the leads of single couplets.
            Style::Number if mark.primes == 0 => {
                Some(Step::Numbered { id: (mark.ordinal, mark.capital), lead: mark.letter })
            }
            _ => None,
        }
    }

    fn possible(&self, tally: &Tally) -> bool {
        let stars = tally.styles.get(&(Style::Star, 0)).map_or(0, |s| s.0);
        tally.bare >= 1 && tally.dashes + stars >= 1
    }
}
