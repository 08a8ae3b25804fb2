//! Line ends of another system. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Lines end in carriage return and line feed.
    ///
    /// ## What it finds
    /// Line ends CR LF, as some systems write them. They are read as plain line ends.
    ///
    /// ## Why it matters
    /// Comparing two issues of a key line by line shows every line as changed.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard\r
    /// \r
    /// key\r
    /// \r
    /// 1a  Leaves are needles .................. Pinus sylvestris\r
    /// 1b  Leaves are broad .................... Quercus robur\r
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
    /// Nothing need be done; `hilum tidy` writes plain ones.
    ///
    /// ## Source
    /// Ours.
    "carriage-returns", Note, Sure
}
