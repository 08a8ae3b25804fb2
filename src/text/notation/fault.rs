//! What can be wrong with an amount that is otherwise readable.

use std::ops::Range;

/// One thing wrong with an amount, and where: bytes of the text that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    pub span: Range<usize>,
    pub kind: FaultKind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FaultKind {
    /// `5-3 mm`
    LowAboveHigh,
    /// `(4-)3-5`: what is in parentheses lies within the usual range.
    ExtremeInside,
    /// `3,5`
    Comma,
    /// More than 27 digits, or more than 27 after its unit was converted.
    TooLong,
    /// `1/0`
    ZeroDenominator,
    /// `3 mm to 5 %`
    UnitMismatch,
    /// `2 times longer than`
    TimesLonger,
    /// `2′`
    Prime,
}

impl FaultKind {
    /// Whether nothing may be concluded from the amount. Only of a prime is the meaning clear
    /// enough: feet today, though some old books wrote it for inches.
    pub fn spoils(self) -> bool {
        self != FaultKind::Prime
    }

    /// What is wrong, in words that can stand alone.
    pub fn what(self) -> &'static str {
        match self {
            FaultKind::LowAboveHigh => "the lower limit is above the upper",
            FaultKind::ExtremeInside => "an extreme in parentheses lies within the usual range",
            FaultKind::Comma => "a comma within a number",
            FaultKind::TooLong => "a number of more than 27 digits",
            FaultKind::ZeroDenominator => "a fraction with nought below the line",
            FaultKind::UnitMismatch => "units that do not measure the same thing",
            FaultKind::TimesLonger => {
                "`2 times longer` is twice as long to some, and three times to others"
            }
            FaultKind::Prime => "a prime is read as feet, and in some old books means inches",
        }
    }

    /// What to do about it.
    pub fn remedy(self) -> &'static str {
        match self {
            FaultKind::LowAboveHigh => "Look at the figures again: a digit slipped, or a unit.",
            FaultKind::ExtremeInside => {
                "Limits rise from the lowest extreme to the highest: (2-)3-5(-7)."
            }
            FaultKind::Comma => {
                "Write a point for a decimal (3.5), nothing between thousands (10000), and `or` \
                 between alternatives (3 or 5)."
            }
            FaultKind::TooLong => "Write the figure with fewer digits, or in a larger unit.",
            FaultKind::ZeroDenominator => "Write the fraction out: 1/2, or 0.5.",
            FaultKind::UnitMismatch => "Write both in units of the same kind, such as mm and cm.",
            FaultKind::TimesLonger => "Write `2 times as long as`.",
            FaultKind::Prime => "Write ft or in.",
        }
    }
}
