//! `go to 5` where a number suffices. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Words such as `go to` stand before a couplet's number.
    ///
    /// ## What it finds
    /// `go to 5`, `see 5`, `couplet 5` as an outcome: a warning. The same without dots before it:
    /// an error, since where the statement ends is then a guess. Both are read.
    ///
    /// ## Why it matters
    /// The dots say it already; and a name that began with such a word would be mistaken.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. go to 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Write the number alone.
    ///
    /// ## Source
    /// Both spellings occur in print (own reading of floras and school keys).
    "outcome-phrase", Error, Strong
}
