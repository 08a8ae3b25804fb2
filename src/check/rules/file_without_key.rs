//! Files with nothing in them to read.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// The file holds neither a key nor accounts of taxa.
    ///
    /// ## What it finds
    /// A file without a lead, a key's heading or an entry under `taxa`.
    ///
    /// ## Why it matters
    /// Nothing can be named with it. Perhaps it is the wrong file, or the word `key` is missing and
    /// no line looks like a lead.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   place     the valley of the Oren
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
    /// Write `key` alone on a line, and the couplets below it.
    ///
    /// ## Source
    /// Ours.
    "file-without-key", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    if exam.key.subkeys.is_empty() && exam.key.taxa.is_empty() {
        out.push(
            RULE.at(Span::at(0), "the file holds neither a key nor accounts of taxa")
                .why("Nothing can be named with it.")
                .remedy(
                    "Write `key` alone on a line and the couplets below it; or is it another file?",
                ),
        );
    }
}
