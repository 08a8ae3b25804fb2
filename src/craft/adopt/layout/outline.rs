//! `I`, `A`, `1`, `a`: each level counts its leads with figures or letters of its own kind.

use super::{Follow, Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct Outline;

impl Layout for Outline {
    fn name(&self) -> &'static str {
        "outline"
    }

    fn told(&self) -> &'static str {
        "an outline: each level counts with its own kind of letters or figures (I, A, 1, a)"
    }

    fn step(&self, mark: &Mark, tally: &Tally) -> Option<Step> {
        let plain = mark.style != Style::Dash && mark.letter.is_none() && mark.capital.is_none();
        plain.then_some(Step::Level { doubled: mark.style != Style::Star && tally.doubled(mark) })
    }

    fn follow(&self) -> Follow {
        Follow::Levels
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.styles.iter().any(|((style, _), s)| *style != Style::Dash && s.0 >= 2)
    }
}
