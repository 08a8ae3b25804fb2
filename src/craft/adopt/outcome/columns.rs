//! Outcomes behind a leader, in a column of their own, or behind a wide gap.

use super::Context;
use crate::craft::adopt::line::{OFF, ON, plain};
use crate::craft::adopt::name::{self, Likely, is_name_tail, likely};

/// The leader or gap of a line: what stands before and after it, and whether dots made it.
pub(super) fn columns<'a>(text: &'a str, context: &Context) -> Option<(&'a str, &'a str, bool)> {
    if let Some((left, right)) = leader(text) {
        return Some((left, right, true));
    }
    // Tabs and wide blanks; a page's column behind a name belongs to the name.
    let mut cuts: Vec<(usize, usize, usize)> = Vec::new();
    let mut i = 0;
    while let Some(at) = text[i..].find([' ', '\t']).map(|k| k + i) {
        let run = text[at..].len() - text[at..].trim_start_matches([' ', '\t']).len();
        let gap = &text[at..at + run];
        let width = if gap.contains('\t') { 9 } else { run };
        if width >= 2 && at > 0 {
            cuts.push((at, at + run, width));
        }
        i = at + run;
    }
    let &(at, to, width) = cuts.last()?;
    let right = &text[to..];
    if right.is_empty() {
        return None;
    }
    let number = |t: &str| {
        let t = plain(t);
        let t = t.trim().trim_matches(['(', ')', '.']);
        !t.is_empty() && t.len() <= 4 && t.bytes().all(|b| b.is_ascii_digit())
    };
    if number(right)
        && let Some(&(before, after, wide)) = cuts.iter().rev().nth(1)
    {
        let middle = &text[after..at];
        let named = likely(middle, context.book);
        if before > 0
            && (middle.trim().starts_with(ON)
                || (wide >= 3 && named >= Likely::Perhaps)
                || named == Likely::Yes)
            && !number(middle)
        {
            return Some((&text[..before], &text[after..], false));
        }
    }
    let fits = match width {
        2 => {
            context.pointer(right).is_some_and(|p| context.has(&p))
                || (right.starts_with(ON) && is_emphasised(right))
                || likely(right, context.book) == Likely::Yes
                || numbered_name(right)
        }
        9 => true,
        _ => context.outcome_like(right),
    };
    fits.then_some((&text[..at], right, false))
}

/// `18. Balfouriana.`: a number and a name of one or two words.
pub fn numbered_name(text: &str) -> bool {
    let text = plain(text);
    let (number, rest) = name::strip_number(text.trim());
    let rest = rest.trim_end_matches('.');
    number.is_some_and(|n| text.trim()[n.len()..].starts_with('.'))
        && rest.split_whitespace().count() <= 2
        && rest.chars().all(|c| c.is_alphabetic() || c == '-' || c == ' ')
}

pub(super) fn is_emphasised(text: &str) -> bool {
    text.starts_with(ON) && text.find(OFF).is_some_and(|at| is_name_tail(&plain(&text[at..])))
}

/// Whether a line has a row of dots that something stands behind.
pub fn has_leader(text: &str) -> bool {
    leader(text).is_some_and(|(_, right)| !right.is_empty())
}

/// What stands before and after the last row of dots, dashes or low lines; the right side may be
/// empty.
pub(super) fn leader(text: &str) -> Option<(&str, &str)> {
    let mut best: Option<(usize, usize)> = None;
    let mut i = 0;
    while let Some(at) = text[i..].find(['.', '…', '_', '·']).map(|k| k + i) {
        let mut dots = 0usize;
        let mut end = at;
        let first = text[at..].chars().next().unwrap_or('.');
        for (k, c) in text[at..].char_indices() {
            match c {
                '…' => dots += 3,
                c if c == first => dots += 1,
                ' ' => continue,
                _ => break,
            }
            end = at + k + c.len_utf8();
        }
        let spaced = text[at..end].contains(' ');
        let enough = match first {
            '_' => dots >= 4,
            // At the line's end two are enough: the outcome stands below.
            _ if spaced => dots >= 3 || (dots == 2 && text[end..].trim().is_empty()),
            _ => dots >= 2,
        };
        if enough {
            best = Some((at, end));
        }
        i = end.max(at + first.len_utf8());
    }
    let (mut at, end) = best?;
    // A sentence's own stop before spaced dots belongs to the sentence only where a blank follows.
    at = text[..at].trim_end().len();
    Some((&text[..at], text[end..].trim_start_matches([' ', '.'])))
}
