//! Translations with too many or too few states. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A translation has not as many states as the character.
    ///
    /// ## What it finds
    /// A line such as `de  Blütenblätter _: rot, blau` under a character with three states.
    ///
    /// ## Why it matters
    /// The states are matched by their order; one that is missing shifts all that follow it.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///   de        Blütenblätter _: rot, blau
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
    ///   de        Blütenblätter _: rot, weiß, blau
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Give one word for every state, in the same order.
    ///
    /// ## Source
    /// Ours.
    "translation-states", Error, Sure
}
