//! Keys that need flowers or fruits and do not say when they can be used.

use crate::check::Examination;
use crate::check::examination::counted;
use crate::check::lists::{self, Kinds};
use crate::check::rule::rule;
use crate::check::rules::flower_and_fruit;
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// Some couplets need flowers or fruits, and the heading does not say when the key can be used.
    ///
    /// ## What it finds
    /// Files without `season` in the heading and without a word such as `flowering`, `winter` or
    /// `seeds` in the title, in which couplets can only be answered with flowers, or only with
    /// fruits or seeds. One note a file.
    ///
    /// ## Why it matters
    /// Whoever opens it out of season goes some way and is stuck.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ Papaver rhoeas
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   season    May to August, in flower
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ Papaver rhoeas
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    /// ```
    ///
    /// ## Remedy
    /// Write `season` into the heading; or use characters that are there all the year.
    ///
    /// ## Source
    /// A school handout: use characters present year round, and if not, say so in the title. C. H.
    /// Otis 1915, whose summer and winter keys are apart.
    "season-not-said", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let heading = &exam.key.heading;
    let Some(lists) = lists::of(heading.language) else { return };
    let singular = heading.language.singular;
    let said = fold(&heading.title)
        .split(' ')
        .any(|w| lists.kinds(&singular(w)).has(Kinds::SEASON.and(Kinds::MONTH)));
    if heading.season.is_some() || said {
        return;
    }
    let (mut flowers, mut fruits) = (0, 0);
    for (id, _) in exam.key.couplets() {
        let (flower, fruit) = flower_and_fruit::needs(exam, id);
        flowers += usize::from(flower);
        fruits += usize::from(fruit);
    }
    let needs = match (flowers, fruits) {
        (0, 0) => return,
        (n, 0) => format!("{} can only be answered with flowers", counted(n, "couplet")),
        (0, n) => format!("{} can only be answered with fruits", counted(n, "couplet")),
        (n, m) => format!(
            "{} can only be answered with flowers and {m} with fruits",
            counted(n, "couplet")
        ),
    };
    out.push(
        RULE.at(exam.title_place(), format!("{needs}; the heading does not say when"))
            .why("Whoever opens the key out of season goes some way and is stuck.")
            .remedy("Write `season` into the heading."),
    );
}
