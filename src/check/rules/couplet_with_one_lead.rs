//! A couplet that offers no choice.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A couplet has only one lead, so there is nothing to choose.
    ///
    /// ## What it finds
    /// A number that stands before one lead only.
    ///
    /// ## Why it matters
    /// A plant that does not fit the one lead has nowhere to go. Most often the second lead was lost
    /// in copying, ran together with the first, or bears a mistyped number.
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
    /// Write the other lead. Where there is none to write, take the couplet out and let the lead
    /// that points to it point to this lead's outcome.
    ///
    /// ## Source
    /// Follows from what a couplet is; met in printed floras of 1901-1922 (own count).
    "couplet-with-one-lead", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, couplet) in exam.key.couplets().filter(|(_, c)| c.leads.len() == 1) {
        let next =
            (couplet.leads[0].label.letter == Some('a')).then(|| format!("{}b", couplet.name()));
        let remedy = match next {
            Some(label) => format!("Write lead {label}; if it is there, look at its label."),
            None => "Write the other lead; if it is there, look at its label.".to_string(),
        };
        out.push(
            RULE.at(exam.place(id), format!("{} has only one lead", exam.couplet_name(id)))
                .why("A plant that does not fit it has nowhere to go.")
                .remedy(remedy),
        );
    }
}
