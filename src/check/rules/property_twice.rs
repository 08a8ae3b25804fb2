//! Properties said twice. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A property is said twice that can have one value only.
    ///
    /// ## What it finds
    /// Two lines with the same word under one entry, where the word takes one value; and a
    /// character with two kinds of filling.
    ///
    /// ## Why it matters
    /// Only the first is used.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   place     the valley of the Oren
    ///   place     the hills above it
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   place     the valley of the Oren and the hills above it
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Delete one of the lines, or join them.
    ///
    /// ## Source
    /// Ours.
    "property-twice", Error, Sure
}
