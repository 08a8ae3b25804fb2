//! Characters that do not say what fills the gap. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Nothing says what fills a character's gap.
    ///
    /// ## What it finds
    /// An entry under `characters` without `states`, `steps`, `measure` or `compare`.
    ///
    /// ## Why it matters
    /// No statement can be read with this sentence.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   part      flower
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
    /// Add `states  red, white`, `steps  short, middling, long`, `measure  mm`, `measure  count`
    /// or `compare  length`.
    ///
    /// ## Source
    /// Ours.
    "character-without-kind", Error, Sure
}
