//! Keys that take many more decisions than they need to.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::Figures;
use crate::text::finding::Finding;

rule! {
    /// The routes of the key are much longer than they need to be.
    ///
    /// ## What it finds
    /// Keys with eight end points or more whose mean number of decisions is more than half again
    /// the least possible for as many end points with two leads a couplet. One note a file, with the
    /// figures.
    ///
    /// ## Why it matters
    /// At each couplet some readers go wrong: of a hundred who take the right lead 95 times in 100,
    /// 60 are still right after ten couplets, 36 after twenty. But a key that throws the common and
    /// striking plants out first, or keeps kin together, is longer for good reason.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Sap milky; petals none ............ Euphorbia peplus
    /// 1b  Sap clear; petals present ......... 2
    /// 2a  Stem square; calyx hairy .......... Lamium album
    /// 2b  Stem round; calyx smooth .......... 3
    /// 3a  Petals blue; seeds 4 .............. Veronica persica
    /// 3b  Petals yellow or white; seeds 8 ... 4
    /// 4a  Petals yellow; fruit long ......... Sinapis arvensis
    /// 4b  Petals white; fruit round ......... 5
    /// 5a  Petals 4; stamens 6 ............... Capsella bursa-pastoris
    /// 5b  Petals 5; stamens 10 .............. 6
    /// 6a  Petals split; styles 3 ............ Stellaria media
    /// 6b  Petals whole; styles 5 ............ 7
    /// 7a  Stem sticky; calyx swollen ........ Silene noctiflora
    /// 7b  Stem smooth; calyx narrow ......... 8
    /// 8a  Leaves in rings; seeds winged ..... Spergula arvensis
    /// 8b  Leaves in pairs; seeds rough ...... 9
    /// 9a  Sepals joined; petals notched ..... Agrostemma githago
    /// 9b  Sepals free; petals pointed ....... 10
    /// 10a  Bracts dry; capsule with teeth ... Cerastium arvense
    /// 10b  Bracts green; capsule smooth ..... Arenaria serpyllifolia
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Sap milky; petals none ............ Euphorbia peplus
    /// 1b  Sap clear; petals present ......... 2
    ///
    /// 2a  Stem square; calyx hairy .......... Lamium album
    /// 2b  Stem round; calyx smooth .......... Veronica persica
    /// ```
    ///
    /// ## Remedy
    /// Look for a couplet near the beginning that parts the taxa more evenly; nothing, where the
    /// order has its reason.
    ///
    /// ## Source
    /// C. H. Otis 1915, preface to a printed key: divide about evenly, but do not make a rule of it.
    /// The least mean for n end points: D. E. Knuth, The Art of Computer Programming 3, 5.3.1.
    /// Printed keys reach depths of 18 to 27 (own count). That half again is much is ours.
    "lopsided-key", Note, Sure, examine; style
}

/// In smaller keys a long route is soon walked.
const FEW: usize = 8;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let figures = Figures::of(exam.key, &exam.graph);
    let (Some(routes), Some(least)) = (figures.routes, figures.least) else { return };
    if figures.end_points_reached < FEW || routes.mean <= 1.5 * least.mean {
        return;
    }
    out.push(
        RULE.at(
            exam.title_place(),
            format!(
                "a name takes {:.1} decisions in the mean and {} at most, where {:.1} and {} could do",
                routes.mean, routes.deepest, least.mean, least.deepest
            ),
        )
        .why("With every decision more readers have gone wrong.")
        .remedy("Part the taxa more evenly near the beginning, unless the order has its reason."),
    );
}
