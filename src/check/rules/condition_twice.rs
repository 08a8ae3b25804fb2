//! Conditions declared twice. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A condition is declared that is there already.
    ///
    /// ## What it finds
    /// Two entries of one name under `conditions`; or `fresh` or `pressed`, which every key has.
    ///
    /// ## Why it matters
    /// A condition has one meaning in a key.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// conditions
    ///
    /// charred    burnt through, black
    /// charred    brown at the edges
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// conditions
    ///
    /// charred    burnt through, black
    /// scorched   brown at the edges
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Give one of them another name, or delete it.
    ///
    /// ## Source
    /// Ours.
    "condition-twice", Error, Sure
}
