//! Pointers into files that were not read.

use crate::check::Examination;
use crate::check::beside::{Found, follow};
use crate::check::rule::rule;
use crate::key::Outcome;
use crate::text::finding::Finding;

rule! {
    /// A lead points into another file, which was not read.
    ///
    /// ## What it finds
    /// `key to the grasses in grasses.key` where the heading does not say `uses  grasses.key` and
    /// the file was not given with this one. No file is opened that is not named in one of these
    /// ways.
    ///
    /// ## Why it matters
    /// Whether the pointer leads anywhere could not be looked into; and a reader of this key alone
    /// ends there.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Leaves in two rows, stems jointed .... key to the grasses in grasses.key
    /// 1b  Leaves in a rosette ................. Plantago major
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Leaves in two rows, stems jointed .... key to the grasses
    /// 1b  Leaves in a rosette ................. Plantago major
    ///
    /// key to the grasses
    ///
    /// 1a  Ears flat ........................... Lolium perenne
    /// 1b  Ears round .......................... Hordeum murinum
    /// ```
    ///
    /// ## Remedy
    /// Write `uses  grasses.key` under the title, or give both files to the program.
    ///
    /// ## Source
    /// Ours.
    "file-not-read", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, lead) in exam.key.leads() {
        let Outcome::Elsewhere { file, .. } = &lead.outcome else { continue };
        if !matches!(follow(exam.key, id, exam.beside), Some(Found::NoFile)) {
            continue;
        }
        let named = exam.key.heading.uses.iter().any(|u| u.trim() == file.trim());
        let (why, remedy) = if named {
            (
                "The heading names it, but it could not be read.",
                format!("See that {file} stands in the folder of this file."),
            )
        } else {
            (
                "Whether this lead comes to anything could not be looked into.",
                format!("Write `uses  {file}` under the title, or give both files to the program."),
            )
        };
        let what = format!("{} points into {file}, which was not read", exam.lead_name(id));
        out.push(RULE.at(exam.outcome_place(id), what).why(why).remedy(remedy));
    }
}
