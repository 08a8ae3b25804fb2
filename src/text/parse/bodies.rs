//! What the first line of an entry says: a condition, a character, a term.

use super::lines::trim;
use crate::text::span::Span;
use crate::text::tree::Body;
use crate::text::words::Words;

pub(super) fn condition(text: &str, span: Span) -> Body {
    let slice = &text[span.range()];
    let wide = slice.find("  ").or_else(|| slice.find('\t'));
    let cut = wide.or_else(|| slice.find(' ')).unwrap_or(slice.len());
    let start = span.start as usize;
    let name = trim(text, Span::new(start, start + cut));
    let means = trim(text, Span::new(start + cut, span.end as usize));
    Body::Condition { name, means: Words::one(means) }
}

pub(super) fn character(text: &str, span: Span) -> Body {
    let slice = &text[span.range()];
    let start = span.start as usize;
    // `petals: Petals _`; without a colon before the gap the sentence is its own name.
    let gap = slice.find('_').unwrap_or(slice.len());
    match slice[..gap].find(':') {
        Some(colon) => Body::Character {
            name: trim(text, Span::new(start, start + colon)),
            sentence: Words::one(trim(text, Span::new(start + colon + 1, span.end as usize))),
        },
        None => Body::Character { name: Span::at(start), sentence: Words::one(span) },
    }
}

pub(super) fn term(text: &str, span: Span) -> Option<Body> {
    let slice = &text[span.range()];
    let start = span.start as usize;
    let colon = slice.find(':')?;
    let word = trim(text, Span::new(start, start + colon));
    let definition = trim(text, Span::new(start + colon + 1, span.end as usize));
    (!word.is_empty()).then(|| Body::Term { term: word, definition: Words::one(definition) })
}
