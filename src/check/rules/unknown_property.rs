//! Property lines with a word that means nothing. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A property line begins with a word that is not known there.
    ///
    /// ## What it finds
    /// An indented line of one word, two blanks and a value, whose word is no property of what it
    /// stands under; among leads and accounts only where it is nearly one.
    ///
    /// ## Why it matters
    /// Such a line says something that the program acts on. With a word misspelt it would be lost
    /// in silence.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   plase     the valley of the Oren
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   place     the valley of the Oren
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Take the word that is suggested, or write `remark` for what is only to be shown.
    ///
    /// ## Source
    /// Ours.
    "unknown-property", Error, Strong
}
