//! Brackets without their other half. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A bracket is opened and never closed.
    ///
    /// ## What it finds
    /// A lead or an account with a round or square bracket that has no counterpart.
    ///
    /// ## Why it matters
    /// What stands in brackets is a remark: nothing reasons with it. Without its end, all that
    /// follows in the statement is taken for a remark as well.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red (when fresh, four of them .... Papaver rhoeas
    /// 1b  Petals blue ............................. Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red (when fresh), four of them ... Papaver rhoeas
    /// 1b  Petals blue ............................. Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Close it where the remark ends.
    ///
    /// ## Source
    /// Practice of proof-reading.
    "bracket-not-closed", Warning, Sure
}
