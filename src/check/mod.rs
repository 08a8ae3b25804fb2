//! A key under examination: one rule a file, each with its source, its certainty and its remedy.
//!
//! Looks at a key and never changes it. Knows nothing of specimens, of a terminal or of files.

mod accepted;
mod answers;
mod beside;
mod branches;
mod claims;
mod examination;
mod lists;
mod names;
pub mod profiles;
pub mod reason;
mod rule;
pub mod rules;
pub mod study;
mod watch;
mod wording;

use std::collections::BTreeMap;

use serde::Serialize;

use crate::key::{Figures, Key};
use crate::text::finding::{Finding, Severity, settle};

use profiles::Asked;

pub use accepted::Accepted;
pub use examination::{Examination, NotExamined};
pub use rule::{Certainty, HEADINGS, Rule};
pub use watch::Watch;

/// What an examination is given besides the key itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options<'a> {
    /// The other files at hand, so that pointers from file to file can be followed.
    pub beside: &'a [&'a Key],
    /// House styles and single rules, in addition to those that the key's heading names under
    /// `profile`.
    pub profiles: &'a [String],
    /// Where long work is watched and can be broken off.
    pub watch: Option<&'a Watch>,
    /// The taxa that the key should cover.
    pub accepted: Option<&'a Accepted>,
}

/// What an examination found.
#[derive(Clone, Debug)]
pub struct Report {
    /// Faults of reading and of meaning, in the order of the text; those that the writer answers
    /// with `intended` among them.
    pub findings: Vec<Finding>,
    pub figures: Figures,
    /// How many findings of each rule are answered in the text.
    pub answered: BTreeMap<&'static str, usize>,
    /// The work was broken off: these rules were not applied, or only in part.
    pub not_applied: Vec<&'static str>,
    /// What faults of the key kept from being examined.
    pub not_examined: Vec<NotExamined>,
}

/// How many findings of each severity are open, and how many are answered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub errors: usize,
    pub warnings: usize,
    pub notes: usize,
    pub answered: usize,
}

/// Applies every rule to `key`.
pub fn examine(key: &Key, options: &Options) -> Report {
    let idle = Watch::new();
    let watch = options.watch.unwrap_or(&idle);
    let exam = Examination::watched(key, options.beside, options.accepted, watch);
    examine_all(&exam, options)
}

/// Applies every rule to a key whose examination was begun.
pub fn examine_all(exam: &Examination, options: &Options) -> Report {
    let key = exam.key;
    let mut findings = key.findings.clone();
    let mut not_applied = Vec::new();
    for rule in rules::ALL {
        let Some(examine) = rule.examine else { continue };
        if !exam.watch().stopped() {
            examine(exam, &mut findings);
        }
        if exam.watch().stopped() {
            not_applied.push(rule.id);
        }
    }
    // A rule that nobody asks for runs too, so that an answer to it is not called idle.
    answers::apply(exam, &mut findings);
    if !not_applied.is_empty() {
        // What an answer speaks of may not have been looked for.
        findings.retain(|f| f.rule != "answer-without-question");
    }
    let named = key.heading.profile.iter().chain(options.profiles);
    let asked = Asked::of(named.map(String::as_str));
    findings.retain(|f| rules::find(f.rule).is_none_or(|r| asked.holds(r)));
    for f in &mut findings {
        f.severity = f.severity.max(asked.least(f.rule).unwrap_or(f.severity));
    }
    settle(&mut findings);
    let mut answered = BTreeMap::new();
    for f in findings.iter().filter(|f| f.intended.is_some()) {
        *answered.entry(f.rule).or_default() += 1;
    }
    let figures = Figures::of(key, &exam.graph);
    let not_examined = exam.not_examined();
    Report { findings, figures, answered, not_applied, not_examined }
}

impl Report {
    /// The findings that nobody has answered.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| f.intended.is_none())
    }

    /// All findings as an editor should meet them: errors first, then warnings, then notes; in each,
    /// what is sure before what is likely, then in the order of the text.
    pub fn by_weight(&self) -> Vec<&Finding> {
        let mut all: Vec<&Finding> = self.findings.iter().collect();
        let certainty = |f: &Finding| rules::find(f.rule).map(|r| r.certainty as u8);
        all.sort_by_key(|f| (std::cmp::Reverse(f.severity), certainty(f), f.span));
        all
    }

    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for f in &self.findings {
            match (f.intended.is_some(), f.severity) {
                (true, _) => counts.answered += 1,
                (false, Severity::Error) => counts.errors += 1,
                (false, Severity::Warning) => counts.warnings += 1,
                (false, Severity::Note) => counts.notes += 1,
            }
        }
        counts
    }
}

impl std::ops::AddAssign for Counts {
    fn add_assign(&mut self, other: Counts) {
        self.errors += other.errors;
        self.warnings += other.warnings;
        self.notes += other.notes;
        self.answered += other.answered;
    }
}
