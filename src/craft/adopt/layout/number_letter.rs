//! `1a` and `1b`: the couplet's number and the lead's letter.

use super::{Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct NumberLetter;

impl Layout for NumberLetter {
    fn name(&self) -> &'static str {
        "number-letter"
    }

    fn told(&self) -> &'static str {
        "numbered couplets whose leads have letters (1a, 1b)"
    }

    fn step(&self, mark: &Mark, tally: &Tally) -> Option<Step> {
        if mark.style == Style::Lower && mark.repeated == 1 && mark.primes == 0 && mark.ordinal > 1
        {
            return Some(Step::Letter((mark.ordinal - 1) as u8));
        }
        if mark.style != Style::Number {
            return None;
        }
        if tally.capital_leads() {
            let letter = mark.capital.filter(|_| mark.letter.is_none())?;
            let lead = Some((letter as u32 - 'A' as u32) as u8);
            return Some(Step::Numbered { id: (mark.ordinal, None), lead });
        }
        let lead = Some(mark.letter?);
        Some(Step::Numbered { id: (mark.ordinal, mark.capital), lead })
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.lettered + tally.capitals >= 2
    }
}
