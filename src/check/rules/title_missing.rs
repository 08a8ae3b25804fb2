//! Files that do not say what they are a key to. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// The file begins with its key, not with a title.
    ///
    /// ## What it finds
    /// A first line that begins a section or looks like a lead. Whatever else the first line says
    /// is the title.
    ///
    /// ## Why it matters
    /// Readers choose a key by its title, and it stands above every result.
    ///
    /// ## Example
    /// ```key-bad
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
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
    /// Write what the key covers on the first line: the plants, and the place.
    ///
    /// ## Source
    /// A title that says the scope, and the season where it matters: A. F. Otis 1915, preface to
    /// a printed key.
    "title-missing", Warning, Sure
}
