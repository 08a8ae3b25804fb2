//! Tabs beside blanks. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Some lines are indented with tabs, others with blanks.
    ///
    /// ## What it finds
    /// Both kinds at the beginning of indented lines. Both are read.
    ///
    /// ## Why it matters
    /// What looks alike in one editor does not in another.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   place     the valley of the Oren
    /// \tby        the third form
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   place     the valley of the Oren
    ///   by        the third form
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Nothing need be done; `hilum tidy` indents with blanks.
    ///
    /// ## Source
    /// Ours.
    "mixed-indentation", Note, Sure
}
