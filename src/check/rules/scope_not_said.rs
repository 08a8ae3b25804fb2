//! Titles that do not say of which plants, or of what place.

use crate::check::Examination;
use crate::check::lists::{self, Kinds};
use crate::check::rule::rule;
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// Neither title nor heading says what the key covers.
    ///
    /// ## What it finds
    /// Files whose heading has no `place`, and whose title has no word such as `of`, `in` or `from`
    /// that begins to say it.
    ///
    /// ## Why it matters
    /// A key can only name what is in it. Whoever takes the wrong key arrives at a name all the
    /// same.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees
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
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Say in the title which plants of which place are keyed; or add `place` to the heading.
    ///
    /// ## Source
    /// A school handout on keys; C. H. Otis 1915, whose keys are titled by season. That a key can
    /// only name what is in it: H. Oldroyd 1958, on keys, as adapted in a course.
    "scope-not-said", Note, Sure, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let heading = &exam.key.heading;
    let Some(lists) = lists::of(heading.language) else { return };
    let says = |word: &str| lists.kinds(word).has(Kinds::SCOPE);
    if heading.title.is_empty()
        || heading.place.is_some()
        || exam.key.couplets.is_empty()
        || fold(&heading.title).split(' ').any(says)
    {
        return;
    }
    out.push(
        RULE.at(exam.title_place(), "neither title nor heading says what the key covers")
            .why("Whoever takes the wrong key arrives at a name all the same.")
            .remedy("Say in the title which plants of which place; or add `place` to the heading."),
    );
}
