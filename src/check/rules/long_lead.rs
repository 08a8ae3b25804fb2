//! Leads that are too long to hold in the mind.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::wording::body;
use crate::text::finding::Finding;

rule! {
    /// A lead has more words than the mind holds at once.
    ///
    /// ## What it finds
    /// Leads of more than 35 words, remarks among them.
    ///
    /// ## Why it matters
    /// The mind latches on to the part of a lead that fits, and ignores the part that does not.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed, dark green above and paler beneath; bark rough, deeply
    ///     cracked from top to bottom; twigs grey; buds brown, many at the tip
    ///     of each twig; fruit an acorn, which sits in a scaly cup on a long
    ///     stalk and falls early in autumn ...... Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth ..... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............. Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth ..... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Keep the characters that tell most, and move the others into the account.
    ///
    /// ## Source
    /// N. Evenhuis on the Taxacom list, 2009: not too long. In five printed floras a lead has 6 to 12
    /// words in the median, and 19 of 20 have fewer than 17 to 28 (own count).
    "long-lead", Note, Sure, examine; style
}

const MOST: usize = 35;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let words = wording.said(lead).words.len();
        if words <= MOST {
            continue;
        }
        out.push(
            RULE.at(body(exam.key, lead), format!("{} has {words} words", exam.lead_name(lead)))
                .why("The mind latches on to the part that fits and ignores the rest.")
                .remedy("Keep the characters that tell most; the account has room for the others."),
        );
    }
}
