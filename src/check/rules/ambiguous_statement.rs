//! Statements that can be read two ways. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A statement can be read with two sentences.
    ///
    /// ## What it finds
    /// A statement of a lead or an account that fits two declared sentences with different
    /// meanings. It is read with neither.
    ///
    /// ## Why it matters
    /// Nothing is guessed; so the statement does not count.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   mm
    ///
    /// length with the tip: Leaf blade _ in length
    ///   measure   mm
    ///
    /// key
    ///
    /// 1a  Leaf blade 3-5 mm ................... Papaver rhoeas
    /// 1b  Leaf blade 6-9 mm long .............. Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   mm
    ///
    /// length with the tip: Leaf blade _ in length
    ///   measure   mm
    ///
    /// key
    ///
    /// 1a  Leaf blade 3-5 mm long .............. Papaver rhoeas
    /// 1b  Leaf blade 6-9 mm long .............. Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write the sentence out in full, as it is declared.
    ///
    /// ## Source
    /// Ours.
    "ambiguous-statement", Error, Sure
}
