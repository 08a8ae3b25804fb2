//! Names of the key that the list of accepted taxa does not have.

use fixedbitset::FixedBitSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::Outcome;
use crate::key::taxon::Rank;
use crate::text::finding::Finding;

rule! {
    /// The key names a taxon that is not on the list of accepted taxa.
    ///
    /// ## What it finds
    /// Names in which leads end and which the list given with `--taxa` does not have, neither
    /// themselves nor a synonym of theirs. Genera and higher groups are left out. Silent without a
    /// list.
    ///
    /// ## Why it matters
    /// The plant may be a newcomer, or the name an old one or misspelt.
    ///
    /// ## Example
    /// ```list
    /// Pinus sylvestris L.
    /// Quercus robur L.
    /// ```
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Leaves lobed; bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Write the accepted name; or add it to the list.
    ///
    /// ## Source
    /// The other side of section 7.1 of the guidelines for contributors to the Moss Flora of China.
    "taxon-not-listed", Note, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let Some(accepted) = exam.accepted else { return };
    let mut told = FixedBitSet::with_capacity(exam.key.taxa.len());
    for (id, lead) in exam.key.leads() {
        let Outcome::Taxa(taxa) = &lead.outcome else { continue };
        for &t in taxa {
            let taxon = exam.key.taxon(t);
            let low = matches!(taxon.rank, Rank::Species | Rank::BelowSpecies);
            let listed =
                accepted.has(&taxon.name) || taxon.synonyms.iter().any(|s| accepted.has(s));
            if !low || listed || told.put(t.0 as usize) {
                continue;
            }
            out.push(
                RULE.at(exam.outcome_place(id), format!("{} is not on the list", taxon.name))
                    .why("It is a newcomer, or the name is an old one or misspelt.")
                    .remedy("Write the accepted name, or add it to the list."),
            );
        }
    }
}
