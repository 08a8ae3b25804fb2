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
    /// Short names under which it is asked for, besides its own name and the house styles; none
    /// where it always holds.
    pub asked_by: &'static [&'static str],
    /// It judges how the key is written; what breaks it can be a sound key. An example of another
    /// rule, and a manuscript that is adopted, need not pass.
    pub style: bool,
    /// `None` where the fault is met while the text is read.
    pub examine: Option<fn(&Examination, &mut Vec<Finding>)>,
}

/// Declares the rule of a file: its doc comment is the text that is printed when the rule is to be
/// explained; then its name, severity, certainty, where it must be asked for its short names in
/// brackets, its function, and `; style` where it is a matter of style.
macro_rules! rule {
    ($(#[doc = $doc:literal])* $id:literal, $severity:ident, $certainty:ident
     $(, [$($profile:literal),+])? $(, $examine:path)? $(; $style:ident)?) => {
        $(#[doc = $doc])*
        pub(super) static RULE: $crate::check::Rule = $crate::check::Rule {
            id: $id,
            severity: $crate::text::finding::Severity::$severity,
            certainty: $crate::check::Certainty::$certainty,
            doc: concat!($($doc, "\n"),*),
            asked_by: &[$($($profile),+)?],
            style: rule!(@style $($style)?),
            examine: rule!(@examine $($examine)?),
        };
    };
    (@style) => { false };
    (@style style) => { true };
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

    /// The explanation without the blank that a doc comment's lines begin with.
    pub fn explanation(&self) -> String {
        without_margin(self.doc)
    }

    /// The first line of the explanation.
    pub fn headline(&self) -> &'static str {
        self.doc.lines().next().unwrap_or("").trim()
    }

    /// The text under one of [`HEADINGS`]; empty where it is missing.
    pub fn section(&self, heading: &str) -> String {
        section(self.doc, heading)
    }

    /// Where the rule was published, or that it is ours.
    pub fn source(&self) -> String {
        self.section("Source")
    }
}

/// A doc comment without the blank that its lines begin with.
pub(super) fn without_margin(doc: &str) -> String {
    let mut out = String::with_capacity(doc.len());
    for line in doc.lines() {
        out.push_str(line.strip_prefix(' ').unwrap_or(line));
        out.push('\n');
    }
    out
}

/// The text of a doc comment under one heading; empty where it is missing.
pub(super) fn section(doc: &str, heading: &str) -> String {
    let explanation = without_margin(doc);
    let mut lines = explanation.lines();
    if !lines.any(|l| l.strip_prefix("## ") == Some(heading)) {
        return String::new();
    }
    let own: Vec<&str> = lines.take_while(|l| !l.starts_with("## ")).collect();
    own.join("\n").trim().to_string()
}
