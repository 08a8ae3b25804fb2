//! Leads that end nowhere. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A lead leads nowhere.
    ///
    /// ## What it finds
    /// A lead after whose text neither a couplet's number nor a name, a key or a stop follows; or
    /// a label with nothing after it.
    ///
    /// ## Why it matters
    /// Whoever takes the lead is left without a name and without a next question.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad
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
    /// End it with a run of dots and an outcome. Where no name can be given, say so: `stop: not
    /// to be named without fruit`.
    ///
    /// ## Source
    /// A. T. J. Ogunkunle 2021, African Journal of Plant Science: every lead ends in a couplet or
    /// a name. In one printed flora 3 of 4,069 leads end nowhere (own count).
    "lead-without-outcome", Error, Sure
}
