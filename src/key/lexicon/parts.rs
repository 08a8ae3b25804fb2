//! Where one statement ends and the next begins: semicolons, and full stops that end a sentence.

use crate::text::language::Language;

/// The byte ranges of the parts of `text`, blanks at their ends and the parting marks left out.
/// A full stop parts before a blank and a capital or figure, but not after an abbreviation or a
/// single capital; nothing parts within brackets.
pub fn split(text: &str, language: &Language) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let mut out = Vec::new();
    let mut start = 0;
    let mut at = 0;
    let mut closings = brackets(bytes).into_iter();
    while at < bytes.len() {
        match bytes[at] {
            b'(' | b'[' => {
                // A bracket that never closes holds nothing back.
                if let Some((_, Some(end))) = closings.find(|(open, _)| *open == at) {
                    at = end;
                    continue;
                }
            }
            b';' => {
                push(text, start, at, &mut out);
                start = at + 1;
            }
            b'.' if ends_statement(text, at, language) => {
                push(text, start, at, &mut out);
                start = at + 1;
            }
            _ => {}
        }
        at += 1;
    }
    push(text, start, text.len(), &mut out);
    out
}

/// Every opening bracket in order, with the byte after the one that closes it.
fn brackets(bytes: &[u8]) -> Vec<(usize, Option<usize>)> {
    let mut out = Vec::new();
    let mut open = Vec::new();
    for (i, b) in bytes.iter().enumerate() {
        match b {
            b'(' | b'[' => {
                open.push(out.len());
                out.push((i, None));
            }
            b')' | b']' => {
                if let Some(opened) = open.pop() {
                    out[opened].1 = Some(i + 1);
                }
            }
            _ => {}
        }
    }
    out
}

fn push(text: &str, start: usize, end: usize, out: &mut Vec<(usize, usize)>) {
    let slice = &text[start..end];
    let from = start + (slice.len() - slice.trim_start().len());
    let trimmed = slice.trim();
    // A full stop at the very end belongs to no word, unless it ends an abbreviated unit.
    let to = from + trimmed.trim_end_matches('.').trim_end().len();
    if from < to {
        out.push((from, to));
    }
}

fn ends_statement(text: &str, at: usize, language: &Language) -> bool {
    let rest = &text[at + 1..];
    let mut after = rest.chars();
    if !after.next().is_some_and(char::is_whitespace) {
        return false;
    }
    match rest.trim_start().chars().next() {
        Some(c) if c.is_uppercase() || c.is_ascii_digit() => {}
        _ => return false,
    }
    let before = &text[..at];
    let word = before
        .rsplit(|c: char| c.is_whitespace() || matches!(c, '(' | ';' | ','))
        .next()
        .unwrap_or("");
    let mut letters = word.chars();
    let single_capital = letters.next().is_some_and(char::is_uppercase) && letters.next().is_none();
    let low = word.to_lowercase();
    !single_capital && !language.abbreviations.contains(&low.as_str())
}
