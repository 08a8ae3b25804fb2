//! What the reader holds while units and later words are still to come.

use super::figure::Figure;
use crate::text::amount::Unit;
use crate::text::frequency::Frequency;

/// A number in its place in the text, with its own unit if it has one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number {
    pub figure: Figure,
    pub unit: Option<Unit>,
    pub prime: bool,
    pub start: usize,
    pub end: usize,
}

/// An end of a range: an index into the numbers, for the unit may come later.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    pub number: usize,
    pub open: bool,
}

/// An extent whose numbers still lack units.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Draft {
    /// Low and high.
    pub usual: [Option<End>; 2],
    /// Where it differs from the usual: the other end, or none at all (`5(or more)`).
    pub extreme: [Option<Option<End>>; 2],
    pub about: bool,
    pub frequency: Frequency,
    /// `3-5, rarely to 9`: the low end is the draft before's high one, if that is lower.
    pub goes_on: bool,
    /// The high end was written `many`.
    pub to_many: bool,
}

/// How far the reading is good: so many drafts and numbers, so many bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    pub drafts: usize,
    pub numbers: usize,
    pub end: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mode {
    Measure,
    /// Units are not read: `3 in a whorl`.
    Count,
    /// Words of factors are numbers, `times` is their unit, and the words of the comparison after
    /// the amount are its boundary.
    Ratio,
}
