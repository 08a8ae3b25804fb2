//! Keys of strict pairs, printed indented.

use super::profile;

profile! {
    /// Strict pairs of parallel leads, the shorter branch first, fit for indented print.
    ///
    /// ## What it asks
    /// Two leads in every couplet: polytomies are not accepted. Each feature that one lead names is
    /// contrasted in the other, in the same order. The lead behind which fewer taxa stand comes
    /// first. Geography stands last and never alone. All accepted taxa are keyed (give the list with
    /// `--taxa`). Printed indented, so no couplet is reached from two places.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7 (Missouri Botanical Garden):
    /// 7.1 all accepted taxa, 7.2 pairs, parallel leads and the shorter branch first, 7.3 geography.
    /// That couplets with two origins do not suit an indented key follows from the layout.
    "strict pairs",
    "feature-without-contrast" Warning,
    "features-in-another-order" Warning,
    "geography-alone" Error,
    "geography-not-last" Warning,
    "longer-branch-first" Warning,
    "shared-couplet" Warning,
    "three-leads" Error,
}
