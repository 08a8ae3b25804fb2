//! A mark that some editors put before the text. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The file begins with a byte order mark.
    ///
    /// ## What it finds
    /// The character U+FEFF before the title. It is passed over.
    ///
    /// ## Why it matters
    /// Some programs show it as strange letters.
    ///
    /// ## Example
    /// ```key-bad
    /// \u{FEFF}Trees of the school yard
    ///
    /// key
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
    /// Nothing need be done; `hilum tidy` removes it.
    ///
    /// ## Source
    /// The Unicode Standard: neither required nor recommended in UTF-8.
    "byte-order-mark", Note, Sure
}
