//! Sentences without a gap, or with two. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A character's sentence does not have exactly one gap.
    ///
    /// ## What it finds
    /// A sentence under `characters` without `_`, or with more than one; or one whose gap touches a
    /// word, as in `Pods _seeded`. With a measure, `Corolla _-lobed` is a gap: `4-lobed`.
    ///
    /// ## Why it matters
    /// The gap is where a statement says what it says. Without it nothing can be read with this
    /// sentence.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
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
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write `_` where the state or the measure stands: `petals: Petals _`.
    ///
    /// ## Source
    /// Ours.
    "character-without-gap", Error, Sure
}
