//! House styles: which rules an editor asks for, and how much each then matters. One file a style.
//!
//! A style is picked in the heading of a key (`profile  strict pairs`) or on the command line. The
//! name of a single rule does as well: `profile  longer-branch-first`.

mod bracketed_flora;
mod classroom;
mod strict_pairs;

use std::collections::BTreeMap;

use crate::text::finding::Severity;
use crate::text::language::fold;

use super::rule::{Rule, section};
use super::rules;

/// A house style.
#[derive(Debug)]
pub struct Profile {
    /// As it is written after `profile`, in lower case with blanks.
    pub name: &'static str,
    /// The explanation in Markdown: a headline, then `## What it asks` and `## Source`.
    pub doc: &'static str,
    /// The rules that it asks for, in the order of their names, and the least severity of their
    /// findings under it.
    pub rules: &'static [(&'static str, Severity)],
}

/// The headings of every style's explanation.
pub const HEADINGS: [&str; 2] = ["What it asks", "Source"];

/// Every style, in the order of their names.
pub static ALL: &[&Profile] =
    &[&bracketed_flora::PROFILE, &classroom::PROFILE, &strict_pairs::PROFILE];

/// Declares the style of a file: its doc comment is the text that is printed when it is to be
/// explained; then its name and its rules.
macro_rules! profile {
    ($(#[doc = $doc:literal])* $name:literal, $($rule:literal $severity:ident),+ $(,)?) => {
        $(#[doc = $doc])*
        pub(super) static PROFILE: $crate::check::profiles::Profile =
            $crate::check::profiles::Profile {
                name: $name,
                doc: concat!($($doc, "\n"),*),
                rules: &[$(($rule, $crate::text::finding::Severity::$severity)),+],
            };
    };
}
use profile;

impl Profile {
    /// The explanation without the blank that a doc comment's lines begin with.
    pub fn explanation(&self) -> String {
        super::rule::without_margin(self.doc)
    }

    /// The first line of the explanation.
    pub fn headline(&self) -> &'static str {
        self.doc.lines().next().unwrap_or("").trim()
    }

    /// The text under one of [`HEADINGS`]; empty where it is missing.
    pub fn section(&self, heading: &str) -> String {
        section(self.doc, heading)
    }
}

/// The style of a name; case, blanks and hyphens do not matter.
pub fn find(name: &str) -> Option<&'static Profile> {
    let name = plain(name);
    ALL.iter().copied().find(|p| p.name == name)
}

/// Whether a name stands for a style, or for a rule that can be asked for by its own.
pub fn is_known(name: &str) -> bool {
    find(name).is_some() || named_rule(name).is_some()
}

/// The style or rule whose name is nearest to a misspelt one, if any is near.
pub fn nearest(name: &str) -> Option<&'static str> {
    let plain = plain(name);
    let asked = rules::ALL.iter().flat_map(|r| r.asked_by.iter().copied());
    let names = ALL.iter().map(|p| p.name).chain(asked);
    let near = names.map(|n| (strsim::osa_distance(n, &plain), n)).min()?;
    (near.0 * 3 <= near.1.len())
        .then_some(near.1)
        .or_else(|| rules::nearest(&plain.replace(' ', "-")))
}

/// What the styles and rules that are named ask for together.
#[derive(Debug, Default)]
pub(super) struct Asked {
    rules: BTreeMap<&'static str, Severity>,
}

impl Asked {
    /// Names that stand for nothing are left out: a rule speaks of them.
    pub fn of<'n>(names: impl IntoIterator<Item = &'n str>) -> Asked {
        let mut asked = Asked::default();
        for name in names {
            let mut add = |rule: &'static str, severity: Severity| {
                let own = asked.rules.entry(rule).or_insert(severity);
                *own = (*own).max(severity);
            };
            if let Some(profile) = find(name) {
                profile.rules.iter().for_each(|&(rule, severity)| add(rule, severity));
            } else if let Some(rule) = named_rule(name) {
                add(rule.id, Severity::Note);
            }
        }
        asked
    }

    /// Whether the rule holds: it always does, or it is asked for.
    pub fn holds(&self, rule: &Rule) -> bool {
        rule.asked_by.is_empty() || self.rules.contains_key(rule.id)
    }

    /// The least severity of a rule's findings.
    pub fn least(&self, rule: &str) -> Option<Severity> {
        self.rules.get(rule).copied()
    }
}

fn named_rule(name: &str) -> Option<&'static Rule> {
    let name = plain(name);
    rules::find(&name.replace(' ', "-"))
        .or_else(|| rules::ALL.iter().copied().find(|r| r.asked_by.contains(&name.as_str())))
}

fn plain(name: &str) -> String {
    fold(&name.replace('-', " "))
}
