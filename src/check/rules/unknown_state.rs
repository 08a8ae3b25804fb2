//! Lines about states that do not exist. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A line speaks of a state that the character does not have.
    ///
    /// ## What it finds
    /// `includes`, `also`, or a line for a condition, that names a state which is not among the
    /// character's `states` or `steps`.
    ///
    /// ## Why it matters
    /// The line has no effect.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///   includes  red: rosy
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
    ///   states    red, pink, white, blue
    ///   includes  red: pink
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Take the state that is suggested, or declare it.
    ///
    /// ## Source
    /// Ours.
    "unknown-state", Error, Sure
}
