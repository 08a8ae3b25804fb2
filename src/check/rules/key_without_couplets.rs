//! A key's heading with nothing under it.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A key has a heading but no couplets.
    ///
    /// ## What it finds
    /// The word `key`, or `key to ...`, with no lead under it.
    ///
    /// ## Why it matters
    /// Whoever is sent to this key finds nothing there. Where leads do stand under the heading, they
    /// were not taken for leads: each begins at the margin with a number and a letter.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// taxa
    ///
    /// Papaver L.
    ///
    /// Papaver rhoeas L.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write its couplets, or take the heading out.
    ///
    /// ## Source
    /// Ours.
    "key-without-couplets", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for subkey in exam.key.subkeys.iter().filter(|s| s.couplets.is_empty()) {
        out.push(
            RULE.at(subkey.span, "this key has no couplets")
                .why("Whoever is sent here finds nothing.")
                .remedy("Write its couplets, or take the heading out."),
        );
    }
}
