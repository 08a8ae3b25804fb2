//! Figures of which it is not sure what they mean. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A figure can be taken in two ways, or in none.
    ///
    /// ## What it finds
    /// In the gap of a declared sentence: a comma within a number (`3,5`), a fraction with nought
    /// below the line, units that do not measure the same thing (`3 mm to 5 %`), `2 times longer
    /// than`, a number of more than 27 digits. The statement is not read.
    ///
    /// ## Why it matters
    /// 3,5 is three and a half to some readers and three or five to others; `2 times longer` is
    /// twice as long to some and three times as long to others. A key that guesses misleads
    /// half of them.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Leaf blade 5,8 cm long .............. Papaver rhoeas
    /// 1b  Leaf blade 6-9 cm long .............. Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Leaf blade 5.8 cm long .............. Papaver rhoeas
    /// 1b  Leaf blade 6-9 cm long .............. Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write a point for a decimal, `or` between alternatives, `2 times as long as` for a ratio.
    ///
    /// ## Source
    /// Practice of printed keys. The SI brochure, section 5.4.4, lets the decimal marker be a point
    /// or a comma (from memory): a comma is nobody's mistake, and a doubt to every reader.
    "figure-not-sure", Warning, Sure
}
