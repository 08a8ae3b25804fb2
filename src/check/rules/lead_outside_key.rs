//! Leads where no key has begun. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A lead stands where no key has begun.
    ///
    /// ## What it finds
    /// A line that begins like a lead (`1a`) before any section, or in a section that is no key.
    /// Leads before any section are read as a key all the same.
    ///
    /// ## Why it matters
    /// Leads are read under the word `key`, or `key to ...`, alone on its line. In another
    /// section the line is lost.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Write `key` alone on a line before the first lead.
    ///
    /// ## Source
    /// Ours.
    "lead-outside-key", Error, Sure
}
