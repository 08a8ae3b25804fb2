//! Accounts of taxa that the key never names.

use fixedbitset::FixedBitSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::{Outcome, TaxonId};
use crate::text::finding::{Finding, Severity};

rule! {
    /// A taxon has an account, but no lead names it.
    ///
    /// ## What it finds
    /// Entries under `taxa` that no lead ends in. The account of a genus, a family or another group
    /// is in order when some other account lies under it. Where a lead ends in the genus and only the species is not
    /// named, it is a warning. A file without any key is a collection of accounts, and silent.
    ///
    /// ## Why it matters
    /// The plant is described, and nobody who follows the key arrives at it. Often a lead has the
    /// name in another spelling.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// taxa
    ///
    /// Pinus sylvestris L.
    ///
    /// Tilia cordata Mill.
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Tilia cordata
    ///
    /// taxa
    ///
    /// Pinus sylvestris L.
    ///
    /// Tilia cordata Mill.
    /// ```
    ///
    /// ## Remedy
    /// Key it out, correct the name, or take the account out.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7: all accepted taxa are keyed.
    "taxon-not-keyed", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    if key.couplets.is_empty() {
        return;
    }
    let mut keyed = FixedBitSet::with_capacity(key.taxa.len());
    for (_, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            keyed.extend(taxa.iter().map(|t| t.0 as usize));
        }
    }
    let mut above = FixedBitSet::with_capacity(key.taxa.len());
    above.extend(key.taxa.iter().filter_map(|t| t.above).map(|t| t.0 as usize));
    let mut named = FixedBitSet::with_capacity(key.taxa.len());
    named.extend(key.names.values().map(|t| t.0 as usize));
    for id in key.taxon_ids() {
        let taxon = key.taxon(id);
        let i = id.0 as usize;
        // A second account of one name has a rule of its own.
        if !taxon.has_account || keyed.contains(i) || above.contains(i) || !named.contains(i) {
            continue;
        }
        let name = &taxon.name;
        let mut finding = RULE
            .at(taxon.span, format!("no lead names {name}"))
            .why("The plant is described, and nobody who follows the key arrives at it.")
            .remedy("Key it out, correct the name, or take the account out.");
        if let Some(group) = chain(exam, id).find(|t| keyed.contains(t.0 as usize)) {
            finding.what = format!("no lead names {name}, only {}", key.taxon(group).name);
            finding.severity = Severity::Warning;
        }
        // A name in a lead, without an account and nearly the same, is this one misspelt.
        let near = exam.near_names().iter().find_map(|p| {
            let other = match (p.first == id, p.second == id) {
                (true, _) => p.second,
                (_, true) => p.first,
                _ => return None,
            };
            (keyed.contains(other.0 as usize) && !key.taxon(other).has_account).then_some(other)
        });
        if let Some(near) = near {
            let near = key.taxon(near);
            finding = finding.related(near.span, format!("should this be {name}?")).remedy(
                format!("A lead names {}, which has no account: make the two agree.", near.name),
            );
        }
        out.push(finding);
    }
}

// The taxa above this one, nearest first; finite even where a faulty file makes them a ring.
fn chain<'e>(exam: &'e Examination, id: TaxonId) -> impl Iterator<Item = TaxonId> + 'e {
    let next = |t: &TaxonId| exam.key.taxon(*t).above;
    std::iter::successors(exam.key.taxon(id).above, next).take(16)
}
