//! `intended` notes without a reason. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// An `intended` note gives no reason.
    ///
    /// ## What it finds
    /// `intended` without a colon and words after it. It answers nothing.
    ///
    /// ## Why it matters
    /// Whoever reads the file later has to know why the finding does not hold.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    ///       intended  taxon-twice
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... 2
    ///
    /// 2a  Leaves lobed ........................ Quercus robur
    /// 2b  Leaves wavy ......................... Quercus robur
    ///       intended  taxon-twice: young oaks have wavy leaves
    /// ```
    ///
    /// ## Remedy
    /// Write `intended  RULE: the reason`.
    ///
    /// ## Source
    /// Ours.
    "answer-without-reason", Error, Sure
}
