//! Several names at the end of one lead.

use super::Named;
use super::likely::{Likely, epithet_like, genus_like, likely};
use crate::craft::adopt::book::Book;
use crate::craft::adopt::languages::{between_names, is_or, table};
use crate::craft::adopt::line::{OFF, ON, plain, tidy_blanks};

/// Parts `A or B`, `A and B`, `_A_, _B_ and _C_`.
pub(super) fn split_list(part: &str, book: &Book, out: &mut Named) -> Vec<String> {
    let text = part.trim();
    let mut cuts: Vec<(usize, usize, bool)> = Vec::new();
    let mut depth = 0i32;
    let mut emphasised = false;
    let words = between_names(book.tongue);
    let mut seps: Vec<String> = words.iter().map(|w| format!(" {w} ")).collect();
    seps.extend(["; ".to_string(), ", ".to_string()]);
    let mut i = 0;
    while i < text.len() {
        let Some(c) = text[i..].chars().next() else { break };
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            ON => emphasised = true,
            OFF => emphasised = false,
            _ => {}
        }
        if depth <= 0
            && let Some(sep) = seps.iter().find(|s| text[i..].starts_with(s.as_str()))
        {
            let (before, after) = (&text[..i], &text[i + sep.len()..]);
            let told = cuts.last().map_or(0, |c| c.1);
            let both_emphasised =
                !emphasised && before[told.min(before.len())..].contains(ON) && after.contains(ON);
            let left = likely(&before[told.min(before.len())..], book);
            let right = likely(&head_of_list(after), book);
            let strong = left == Likely::Yes
                && right == Likely::Yes
                && after.trim_start_matches([ON]).starts_with(char::is_uppercase);
            let two = sep.trim() == ";"
                && is_binomial(&before[told.min(before.len())..])
                && is_binomial(&head_of_list(after));
            let strong = strong || two;
            let or = is_or(sep.trim(), book.tongue);
            let comma = matches!(sep.trim(), "," | ";");
            // A comma before the Latin name parts its common name from it.
            let common = comma
                && !before[told.min(before.len())..].contains(OFF)
                && after.contains(ON)
                && !both_emphasised;
            if !common
                && (both_emphasised
                    || strong && !(comma && vernacular(&before[told.min(before.len())..], after))
                    || (or
                        && left >= Likely::Perhaps
                        && right >= Likely::Perhaps
                        && !text[..i].contains(',')))
            {
                cuts.push((i, i + sep.len(), table(book.tongue).or.contains(&sep.trim())));
                i += sep.len();
                continue;
            }
        }
        i += c.len_utf8();
    }
    let mut pieces = Vec::new();
    let mut from = 0;
    for &(start, end, or) in &cuts {
        pieces.push(text[from..start].to_string());
        if !or {
            out.changed.push(format!(
                "`{}` between names is written `{}`",
                text[start..end].trim(),
                table(book.tongue).or.first().unwrap_or(&"or")
            ));
        }
        from = end;
    }
    pieces.push(text[from..].to_string());
    pieces
        .into_iter()
        .map(|p| {
            let p = p.trim();
            ["or ", "and ", "und ", "oder "]
                .iter()
                .find_map(|w| p.strip_prefix(w))
                .unwrap_or(p)
                .to_string()
        })
        .filter(|p| !plain(p).trim().is_empty())
        .collect()
}

fn head_of_list(text: &str) -> String {
    let end = text.find([',', ';']).unwrap_or(text.len());
    text[..end].to_string()
}

/// Whether `before, after` is a common name and a Latin one rather than two Latin ones.
fn vernacular(before: &str, after: &str) -> bool {
    !is_binomial(before) && is_binomial(&head_of_list(after))
}

/// Whether a line begins with a species' two names and holds nothing but names.
pub fn species(text: &str, book: &Book) -> bool {
    let text = super::strip_number(&tidy_blanks(text)).1;
    let small = text.split_whitespace().filter(|w| w.starts_with(char::is_lowercase)).count();
    is_binomial(&text) && likely(&text, book) == Likely::Yes && small <= 4 && !text.contains(';')
}

/// Whether a text begins with the two names of a species.
pub fn is_binomial(text: &str) -> bool {
    let text = tidy_blanks(text);
    let mut all = text.split_whitespace();
    all.next().is_some_and(genus_like) && all.next().is_some_and(epithet_like)
}
