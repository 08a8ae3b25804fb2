//! Lines about states that do not exist. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A line speaks of a state that the character does not have.
    ///
    /// ## What it finds
    /// `includes`, `means`, `also`, `picture`, and lines for a condition, that name a state which
    /// is not among the character's `states` or `steps`.
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
    ///   means     rod: the red of a brick
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
    ///   means     red: the red of a brick
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
