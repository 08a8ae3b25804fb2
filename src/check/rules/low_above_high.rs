//! Limits out of order. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The limits of a measure are out of order.
    ///
    /// ## What it finds
    /// A low limit above its high one; extremes in parentheses that lie within the usual range.
    ///
    /// ## Why it matters
    /// No value can satisfy it, so every plant would be a misfit. A digit slipped, or a unit.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   mm
    ///
    /// key
    ///
    /// 1a  Leaf blade 53-5 mm long ............. Papaver rhoeas
    /// 1b  Leaf blade 6-9 mm long .............. Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   mm
    ///
    /// key
    ///
    /// 1a  Leaf blade 3-5 mm long .............. Papaver rhoeas
    /// 1b  Leaf blade 6-9 mm long .............. Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Look at the figures again. Limits rise from the lowest extreme to the highest:
    /// `(2-)3-5(-7)`.
    ///
    /// ## Source
    /// Follows from what a range is.
    "low-above-high", Error, Sure
}
