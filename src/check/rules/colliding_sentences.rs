//! Two sentences that say the same. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Two characters can say the very same sentence.
    ///
    /// ## What it finds
    /// Two declared sentences which, with some state of each in the gap, are the same words.
    ///
    /// ## Why it matters
    /// A statement in these words could mean either. Told at the declarations, so that nothing is
    /// ambiguous where it is used.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petal colour: Petals _
    ///   states    red, white, blue
    ///
    /// petal spots: Petals _
    ///   states    spotted, red
    ///
    /// key
    ///
    /// 1a  Petals white ........................ Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petal colour: Petals _
    ///   states    red, white, blue
    ///
    /// petal spots: Petals _
    ///   states    spotted, plain
    ///
    /// key
    ///
    /// 1a  Petals white ........................ Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Put words into one of the sentences that set it apart: `Petals _ at the base`.
    ///
    /// ## Source
    /// Ours, after a trial with five keys.
    "colliding-sentences", Error, Sure
}
