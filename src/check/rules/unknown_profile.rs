//! House styles that do not exist.

use crate::check::Examination;
use crate::check::profiles;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// The heading names a house style that does not exist.
    ///
    /// ## What it finds
    /// A word after `profile` that is neither a house style nor a rule. Blanks and hyphens count as
    /// the same.
    ///
    /// ## Why it matters
    /// What it was to ask for is not looked at, and the key seems to pass.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   strickt pairs
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   strict pairs
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Write one of the styles or rules that `hilum check --rules` lists.
    ///
    /// ## Source
    /// Ours.
    "unknown-profile", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let heading = &exam.key.heading;
    for (name, span) in heading.profile.iter().zip(&heading.profile_places) {
        if profiles::is_known(name) {
            continue;
        }
        let mut finding = RULE
            .at(*span, format!("there is no house style `{name}`"))
            .why("Nothing of what it was to ask for is looked at.")
            .remedy("The list of styles and rules: hilum check --rules");
        if let Some(near) = profiles::nearest(name) {
            finding = finding
                .remedy(format!("Did you mean `{near}`? The list: hilum check --rules"))
                .mend(*span, near);
        }
        out.push(finding);
    }
}
