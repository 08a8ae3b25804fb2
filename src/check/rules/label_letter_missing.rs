//! Labels without their letter. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A lead's label has a number but no letter.
    ///
    /// ## What it finds
    /// `1` where `1a` is meant. The next letter in order is taken.
    ///
    /// ## Why it matters
    /// The letter tells the leads of a couplet apart, in the trail of a determination and in
    /// pointers such as `9b`.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1   Leaves are broad .................... Quercus robur
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
    /// Write the letter: a for the first lead, b for the second.
    ///
    /// ## Source
    /// Flora of Nepal, guidelines for contributors, section 6: leads a and b after the number.
    "label-letter-missing", Error, Sure
}
