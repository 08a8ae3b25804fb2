//! Two leads that ran together. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A second lead begins on the line of the first.
    ///
    /// ## What it finds
    /// After a lead's outcome another label, text, dots and a second outcome on the same line.
    /// Both leads are read.
    ///
    /// ## Why it matters
    /// A reader overlooks it, and so would the program if it did not search for it.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles ....... Pinus sylvestris  1b  Leaves are broad ....... Quercus robur
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
    /// Begin a new line before the second label.
    ///
    /// ## Source
    /// Two leads in one paragraph: met in a printed flora of 1915 (own reading).
    "two-leads-on-one-line", Error, Strong
}
