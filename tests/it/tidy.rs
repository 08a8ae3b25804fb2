//! The tidy writer: proved to lose nothing, to change no meaning, and to be done in one go.

use std::collections::BTreeMap;

use hilum::text::parse::{Parsed, parse};
use hilum::text::source::Source;
use hilum::text::tidy::{BackReferences, TidyOptions, tidied, tidy};
use hilum::text::tree::{Body, Tree};
use proptest::prelude::*;

use crate::generate;
use crate::meaning::{meaning, routes};

fn parsed(text: &str) -> Parsed {
    parse(Source::new("t.key", text))
}

/// Every character that is shown, but for the rows of dots between statements and outcomes.
fn shown(tree: &Tree) -> BTreeMap<char, usize> {
    let text = tree.text();
    let mut skip = vec![false; text.len()];
    for entry in tree.sections.iter().flat_map(|s| &s.entries) {
        let Body::Lead(lead) = &entry.body else { continue };
        if let Some(leader) = lead.leader {
            skip[leader.range()].fill(true);
        } else if let Some(outcome) = lead.outcome.segments.first() {
            // One dot, or a dash, was taken for a leader.
            for (at, c) in text[..outcome.start as usize].char_indices().rev() {
                if !(c.is_whitespace() || matches!(c, '.' | '-' | '–' | '—')) {
                    break;
                }
                skip[at] = true;
            }
        }
    }
    let mut out = BTreeMap::new();
    for (at, c) in text.char_indices() {
        if !skip[at] && !c.is_whitespace() && c != '\u{FEFF}' {
            *out.entry(c).or_insert(0) += 1;
        }
    }
    out
}

/// The words of all comments; two at one line's end may have become one.
fn comments(tree: &Tree) -> Vec<String> {
    let text = tree.text();
    let whole = text.lines().map(str::trim).filter(|l| l.starts_with('#'));
    let at_ends = tree.trailing.iter().map(|s| &text[s.range()]);
    let mut out: Vec<String> =
        whole.chain(at_ends).flat_map(str::split_whitespace).map(String::from).collect();
    out.sort();
    out
}

fn rules(text: &str) -> BTreeMap<&'static str, usize> {
    let mut out = BTreeMap::new();
    for f in hilum::key::Key::read(Source::new("t.key", text)).findings {
        *out.entry(f.rule).or_insert(0) += 1;
    }
    out
}

fn holds(text: &str, width: usize) -> Result<String, TestCaseError> {
    let options = TidyOptions { width, ..TidyOptions::default() };
    let before = parsed(text);
    let once = tidy(&before, &options);
    let after = parsed(&once);
    prop_assert_eq!(&tidy(&after, &options), &once, "not done in one go");
    prop_assert_eq!(shown(&before.tree), shown(&after.tree), "lost or added:\n{}", once);
    prop_assert_eq!(meaning(text), meaning(&once), "means something else:\n{}", once);
    prop_assert!(!once.contains('\r') || text.contains('\r'), "a carriage return");
    prop_assert!(!once.contains("\n\n\n"), "blank lines");
    Ok(once)
}

/// Half the usual number (PROPTEST_CASES); what breaks is written down as a test of its own.
fn cases() -> ProptestConfig {
    let usual = ProptestConfig::default();
    ProptestConfig { cases: usual.cases.div_ceil(2), failure_persistence: None, ..usual }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn of_keys(text in generate::keys(), width in 50usize..120) {
        let once = holds(&text, width)?;
        prop_assert_eq!(comments(&parsed(&text).tree), comments(&parsed(&once).tree));
        let (before, after) = (rules(&text), rules(&once));
        for (rule, n) in after {
            prop_assert!(n <= before.get(rule).copied().unwrap_or(0), "{} is new:\n{}", rule, once);
        }
    }

    #[test]
    fn of_damaged_keys(text in generate::damaged_keys(), width in 50usize..120) {
        holds(&text, width)?;
    }

    #[test]
    fn of_scraps(text in generate::scraps(), width in 50usize..90) {
        holds(&text, width)?;
    }

    #[test]
    fn of_any_text(text in "\\PC{0,40}(\n[ \\PC]{0,30}){0,6}") {
        holds(&text, 88)?;
    }

    #[test]
    fn renumbering_changes_no_route(text in generate::keys(), write in any::<bool>()) {
        let back_references = if write { BackReferences::Write } else { BackReferences::Keep };
        let options = TidyOptions { renumber: true, back_references, ..TidyOptions::default() };
        let out = tidied(&parsed(&text), &options);
        prop_assert_eq!(routes(&text), routes(&out.text));
    }
}
