//! Statements that miss a declared word by a letter or two. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A statement was not read, and one of its words is nearly a declared one.
    ///
    /// ## What it finds
    /// A part of a lead or an account that fits no sentence, in which a word within two letters
    /// of a state, or of a sentence's beginning, stands where that would stand.
    ///
    /// ## Why it matters
    /// A typing error in a state silently turns the statement into prose: it is shown, and
    /// nothing reasons with it.
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
    /// 1a  Petals redd ......................... Papaver rhoeas
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
    /// Correct the word; or declare it, if it is meant.
    ///
    /// ## Source
    /// Ours, after a trial with five keys.
    "near-word", Warning, Strong
}
