//! Keys printed with both leads of a couplet together, as a flora of a large country prints them.

use super::profile;

profile! {
    /// Both leads together, numbered, retraceable, and in step with the accounts.
    ///
    /// ## What it asks
    /// Pairs of leads that can be retraced by back-references. One way of parting characters
    /// throughout the key. The shorter branch first. The most telling characters first, and in the
    /// same order in both leads. Every taxon has its account, since a key must not contradict the
    /// descriptions; terms are explained, and one thing has one name. Characters of flower and of
    /// fruit are not needed at once.
    ///
    /// ## Source
    /// Flora of Nepal, guidelines for contributors: section 6 on keys (6.2 taxa keyed out more than
    /// once, flowering and fruiting plants; 6.3 punctuation; 6.4 order, shorter branch, agreement
    /// with the descriptions) and section 24 on layout; its terminology for terms. Back-references
    /// after L. Packer, A survey of keys for the identification of newly described insect genera.
    "bracketed flora",
    "back-reference-missing" Warning,
    "features-in-another-order" Warning,
    "flower-and-fruit" Warning,
    "longer-branch-first" Warning,
    "mixed-punctuation" Warning,
    "taxon-without-account" Warning,
    "term-not-defined" Warning,
    "three-leads" Warning,
    "two-words-for-one-thing" Warning,
}
