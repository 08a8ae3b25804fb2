//! Conditions that nobody declared. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A condition is named that the file does not declare.
    ///
    /// ## What it finds
    /// `described  CONDITION` with a condition that is neither `fresh` nor `pressed` nor declared
    /// under `conditions`.
    ///
    /// ## Why it matters
    /// Measures and colours are corrected from the condition in which they were noted; an unknown
    /// one corrects nothing.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   described  charred
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   described  charred
    ///
    /// conditions
    ///
    /// charred    burnt through, black
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Declare the condition, or correct its name.
    ///
    /// ## Source
    /// Ours.
    "condition-unknown", Error, Sure
}
