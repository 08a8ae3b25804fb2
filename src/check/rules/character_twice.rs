//! Characters declared twice. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A character is declared that is there already.
    ///
    /// ## What it finds
    /// Two entries under `characters` with the same name before the colon.
    ///
    /// ## Why it matters
    /// Tables and messages speak of a character by its name.
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
    /// petals: Petals _ at the base
    ///   states    spotted, plain
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
    /// petal base: Petals _ at the base
    ///   states    spotted, plain
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Give one of them another name, or join the two.
    ///
    /// ## Source
    /// Ours.
    "character-twice", Error, Sure
}
