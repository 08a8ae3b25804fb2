//! Ways to say "everything else" instead of a character.

/// As the reader compares them: nouns in the singular, without articles and forms of "to be".
pub(super) const DISMISSALS: &[&str] = &[
    "all other",
    "any other combination",
    "character other than above",
    "disagreeing with",
    "not agree",
    "lacking above",
    "lacking this combination",
    "none of above",
    "not agreeing with",
    "not all as above",
    "not as above",
    "not as in",
    "not combined as above",
    "not having above",
    "not matching",
    "not so",
    "not this combination",
    "not with above",
    "other combination",
    "other than above",
    "otherwise",
    "without above",
    "without this combination",
    "without these character",
];
