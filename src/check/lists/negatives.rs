//! Denials besides the `not` of the language table.

pub(super) const NEGATIVES: &str = "\
    absent destitute devoid lacking missing neither never no none nor not wanting without";
