//! `intended` notes for a rule that does not exist.

use crate::check::rule::rule;
use crate::key::couplet::Intended;
use crate::text::finding::Finding;

rule! {
    /// An `intended` note names a rule that does not exist.
    ///
    /// ## What it finds
    /// `intended  RULE: reason` with a rule that `hilum check --rules` does not list. Blanks in a
    /// rule's name count as hyphens.
    ///
    /// ## Why it matters
    /// The note answers nothing, and the finding that it should answer stays open.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    ///       intended  taxon-twize: the oak comes back under the lobed leaves
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
    /// Write the rule's name as it stands in brackets in the finding.
    ///
    /// ## Source
    /// Ours.
    "unknown-rule", Warning, Sure
}

/// The finding on an answer that names no rule.
pub(in crate::check) fn finding(intended: &Intended) -> Finding {
    let name = intended.rule.trim();
    let remedy = match super::nearest(name) {
        Some(near) => format!("Did you mean `{near}`? The list: hilum check --rules"),
        None => "The list of rules: hilum check --rules".to_string(),
    };
    RULE.at(intended.span, format!("there is no rule `{name}`"))
        .why("The note answers nothing.")
        .remedy(remedy)
}
