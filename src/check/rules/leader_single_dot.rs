//! One dot where a leader is meant. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// One dot stands before what looks like the outcome.
    ///
    /// ## What it finds
    /// A lead without a leader that ends in a full stop and a number. It is read so.
    ///
    /// ## Why it matters
    /// One dot ends a sentence. Only two or more, an ellipsis or a tab lead to the outcome.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles. 2
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
    /// 1a  Leaves are needles .. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Put two dots or more before the outcome; `hilum tidy` lines them up.
    ///
    /// ## Source
    /// In a trial 7 of 97 typed leads had too little room for their dots (own count).
    "leader-single-dot", Error, Strong
}
