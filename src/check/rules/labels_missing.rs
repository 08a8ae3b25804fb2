//! Leads without any label. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A line looks like a lead, but has no label.
    ///
    /// ## What it finds
    /// Under `key` a line at the margin with a run of dots in it and no number before it.
    ///
    /// ## Why it matters
    /// Couplets are found by their labels. The automatic numbers of a word processor vanish when
    /// its text is copied.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// Leaves are scales ....................... Thuja plicata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// 1c  Leaves are scales ................... Thuja plicata
    /// ```
    ///
    /// ## Remedy
    /// Write the couplet's number and the lead's letter at the margin. Were the numbers
    /// automatic? Then turn them into text before you copy.
    ///
    /// ## Source
    /// Editors of two journals ask for manuscripts without automatic numbers (from memory).
    "labels-missing", Error, Strong
}
