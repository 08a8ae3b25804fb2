//! What leads begin with that do not begin with a part of the plant, and verbs that they can do
//! without.

pub(super) const OPENERS: &str = "\
    bearing has have having it lacking possessing producing showing there they this usually \
    with without";

pub(super) const VERBS: &str = "\
    are bear become do had has have is possess was were";
