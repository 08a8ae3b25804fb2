//! `intended` notes that answer nothing any more.

use crate::check::rule::rule;
use crate::key::couplet::Intended;
use crate::text::finding::Finding;

rule! {
    /// An `intended` note answers no finding.
    ///
    /// ## What it finds
    /// `intended  RULE: reason` where the rule finds nothing. A note under a lead answers for that
    /// lead and its couplet, one under a key's heading for the key, one under a taxon for its
    /// account, and one under the title for the whole file.
    ///
    /// ## Why it matters
    /// The reason no longer fits what stands beside it, or the note stands in the wrong place and
    /// the finding that it should answer is still open.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    ///       intended  taxon-twice: the oak comes back under the lobed leaves
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... 2
    ///
    /// 2a  Leaves lobed ........................ Quercus robur
    /// 2b  Leaves wavy ......................... Quercus robur
    ///       intended  taxon-twice: young oaks have wavy leaves
    /// ```
    ///
    /// ## Remedy
    /// Take the note out, or put it where the finding is.
    ///
    /// ## Source
    /// Ours.
    "answer-without-question", Warning, Sure
}

/// The finding on an answer to which no finding answers.
pub(in crate::check) fn finding(intended: &Intended) -> Finding {
    RULE.at(intended.span, format!("nothing is found here that `{}` would answer", intended.rule))
        .why("The reason no longer fits what stands beside it.")
        .remedy("Take the note out, or put it where the finding is.")
}
