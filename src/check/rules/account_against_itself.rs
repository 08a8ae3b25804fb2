//! Accounts that describe what they say is not there.

use std::collections::BTreeSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// An account describes a character whose condition it denies.
    ///
    /// ## What it finds
    /// A statement about a character that applies only where another holds, in an account that
    /// says of that other that it does not hold. What a group's account says is set aside by the
    /// nearer one and is no contradiction.
    ///
    /// ## Why it matters
    /// One of the two is a slip, and a plant held against the account contradicts it either way.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    present, none
    ///
    /// petal colour: Petals _
    ///   states    red, white
    ///   applies   where petals present
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Leaves lobed ........................ Papaver rhoeas
    /// 1b  Leaves entire ....................... Rumex acetosa
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   Petals present, red; leaves lobed.
    ///
    /// Rumex acetosa L.
    ///   Petals none; petals red; leaves entire.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    present, none
    ///
    /// petal colour: Petals _
    ///   states    red, white
    ///   applies   where petals present
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Leaves lobed ........................ Papaver rhoeas
    /// 1b  Leaves entire ....................... Rumex acetosa
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   Petals present, red; leaves lobed.
    ///
    /// Rumex acetosa L.
    ///   Petals none; leaves entire.
    /// ```
    ///
    /// ## Remedy
    /// Correct one of the two statements, or the `applies` of the character.
    ///
    /// ## Source
    /// Ours.
    "account-against-itself", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut told = BTreeSet::new();
    for run in &exam.courses().of {
        for denial in &run.forms.denials {
            // An inherited contradiction is told once.
            if !told.insert((denial.span, denial.denied)) {
                continue;
            }
            let name = &exam.key.character(denial.character).name;
            let condition = &exam.key.character(denial.condition).name;
            out.push(
                RULE.at(
                    denial.span,
                    format!("`{name}` is described, but by what is said of `{condition}` it does not apply"),
                )
                .why("One of the two statements is a slip.")
                .remedy("Correct one of them, or the `applies` of the character.")
                .related(denial.denied, format!("what is said of `{condition}`")),
            );
        }
    }
}
