//! The one shape of every message about a key: where, what, why it matters, and what to do.

use serde::Serialize;

use super::span::Span;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Good to know; legitimate in many keys.
    Note,
    /// Likely a mistake; a careful editor would look.
    Warning,
    /// The key cannot be used as it is meant.
    Error,
}

impl Severity {
    pub fn word(self) -> &'static str {
        match self {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Error => "error",
        }
    }
}

/// A further place that belongs to a finding, with its own words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Related {
    pub span: Span,
    pub words: String,
}

/// A change of the text that would mend the fault.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mend {
    pub span: Span,
    pub replacement: String,
}

/// One thing found in one file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The rule's name, in lower case with hyphens, named for the fault.
    pub rule: &'static str,
    pub severity: Severity,
    pub span: Span,
    /// What is wrong, in a sentence that can stand alone.
    pub what: String,
    /// Why it matters; may be empty where `what` says it.
    pub why: String,
    /// What to do.
    pub remedy: String,
    pub related: Vec<Related>,
    pub mend: Option<Mend>,
    /// The writer's reason, where an `intended` note answers this finding.
    pub intended: Option<String>,
}

impl Finding {
    pub fn new(
        rule: &'static str,
        severity: Severity,
        span: Span,
        what: impl Into<String>,
    ) -> Self {
        Finding {
            rule,
            severity,
            span,
            what: what.into(),
            why: String::new(),
            remedy: String::new(),
            related: Vec::new(),
            mend: None,
            intended: None,
        }
    }

    pub fn error(rule: &'static str, span: Span, what: impl Into<String>) -> Self {
        Finding::new(rule, Severity::Error, span, what)
    }

    pub fn warning(rule: &'static str, span: Span, what: impl Into<String>) -> Self {
        Finding::new(rule, Severity::Warning, span, what)
    }

    pub fn note(rule: &'static str, span: Span, what: impl Into<String>) -> Self {
        Finding::new(rule, Severity::Note, span, what)
    }

    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }

    pub fn related(mut self, span: Span, words: impl Into<String>) -> Self {
        self.related.push(Related { span, words: words.into() });
        self
    }

    pub fn mend(mut self, span: Span, replacement: impl Into<String>) -> Self {
        self.mend = Some(Mend { span, replacement: replacement.into() });
        self
    }
}

/// Orders findings by place, then severity (worst first), then rule, and drops exact repeats.
pub fn settle(findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| {
        (a.span, std::cmp::Reverse(a.severity), a.rule, &a.what).cmp(&(
            b.span,
            std::cmp::Reverse(b.severity),
            b.rule,
            &b.what,
        ))
    });
    findings.dedup();
}
