//! Letters that look like figures. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A label has a letter where a figure belongs.
    ///
    /// ## What it finds
    /// A capital I or a small l for 1, a capital O for 0, as scanned text has them. It is read as
    /// the figure.
    ///
    /// ## Why it matters
    /// The eye sees a number, the machine a word, and pointers to it fail.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// lb  Leaves are broad .................... Quercus robur
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
    /// Type the figure.
    ///
    /// ## Source
    /// Met in print as `I8` for 18 and in scanned keys (own reading).
    "label-misread", Error, Strong
}
