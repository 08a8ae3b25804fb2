//! Keys as they are written in class.

use super::profile;

profile! {
    /// Plain pairs for learners: same first word, nothing vague, the positive lead first.
    ///
    /// ## What it asks
    /// Strictly two leads. Both begin with the same word, and it names a part of the plant; couplets
    /// that follow each other begin with different words. No verbs; characters parted by semicolons.
    /// The first lead is positive. Sizes are given in figures, never as large or small; ranges do not
    /// overlap. Words such as `usually` do not stand on the only character. The title says what is
    /// covered, and when.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, laboratory handout on the construction of keys,
    /// rules 1 to 7, and its hints for using keys; Michigan State University, PLB 418, on parallel
    /// leads; Teaching the construction of dichotomous keys, NACTA Journal 29(4), 1985.
    "classroom",
    "bare-negation" Warning,
    "first-words-differ" Warning,
    "hedged-sole-character" Error,
    "lead-opens-without-part" Warning,
    "mixed-punctuation" Warning,
    "negative-first" Warning,
    "not-as-above" Error,
    "relative-size" Error,
    "same-opening-as-above" Warning,
    "scope-not-said" Warning,
    "season-not-said" Warning,
    "three-leads" Error,
    "verb-in-lead" Warning,
}
