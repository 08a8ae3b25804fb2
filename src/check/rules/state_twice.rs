//! States declared twice. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A state is declared twice.
    ///
    /// ## What it finds
    /// The same word twice among the states of one character, as a state or as another word for
    /// one.
    ///
    /// ## Why it matters
    /// It would be two states, and no observation could tell them apart.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue, red
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
    /// Delete one of the two.
    ///
    /// ## Source
    /// Ours.
    "state-twice", Error, Sure
}
