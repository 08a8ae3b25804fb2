//! Two states joined by a bare comma. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Two states of one character are joined by a comma only.
    ///
    /// ## What it finds
    /// `petals red, white`: by the rules of reading both hold at once.
    ///
    /// ## Why it matters
    /// Often `or` is meant. Where both do hold at once, the character has two things in it and is
    /// better parted in two.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red, white ................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red or white ................. Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write `or` between them; or declare two characters.
    ///
    /// ## Source
    /// Ours, after a trial with five keys.
    "two-states-at-once", Note, Strong
}
