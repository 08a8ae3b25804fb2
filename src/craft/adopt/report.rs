//! What adopting a manuscript has to tell.

use serde::Serialize;

use super::draft::{Oddity, Repair};
use super::line::Kind;
use super::score::Score;
use crate::text::finding::Severity;

/// Text of the manuscript that is not in the key.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The manuscript's line (paragraph in a Word document); 0 where it has none.
    pub line: u32,
    pub text: String,
    pub why: &'static str,
}

impl LeftOut {
    pub fn new(line: u32, text: &str, why: &'static str) -> LeftOut {
        LeftOut { line, text: super::line::tidy_blanks(text), why }
    }
}

/// The whole report of one manuscript.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    pub manuscript: String,
    pub kind: Kind,
    pub encoding: &'static str,
    pub language: &'static str,
    pub layout: Recognised,
    pub counts: Counts,
    pub words: WordCount,
    pub left_out: Vec<LeftOut>,
    pub repairs: Vec<Repair>,
    pub faults: Vec<Fault>,
    pub questions: Vec<Question>,
    /// For each lead of the key file, in order: its label there and the manuscript's lines.
    pub leads: Vec<LeadLines>,
}

/// Which layout was taken, and why.
#[derive(Clone, Debug, Serialize)]
pub struct Recognised {
    pub name: &'static str,
    pub told: &'static str,
    /// Named by the writer rather than recognised.
    pub asked_for: bool,
    pub why: Vec<String>,
    pub score: Score,
    /// The layout that came next, with its score.
    pub runner_up: Option<(&'static str, f64)>,
    /// How much better than the next, from 0 to 1.
    pub margin: f64,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub keys: usize,
    pub couplets: usize,
    pub leads: usize,
    /// Leads that end with a name.
    pub endpoints: usize,
    /// Different names at them.
    pub names: usize,
    pub polytomies: usize,
    /// Couplets on the longest way through, over all keys.
    pub depth: usize,
    pub stops: usize,
    pub dead_ends: usize,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct WordCount {
    pub manuscript: usize,
    pub in_key: usize,
    pub left_out: usize,
    /// Letters and figures that are in neither; always 0 but for a fault of this program.
    pub unaccounted: usize,
}

/// A fault of the manuscript, at its own lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    pub line: u32,
    pub rule: String,
    pub severity: Severity,
    pub what: String,
    pub why: String,
    pub remedy: String,
}

impl From<&Oddity> for Fault {
    fn from(o: &Oddity) -> Fault {
        Fault {
            line: o.line,
            rule: o.rule.to_string(),
            severity: Severity::Warning,
            what: o.what.clone(),
            why: String::new(),
            remedy: o.remedy.clone(),
        }
    }
}

/// Where signs disagree: what is open, and what may be said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Question {
    pub about: &'static str,
    pub what: String,
    /// The answers, the one that was taken first.
    pub answers: Vec<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeadLines {
    pub label: String,
    pub lines: Vec<u32>,
}
