//! Lines that belong to nothing. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A line at the margin begins nothing that is known there.
    ///
    /// ## What it finds
    /// Under `key` a line that is neither a lead nor a section's word; before the first section a
    /// line that is not indented; under `glossary` a line without a colon. In an account a line
    /// that begins like a property (`caution`, `called` ...) with one blank after the word, or a
    /// colon, so that it was read as prose; a lead with blanks before its label.
    ///
    /// ## Why it matters
    /// What stands at the margin begins something, and what is indented belongs to it. This line
    /// is shown nowhere.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// Broad leaves and needles are easily told apart.
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// # Broad leaves and needles are easily told apart.
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Indent it if it belongs to what stands above it. Put a hash and a blank before it if it is
    /// a comment.
    ///
    /// ## Source
    /// Ours.
    "stray-line", Error, Sure
}
