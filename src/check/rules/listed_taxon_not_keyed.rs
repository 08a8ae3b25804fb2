//! Accepted taxa that the key leaves out.

use fixedbitset::FixedBitSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::{Key, Outcome};
use crate::text::finding::{Finding, Severity};

rule! {
    /// A taxon of the list of accepted taxa is not keyed.
    ///
    /// ## What it finds
    /// Names of the list given with `--taxa` that no lead of the key, or of the other files at hand,
    /// ends in. A synonym in the list counts where the key gives it as one. Where a lead ends in the
    /// genus only, it is a warning. Silent without a list.
    ///
    /// ## Why it matters
    /// A key can only name what is in it: the plant comes out under another name.
    ///
    /// ## Example
    /// ```list
    /// Pinus sylvestris L.
    /// Quercus robur L.
    /// Tilia cordata Mill.
    /// ```
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    /// ```key-good
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
    ///
    /// ## Remedy
    /// Key it out; or say in the heading why it is left out.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.1: all accepted taxa are keyed.
    "listed-taxon-not-keyed", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let Some(accepted) = exam.accepted else { return };
    let keys: Vec<(&Key, FixedBitSet)> = std::iter::once(exam.key)
        .chain(exam.beside.iter().copied())
        .map(|k| (k, keyed(k)))
        .collect();
    let named = |name: &str| {
        keys.iter()
            .any(|(k, keyed)| k.names.get(name).is_some_and(|t| keyed.contains(t.0 as usize)))
    };
    for (folded, name) in accepted.iter() {
        if named(folded) {
            continue;
        }
        let genus = folded.split(' ').next().unwrap_or(folded);
        let mut finding = RULE
            .at(exam.title_place(), format!("{name} is on the list, but no lead names it"))
            .why("The plant would come out under another name.")
            .remedy("Key it out, or say in the heading why it is left out.");
        if genus != folded && named(genus) {
            finding.what = format!("{name} is on the list, but a lead names its genus only");
            finding.severity = Severity::Warning;
        }
        if let Some(&id) = exam.key.names.get(folded)
            && !exam.key.taxon(id).span.is_empty()
        {
            finding = finding.related(exam.key.taxon(id).span, "the name stands here");
        }
        out.push(finding);
    }
}

fn keyed(key: &Key) -> FixedBitSet {
    let mut keyed = FixedBitSet::with_capacity(key.taxa.len());
    for (_, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            keyed.extend(taxa.iter().map(|t| t.0 as usize));
        }
    }
    keyed
}
