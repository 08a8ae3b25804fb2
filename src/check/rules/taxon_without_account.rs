//! Names at which the key ends without a description to confirm them.

use fixedbitset::FixedBitSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::Outcome;
use crate::text::finding::Finding;

rule! {
    /// A taxon is keyed out, but has no account to confirm it.
    ///
    /// ## What it finds
    /// Names in which leads end and which have no entry under `taxa`, in files that have accounts
    /// of other taxa.
    ///
    /// ## Why it matters
    /// A key proves only what a plant is not. The name at its end is confirmed by a description, and
    /// by nothing else.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    ///
    /// taxa
    ///
    /// Pinus sylvestris L.
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    ///
    /// taxa
    ///
    /// Pinus sylvestris L.
    ///
    /// Quercus robur L.
    /// ```
    ///
    /// ## Remedy
    /// Write its account under `taxa`.
    ///
    /// ## Source
    /// H. Oldroyd 1958, on keys, as adapted in a course; C. H. Otis 1915, preface; school guidelines
    /// for the use of keys: confirm with a description. Flora of North America, on keys: their
    /// characters are repeated in the descriptions.
    "taxon-without-account", Note, Sure, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    if !key.taxa.iter().any(|t| t.has_account) {
        return;
    }
    let mut told = FixedBitSet::with_capacity(key.taxa.len());
    for (id, lead) in key.leads() {
        let Outcome::Taxa(taxa) = &lead.outcome else { continue };
        for &t in taxa {
            let taxon = key.taxon(t);
            if taxon.has_account || told.put(t.0 as usize) {
                continue;
            }
            out.push(
                RULE.at(exam.outcome_place(id), format!("{} has no account", taxon.name))
                    .why("A key proves only what a plant is not; a description confirms the name.")
                    .remedy("Write its account under `taxa`."),
            );
        }
    }
}
