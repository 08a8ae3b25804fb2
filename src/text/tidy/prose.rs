//! Numbers in running text that look like couplets whose number has changed: told, not touched.

use super::numbers::Numbered;
use super::{Remark, RemarkKind};
use crate::text::language::{Language, fold};
use crate::text::parse::letters_of_label;
use crate::text::tree::{Below, Body, SectionKind, Tree};
use crate::text::words::Words;

pub(super) fn report(tree: &Tree, keys: &[Numbered<'_>], out: &mut Vec<Remark>) {
    if keys.iter().all(|k| !k.renumbers) {
        return;
    }
    let mut look = |words: &Words, keys: &[Numbered<'_>]| search(tree, words, keys, out);
    each_below(&tree.heading, &mut |w| look(w, keys));
    let mut index = 0;
    for section in &tree.sections {
        // A number in a key means a couplet of that key.
        let of_section = if section.kind == SectionKind::Key {
            index += 1;
            &keys[index - 1..index]
        } else {
            keys
        };
        each_below(&section.below, &mut |w| look(w, of_section));
        for entry in &section.entries {
            if let Body::Lead(lead) = &entry.body {
                look(&lead.body, of_section);
            }
            each_below(&entry.below, &mut |w| look(w, of_section));
        }
    }
}

fn each_below(below: &[Below], look: &mut impl FnMut(&Words)) {
    for item in below {
        match item {
            Below::Note(note) => look(&note.value),
            Below::Text { words, .. } => look(words),
        }
    }
}

fn search(tree: &Tree, words: &Words, keys: &[Numbered<'_>], out: &mut Vec<Remark>) {
    if words.is_empty() {
        return;
    }
    let text = words.text(tree.text());
    let mut at = 0;
    for piece in text.split_inclusive(char::is_whitespace) {
        let core = piece.trim().trim_start_matches(['(', '[']);
        let core = core.trim_end_matches(['.', ',', ';', ':', ')', ']']);
        if let Some((number, capital, letter)) = letters_of_label(core)
            && let Some(new) = keys.iter().find_map(|k| k.moved((number, capital)))
            && is_meant(&text[..at], letter, tree.language())
        {
            let start = at + piece.find(core).unwrap_or(0);
            let letter = letter.map(String::from).unwrap_or_default();
            out.push(Remark {
                kind: RemarkKind::NumberInProse,
                span: words.locate_span(start, start + core.len()),
                words: format!(
                    "`{core}` looks like a couplet that is {new}{letter} now; running text was \
                     left as it is."
                ),
            });
        }
        at += piece.len();
    }
}

/// A label with its letter (not `5m`), or a number after `see`, `couplet`, `go to`.
fn is_meant(before: &str, letter: Option<char>, language: &Language) -> bool {
    if letter.is_some() {
        return letter != Some('m');
    }
    // No phrase is longer than a few words.
    let near = before.char_indices().rev().nth(40).map_or(0, |(i, _)| i);
    let low = fold(&before[near..]);
    let low = low.trim_end_matches(['(', '[']);
    // `to` and an arrow say too little.
    language
        .go_to
        .iter()
        .filter(|p| p.chars().count() > 2)
        .any(|p| low.strip_suffix(p).is_some_and(|r| r.is_empty() || r.ends_with([' ', '('])))
}
