//! Property lines whose value says nothing. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The value of a property is none that it can have.
    ///
    /// ## What it finds
    /// A unit that does not exist, a tool or an ease that is none of the few words, a sentence
    /// without its gap, or no value at all.
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
    /// height: Stem _ tall
    ///   measure   furlong
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
    /// height: Stem _ tall
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write one of the values that the finding names.
    ///
    /// ## Source
    /// Ours.
    "unreadable-value", Error, Sure
}
