//! No labels, or labels that say nothing: the indentation alone tells which leads belong together.

use super::{Follow, Layout, Step, Tally};
use crate::craft::adopt::mark::Mark;

pub struct Indented;

impl Layout for Indented {
    fn name(&self) -> &'static str {
        "indented"
    }

    fn told(&self) -> &'static str {
        "indentation alone: leads that stand equally deep belong together"
    }

    fn step(&self, _: &Mark, _: &Tally) -> Option<Step> {
        None
    }

    fn follow(&self) -> Follow {
        Follow::Indents
    }

    fn possible(&self, _: &Tally) -> bool {
        true
    }
}
