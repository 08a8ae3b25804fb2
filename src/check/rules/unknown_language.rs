//! Languages without a word table. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The heading names a language for which there is no word table.
    ///
    /// ## What it finds
    /// `language  CODE` with a code that is not among those the program knows. The file is then
    /// read as English.
    ///
    /// ## Why it matters
    /// The words that begin sections, `or`, `to`, and the words of frequency come from that
    /// table.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   language  xx
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   language  en
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Write one of the codes that the finding lists.
    ///
    /// ## Source
    /// The codes are those of ISO 639-1.
    "unknown-language", Error, Sure
}
