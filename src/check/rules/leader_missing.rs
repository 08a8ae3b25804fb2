//! Outcomes without dots before them. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// No dots stand before what looks like the outcome.
    ///
    /// ## What it finds
    /// A lead without a leader that ends in a number, or in a name set apart by two blanks. It is
    /// read so.
    ///
    /// ## Why it matters
    /// The dots part what is said of the plant from where the lead goes. Without them a number
    /// could be part of the statement.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad                      Quercus robur
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
    /// Put two dots or more before the outcome.
    ///
    /// ## Source
    /// In a trial 7 of 97 typed leads had too little room for their dots (own count).
    "leader-missing", Error, Strong
}
