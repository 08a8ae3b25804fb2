//! What is wrong in a ledger: a finding with the file and the line that a person opens.

use serde::Serialize;

use crate::text::finding::{Finding, Severity};
use crate::text::span::Span;

/// A finding in a file of the notebook.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The file's path inside the notebook, with `/` between folders.
    pub file: String,
    /// Counted from 1.
    pub line: usize,
    pub finding: Finding,
}

impl Fault {
    pub fn new(
        rule: &'static str,
        severity: Severity,
        file: &str,
        line: usize,
        what: impl Into<String>,
    ) -> Fault {
        let finding = Finding::new(rule, severity, Span::default(), what);
        Fault { file: file.to_string(), line, finding }
    }

    pub fn why(mut self, why: impl Into<String>) -> Fault {
        self.finding = self.finding.why(why);
        self
    }

    pub fn remedy(mut self, remedy: impl Into<String>) -> Fault {
        self.finding = self.finding.remedy(remedy);
        self
    }
}

/// `records/ashdown-2026.yaml:14: error: ...`, then why and what to do, each on its own line.
impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let Finding { severity, what, why, remedy, .. } = &self.finding;
        write!(f, "{}:{}: {}: {what}", self.file, self.line, severity.word())?;
        for words in [why, remedy] {
            if !words.is_empty() {
                write!(f, "\n  {words}")?;
            }
        }
        Ok(())
    }
}
