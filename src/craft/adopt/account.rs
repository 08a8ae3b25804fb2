//! The account of words: every letter and figure of a manuscript is in the key or in the list of
//! what was left out.

use std::collections::BTreeMap;

use super::draft::Draft;
use super::line::{Manuscript, plain, words};
use super::report::WordCount;

/// Counts words, and the letters that are in neither place. `repeated` is what was printed once and
/// stands in the draft once more.
pub fn count(manuscript: &Manuscript, repeated: &[String], draft: &Draft) -> WordCount {
    let mut balance: BTreeMap<char, i64> = BTreeMap::new();
    let mut add = |text: &str, sign: i64| {
        for c in text.chars().filter(|c| c.is_alphanumeric()) {
            *balance.entry(c).or_default() += sign;
        }
    };
    let mut out = WordCount::default();
    for line in &manuscript.lines {
        add(&line.text, 1);
        out.manuscript += words(&plain(&line.text)).count();
    }
    for aside in &manuscript.aside {
        add(&aside.text, 1);
        out.manuscript += words(&aside.text).count();
    }
    // Printed once, and in several leads of the key.
    for text in repeated {
        add(text, 1);
    }
    for left in &draft.left {
        add(&left.text, -1);
        out.left_out += words(&left.text).count();
    }
    if let Some(title) = &draft.title {
        add(title, -1);
    }
    // The title of the whole may be the first key's too.
    for key in &draft.keys {
        if let Some(title) = &key.title
            && (draft.title.is_none() || key.title_at != draft.title_at)
        {
            add(title, -1);
        }
    }
    for lead in draft.leads() {
        add(&lead.letters, -1);
    }
    out.in_key = out.manuscript.saturating_sub(out.left_out);
    out.unaccounted = balance.values().map(|n| n.unsigned_abs() as usize).sum();
    out
}
