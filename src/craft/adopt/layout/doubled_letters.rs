//! `a` and `aa`, `A` and `A'`: letters name the levels, doubled or primed for the further leads.

use super::{Follow, Layout, Step, Tally};
use crate::craft::adopt::mark::{Mark, Style};

pub struct DoubledLetters;

impl Layout for DoubledLetters {
    fn name(&self) -> &'static str {
        "doubled-letters"
    }

    fn told(&self) -> &'static str {
        "letters that are doubled or primed for the second lead (a, aa)"
    }

    fn step(&self, mark: &Mark, tally: &Tally) -> Option<Step> {
        let letter = matches!(mark.style, Style::Lower | Style::Upper | Style::Greek);
        (letter && tally.doubled(mark)).then_some(Step::Level { doubled: true })
    }

    fn follow(&self) -> Follow {
        Follow::Levels
    }

    fn possible(&self, tally: &Tally) -> bool {
        tally.styles.iter().any(|((style, _), s)| {
            matches!(style, Style::Lower | Style::Upper | Style::Greek) && s.1 > 0
        })
    }
}
