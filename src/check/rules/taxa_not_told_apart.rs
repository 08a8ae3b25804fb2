//! Taxa with different places in the key that nothing in their accounts tells apart.

use std::collections::BTreeMap;

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::reason::apart::apart;
use crate::check::rule::rule;
use crate::key::TaxonId;
use crate::text::finding::{Finding, Severity};

rule! {
    /// Nothing in two accounts tells the taxa apart.
    ///
    /// ## What it finds
    /// Two taxa that the key names in different places and whose accounts share values in every
    /// character of which both speak. Where something in either account was not read it is a note:
    /// the difference may stand there. One finding for each taxon, with the taxa after it.
    ///
    /// ## Why it matters
    /// The name that the key gives cannot be confirmed, and no other question can part the two.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red .......................... 2
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// 2a  Capsule almost globular ............. Papaver rhoeas
    /// 2b  Capsule club-shaped ................. Papaver dubium
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue.
    ///
    /// Papaver dubium L.
    ///   Petals red.
    ///
    /// Papaver rhoeas L.
    ///   Petals red.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// capsule: Capsule _
    ///   states    almost globular, club-shaped
    ///
    /// key
    ///
    /// 1a  Petals red .......................... 2
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// 2a  Capsule almost globular ............. Papaver rhoeas
    /// 2b  Capsule club-shaped ................. Papaver dubium
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue.
    ///
    /// Papaver dubium L.
    ///   Petals red; capsule club-shaped.
    ///
    /// Papaver rhoeas L.
    ///   Petals red; capsule almost globular.
    /// ```
    ///
    /// ## Remedy
    /// Say in both accounts what the key parts them by, and declare its character.
    ///
    /// ## Source
    /// Flora of North America, "Content": key characters are repeated in the descriptions (read).
    "taxa-not-told-apart", Warning, Strong, examine
}

/// The most pairs that are looked into.
const MOST: usize = 2000;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut near: BTreeMap<TaxonId, Vec<TaxonId>> = BTreeMap::new();
    for (a, b) in apart(exam.courses(), MOST, exam.watch()).none {
        let own = |t| exam.courses().get(t).map_or(&[][..], |r| r.course.own.as_slice());
        // What the key does not part either is meant.
        if own(a).iter().all(|l| !own(b).contains(l)) {
            near.entry(a).or_default().push(b);
        }
    }
    for (taxon, others) in near {
        let name = |t: &TaxonId| exam.key.taxon(*t).name.as_str();
        let names: Vec<&str> = others.iter().map(name).collect();
        let mut finding = RULE
            .at(
                exam.key.taxon(taxon).span,
                format!("nothing in the accounts tells {} from {}", name(&taxon), list(&names, 6)),
            )
            .why("The name that the key gives cannot be confirmed by the accounts.")
            .remedy("Say in both accounts what the key parts them by, and declare its character.");
        if others.iter().chain([&taxon]).any(|t| !is_read_whole(exam, *t)) {
            finding.severity = Severity::Note;
        }
        for other in others.iter().take(6) {
            finding = finding.related(exam.key.taxon(*other).span, name(other));
        }
        out.push(finding);
    }
}

// Nothing of the account, or of those it inherits, was left unread.
fn is_read_whole(exam: &Examination, taxon: TaxonId) -> bool {
    let mut next = Some(taxon);
    for _ in 0..exam.key.taxa.len() {
        let Some(at) = next else { break };
        let own = exam.key.taxon(at);
        if own.parts.iter().any(|p| p.prose.is_some()) {
            return false;
        }
        next = own.above;
    }
    true
}
