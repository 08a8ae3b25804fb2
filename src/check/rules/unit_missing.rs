//! Measures without a unit. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A measure has no unit.
    ///
    /// ## What it finds
    /// A figure in the gap of a sentence that measures a length, without mm, cm or another unit.
    /// It is not read.
    ///
    /// ## Why it matters
    /// 3 could be millimetres or centimetres. Nothing is guessed, so the statement does not
    /// count.
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
    /// 1a  Leaf blade 3-5 long ................. Papaver rhoeas
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
    /// Write the unit after the figure.
    ///
    /// ## Source
    /// Practice of printed keys.
    "unit-missing", Warning, Sure
}
