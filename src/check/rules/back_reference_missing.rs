//! Couplets of long keys from which nobody can retrace the way.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::key::CoupletId;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A couplet of a long key does not say where it is reached from.
    ///
    /// ## What it finds
    /// In keys of more than ten couplets, couplets without a back-reference (`7a (4)`) that are
    /// reached from elsewhere than the couplet just above. Silent unless it is asked for: `profile
    /// back-references`.
    ///
    /// ## Why it matters
    /// Whoever finds that neither lead fits has taken a wrong turn above, and cannot go back.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   profile   back-references
    ///
    /// key
    ///
    /// 1a  Leaves in pairs; stem square ................. 2
    /// 1b  Leaves one by one; stem round ................ 11
    /// 2a  Petals white; calyx hairy .................... Lamium album
    /// 2b  Petals purple; calyx smooth .................. 3
    /// 3a  Seeds black; capsule long .................... 4
    /// 3b  Seeds brown; capsule round ................... Stachys arvensis
    /// 4a  Stem red; root thick ......................... 5
    /// 4b  Stem green; root thin ........................ Mentha arvensis
    /// 5a  Bracts long; sepals blunt .................... 6
    /// 5b  Bracts short; sepals pointed ................. Ajuga reptans
    /// 6a  Style forked; anthers blue ................... 7
    /// 6b  Style simple; anthers yellow ................. Thymus vulgaris
    /// 7a  Nutlets netted; bristles 2 ................... 8
    /// 7b  Nutlets smooth; bristles 4 ................... Salvia pratensis
    /// 8a  Corolla hooded; anthers hairy ................ 9
    /// 8b  Corolla flat; anthers smooth ................. Origanum vulgare
    /// 9a  Rhizome white; leaves crinkled ............... 10
    /// 9b  Rhizome brown; leaves even ................... Betonica officinalis
    /// 10a  Runners present; bracts green ............... Glechoma hederacea
    /// 10b  Runners none; bracts purple ................. Galeopsis tetrahit
    /// 11a  Sap milky; petals none ...................... Euphorbia peplus
    /// 11b  Sap clear; petals yellow .................... Sinapis arvensis
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   profile   back-references
    ///
    /// key
    ///
    /// 1a  Sap milky; petals none ....................... Euphorbia peplus
    /// 1b  Sap clear; petals yellow ..................... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Write the number of the couplet from which one comes in parentheses after the label.
    /// `hilum tidy --back-references` writes them all.
    ///
    /// ## Source
    /// L. Packer, A survey of keys for the identification of newly described insect genera
    /// (preprint): fewer than one key in five lets the reader retrace. Printed so in the floras of
    /// Thonner 1915 and Schmeil & Fitschen 1922, and in a key to trees of the Wisconsin Department
    /// of Natural Resources; there only where the origin is not the couplet just above.
    "back-reference-missing", Note, Sure, ["back-references", "back references"], examine; style
}

/// Keys of up to so many couplets stand on one page, where the way back is seen at a glance.
const SHORT: usize = 10;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for subkey in exam.key.subkeys.iter().filter(|s| s.couplets.len() > SHORT) {
        for pair in subkey.couplets.windows(2) {
            check(exam, pair[0], pair[1], out);
        }
    }
}

fn check(exam: &Examination, above: CoupletId, id: CoupletId, out: &mut Vec<Finding>) {
    let couplet = exam.couplet(id);
    if couplet.leads.iter().any(|l| l.back.is_some()) {
        return;
    }
    let mut origins: Vec<CoupletId> = exam.graph.origins(id).iter().map(|l| l.couplet).collect();
    origins.dedup();
    origins.retain(|&o| exam.couplet(o).subkey == couplet.subkey);
    if origins.is_empty() || origins == [above] {
        return;
    }
    let names: Vec<String> = origins.iter().map(|&o| exam.couplet(o).name()).collect();
    let place = exam.place(id);
    out.push(
        RULE.at(
            place,
            format!(
                "{} does not say that one comes from {}",
                exam.couplet_name(id),
                list(&names, 4)
            ),
        )
        .why("Whoever took a wrong turn above cannot go back.")
        .remedy("Write it in parentheses after the label; `hilum tidy --back-references` does so.")
        .mend(Span::at(place.end as usize), format!(" ({})", names.join(", "))),
    );
}
