//! `I` and `I'`, or `I` and `I` again: couplets numbered in Roman figures, pointers too.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};
use crate::craft::adopt::pointer::Called;

pub struct RomanNumbers;

impl Layout for RomanNumbers {
    fn name(&self) -> &'static str {
        "roman-numbers"
    }

    fn told(&self) -> &'static str {
        "couplets numbered in Roman figures (I, I')"
    }

    fn step(&self, mark: &Mark, tally: &Tally) -> Option<Step> {
        let roman = matches!(mark.style, Style::RomanUpper | Style::RomanLower);
        roman.then(|| Step::Numbered {
            id: (mark.ordinal, None),
            lead: tally.doubled(mark).then_some(mark.primes),
        })
    }

    fn called(&self) -> Called {
        Called::Roman
    }

    fn possible(&self, tally: &Tally) -> bool {
        let roman = |s: &Style| matches!(s, Style::RomanUpper | Style::RomanLower);
        tally.styles.iter().any(|((style, _), s)| roman(style) && s.0 >= 3)
    }
}
