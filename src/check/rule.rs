//! What a rule is: its name, how grave and how certain its findings are, and its own explanation.

use crate::text::finding::{Finding, Severity};
use crate::text::span::Span;

use super::Examination;

/// The headings of every rule's explanation, in their order.
pub const HEADINGS: [&str; 5] = ["What it finds", "Why it matters", "Example", "Remedy", "Source"];

/// How sure a finding is that something is amiss.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// A fact of the text.
    Sure,
    /// Few false alarms.
    Strong,
    /// A hint; legitimate in many keys.
    Weak,
}

/// One thing that can be wrong with a key.
#[derive(Debug)]
pub struct Rule {
    /// Lower case with hyphens, named for the fault and not for its cure.
    pub id: &'static str,
    /// How grave its findings are; some are milder than this, none graver.
    pub severity: Severity,
    pub certainty: Certainty,
    /// The explanation in Markdown: a headline, then the sections of [`HEADINGS`].
    pub doc: &'static str,
    /// The house styles that ask for it; none where it always holds.
    pub asked_by: &'static [&'static str],
    /// `None` where the fault is met while the text is read.
    pub examine: Option<fn(&Examination, &mut Vec<Finding>)>,
}

/// Declares the rule of a file: its doc comment is the text that is printed when the rule is to be
/// explained; then its name, severity, certainty, the profiles that ask for it in brackets, and its
/// function.
macro_rules! rule {
    ($(#[doc = $doc:literal])* $id:literal, $severity:ident, $certainty:ident
     $(, [$($profile:literal),+])? $(, $examine:path)?) => {
        $(#[doc = $doc])*
        pub(super) static RULE: $crate::check::Rule = $crate::check::Rule {
            id: $id,
            severity: $crate::text::finding::Severity::$severity,
            certainty: $crate::check::Certainty::$certainty,
            doc: concat!($($doc, "\n"),*),
            asked_by: &[$($($profile),+)?],
            examine: rule!(@examine $($examine)?),
        };
    };
    (@examine) => { None };
    (@examine $examine:path) => { Some($examine) };
}
pub(super) use rule;

impl Certainty {
    pub fn word(self) -> &'static str {
        match self {
            Certainty::Sure => "sure",
            Certainty::Strong => "strong",
            Certainty::Weak => "weak",
        }
    }
}

impl Rule {
    /// A finding of this rule at its own severity.
    pub fn at(&self, span: Span, what: impl Into<String>) -> Finding {
        Finding::new(self.id, self.severity, span, what)
    }

    /// Whether the rule holds under these profiles. A rule's own name is a profile too.
    pub fn is_asked<'a>(&self, profiles: impl IntoIterator<Item = &'a str>) -> bool {
        self.asked_by.is_empty()
            || profiles.into_iter().any(|p| {
                let p = p.trim();
                self.id.eq_ignore_ascii_case(p)
                    || self.asked_by.iter().any(|a| a.eq_ignore_ascii_case(p))
            })
    }

    /// The explanation without the blank that a doc comment's lines begin with.
    pub fn explanation(&self) -> String {
        let mut out = String::with_capacity(self.doc.len());
        for line in self.doc.lines() {
            out.push_str(line.strip_prefix(' ').unwrap_or(line));
            out.push('\n');
        }
        out
    }

    /// The first line of the explanation.
    pub fn headline(&self) -> &'static str {
        self.doc.lines().next().unwrap_or("").trim()
    }

    /// The text under one of [`HEADINGS`]; empty where it is missing.
    pub fn section(&self, heading: &str) -> String {
        let explanation = self.explanation();
        let mut lines = explanation.lines();
        if !lines.any(|l| l.strip_prefix("## ") == Some(heading)) {
            return String::new();
        }
        let own: Vec<&str> = lines.take_while(|l| !l.starts_with("## ")).collect();
        own.join("\n").trim().to_string()
    }

    /// Where the rule was published, or that it is ours.
    pub fn source(&self) -> String {
        self.section("Source")
    }
}
