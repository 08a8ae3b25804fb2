//! Characters that cannot be seen. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The file holds a character that cannot be seen.
    ///
    /// ## What it finds
    /// Control characters, characters of no width, and those that turn the order of a line about.
    /// The first is shown, with the number of the others.
    ///
    /// ## Why it matters
    /// It can hide words, or show them in another order than they are read in; and a name with
    /// one in it is not the name that it looks like.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pi\u{200B}nus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Delete it. It is shown escaped wherever the line is printed.
    ///
    /// ## Source
    /// The Unicode Standard, annex 9, on characters that set the direction of text.
    "control-character", Warning, Sure
}
