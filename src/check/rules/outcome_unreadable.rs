//! Outcomes that are neither number nor name. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// What stands after the dots is no couplet, no key and no name.
    ///
    /// ## What it finds
    /// An outcome that begins with a figure and is not one couplet's number or one lead's label,
    /// such as `2, 3`.
    ///
    /// ## Why it matters
    /// Whoever takes the lead does not know where to go.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2, page 31
    /// 1b  Leaves are broad .................... Quercus robur
    /// 1c  Leaves are scales ................... 2
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
    /// 1c  Leaves are scales ................... 2
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Write one number, one name, names parted by `or`, `key to ...`, or `stop:` and the reason.
    ///
    /// ## Source
    /// Page numbers after the outcome: met in printed floras (own reading).
    "outcome-unreadable", Error, Sure
}
