//! Routes that come back to where they were.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::SubkeyId;
use crate::key::couplet::Place;
use crate::key::graph::Circle;
use crate::text::finding::Finding;

rule! {
    /// A route leads back to a couplet that it has already left.
    ///
    /// ## What it finds
    /// Leads that, followed one after the other, come back to where they began. Of routes that share
    /// couplets the shortest is shown that begins at the first of them.
    ///
    /// ## Why it matters
    /// A reader who takes this route reads the same couplets for ever. Nearly always one pointer has
    /// a number that is too low.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... 1
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Look at each pointer of the route, the one that leads backwards first.
    ///
    /// ## Source
    /// "Should not be used to create cycles": discussion of keys as directed graphs in the open
    /// standard TDWG 116. Met once in print (own count).
    "circular-route", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for circle in exam.circles() {
        let Some(&last) = circle.leads.last() else { continue };
        let begins = match circle.at {
            Place::Couplet(c) => exam.place(c),
            Place::Lead(l) => exam.lead(l).label.span,
        };
        // The back-reference of a couplet that lost its pointer may tell that this one is wrong.
        let remedy = match exam.claims().doubted.get(&last) {
            Some(&couplet) => format!(
                "The back-reference of couplet {} names {}: should this lead there?",
                exam.couplet(couplet).name(),
                exam.couplet(last.couplet).name(),
            ),
            None => "Look at each pointer of the route, this one first.".to_string(),
        };
        out.push(
            RULE.at(
                exam.outcome_place(last),
                format!("the route {} goes round in a circle", route(exam, circle)),
            )
            .why("Whoever takes it reads the same couplets again and again.")
            .remedy(remedy)
            .related(begins, "the circle begins here"),
        );
    }
}

// 3a → 7b → 3; a change of key is named; the middle of a long route is counted.
fn route(exam: &Examination, circle: &Circle) -> String {
    let mut within: Option<SubkeyId> = None;
    let mut name = |subkey: SubkeyId, label: String| {
        let changed = within.is_some_and(|w| w != subkey);
        within = Some(subkey);
        if changed { format!("`{}` {label}", exam.head(subkey)) } else { label }
    };
    let mut steps: Vec<String> = circle
        .leads
        .iter()
        .map(|&l| name(exam.couplet(l.couplet).subkey, exam.key.lead_name(l)))
        .collect();
    if let Place::Couplet(c) = circle.at {
        steps.push(name(exam.couplet(c).subkey, exam.couplet(c).name()));
    } else if let Some(&first) = circle.leads.first() {
        steps.push(name(exam.couplet(first.couplet).subkey, exam.key.lead_name(first)));
    }
    if steps.len() > 12 {
        let left_out = steps.len() - 9;
        steps.splice(5..steps.len() - 4, [format!("({left_out} more)")]);
    }
    steps.join(" → ")
}
