//! Files in another encoding. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The file is not UTF-8 text.
    ///
    /// ## What it finds
    /// Bytes that are no UTF-8: a file saved in the encoding of an older system, or as UTF-16.
    /// UTF-16 with its mark is read; elsewhere every byte that cannot be read is shown as the
    /// replacement character.
    ///
    /// ## Why it matters
    /// Accents, dashes and the sign µ may have become other letters.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are br\xF6ad .................... Quercus robur
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
    /// Save the file as UTF-8.
    ///
    /// ## Source
    /// RFC 3629.
    "not-utf-8", Error, Sure
}
