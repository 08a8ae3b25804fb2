//! The door to the line grammar: a text becomes lines with the places of their tokens.
//!
//! Nothing of pest leaves this file.

use pest::Parser;
use pest::iterators::Pair;
use pest_derive::Parser;
use rayon::prelude::*;

use crate::text::span::Span;
use crate::text::words::Segments;

#[derive(Parser)]
#[grammar = "../grammar/key.pest"]
struct KeyGrammar;

/// One line of a key file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// Its span is empty and stands at the line's beginning.
    Blank(Span),
    /// From the hash to the line's end.
    Comment(Span),
    Lead {
        label: Span,
        back: Option<BackSpans>,
        rest: Rest,
    },
    Indented {
        indent: Span,
        word: Option<Span>,
        rest: Rest,
    },
    Margin(Rest),
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct BackSpans {
    pub span: Span,
    pub origins: Vec<Span>,
}

/// What a line says after its first tokens, blanks at both ends left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Rest {
    pub text: Span,
    /// Runs of dots, ellipses or tabs within `text`, in order.
    pub leaders: Segments,
    /// A comment at the end of the line, from its hash.
    pub tail: Option<Span>,
}

/// Parses the whole text with the bare grammar and counts the lines: what a benchmark compares
/// the reader with.
pub fn bare_parse(text: &str) -> usize {
    KeyGrammar::parse(Rule::file, text).map_or(0, |pairs| pairs.flatten().count())
}

/// So many bytes are parsed at a time, to the end of their last line: the tokens of a whole file
/// take many times its own room.
const AT_ONCE: usize = 64 << 10;

/// All lines of `text`, in order. The grammar is total; a text that it should refuse all the same
/// comes back as margin lines. Nothing in the grammar reaches over the end of a line, so that a
/// text can be parsed piece by piece, and several pieces at once.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Line> {
    let mut pieces = pieces(text);
    let most = 4 * rayon::current_num_threads();
    std::iter::from_fn(move || {
        let together: Vec<Span> = pieces.by_ref().take(most).collect();
        (!together.is_empty()).then_some(together)
    })
    .flat_map(move |together| match together.as_slice() {
        [one] => vec![lines_of(text, *one)],
        several => several.par_iter().map(|piece| lines_of(text, *piece)).collect(),
    })
    .flatten()
}

/// The text in pieces of whole lines.
fn pieces(text: &str) -> impl Iterator<Item = Span> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let from = at;
        let least = (from + AT_ONCE).min(text.len());
        let line_end = text.as_bytes()[least..].iter().position(|b| *b == b'\n');
        at = line_end.map_or(text.len(), |i| least + i + 1);
        (from < text.len()).then(|| Span::new(from, at))
    })
}

/// The lines of one piece.
fn lines_of(whole: &str, piece: Span) -> Vec<Line> {
    let text = &whole[piece.range()];
    let Ok(mut pairs) = KeyGrammar::parse(Rule::file, text) else {
        return fallback(whole, piece);
    };
    let Some(file) = pairs.next() else { return Vec::new() };
    let mut out = Vec::with_capacity(text.len() / 60 + 1);
    for pair in file.into_inner() {
        let span = span_of(piece, &pair);
        match pair.as_rule() {
            Rule::blank => out.push(Line::Blank(Span::at(span.start as usize))),
            Rule::comment => {
                let hash = pair.into_inner().next().map_or(span, |h| span_of(piece, &h));
                out.push(Line::Comment(trim_end(whole, hash)));
            }
            Rule::lead => out.push(lead(whole, piece, pair)),
            Rule::indented => out.push(indented(whole, piece, pair)),
            Rule::margin if !span.is_empty() => {
                let mut rest = Tokens::new(span.start);
                pair.into_inner().for_each(|p| rest.take(piece, &p));
                out.push(Line::Margin(rest.finish(whole, span)));
            }
            _ => {}
        }
    }
    out
}

fn fallback(text: &str, piece: Span) -> Vec<Line> {
    let mut out = Vec::new();
    let mut at = piece.start as usize;
    for line in text[piece.range()].split_inclusive('\n') {
        let whole = Span::new(at, at + line.len());
        at += line.len();
        let text_span = trim(text, whole);
        out.push(if text_span.is_empty() {
            Line::Blank(Span::at(whole.start as usize))
        } else {
            Line::Margin(Rest { text: text_span, ..Rest::default() })
        });
    }
    out
}

fn lead(text: &str, piece: Span, pair: Pair<'_, Rule>) -> Line {
    let span = span_of(piece, &pair);
    let mut label = Span::at(span.start as usize);
    let mut back = None;
    let mut rest = Tokens::new(span.start);
    for p in pair.into_inner() {
        match p.as_rule() {
            Rule::label => {
                label = span_of(piece, &p);
                rest.start = label.end;
            }
            Rule::back => {
                let span = span_of(piece, &p);
                rest.start = span.end;
                back = Some(BackSpans {
                    span,
                    origins: p.into_inner().map(|o| span_of(piece, &o)).collect(),
                });
            }
            _ => rest.take(piece, &p),
        }
    }
    Line::Lead { label, back, rest: rest.finish(text, span) }
}

fn indented(text: &str, piece: Span, pair: Pair<'_, Rule>) -> Line {
    let span = span_of(piece, &pair);
    let (mut indent, mut word) = (Span::at(span.start as usize), None);
    let mut rest = Tokens::new(span.start);
    for p in pair.into_inner() {
        match p.as_rule() {
            Rule::indent => {
                indent = span_of(piece, &p);
                rest.start = indent.end;
            }
            Rule::word => {
                let w = span_of(piece, &p);
                rest.start = w.end;
                word = Some(w);
            }
            _ => rest.take(piece, &p),
        }
    }
    Line::Indented { indent, word, rest: rest.finish(text, span) }
}

/// Gathers the tokens of a rest of a line.
struct Tokens {
    start: u32,
    leaders: Segments,
    tail: Option<Span>,
}

impl Tokens {
    fn new(start: u32) -> Tokens {
        Tokens { start, leaders: Segments::new(), tail: None }
    }

    fn take(&mut self, piece: Span, pair: &Pair<'_, Rule>) {
        match pair.as_rule() {
            Rule::leader => self.leaders.push(span_of(piece, pair)),
            Rule::tail | Rule::bare => self.tail = Some(span_of(piece, pair)),
            _ => {}
        }
    }

    fn finish(self, text: &str, line: Span) -> Rest {
        let end = self.tail.map_or(line.end, |t| t.start).max(self.start);
        let span = trim(text, Span { start: self.start, end });
        // A run of blanks at the line's end is no leader.
        let leaders = self
            .leaders
            .into_iter()
            .filter(|l| l.start < span.end && l.end > span.start)
            .map(|l| Span { start: l.start.max(span.start), end: l.end.min(span.end) })
            .map(|l| without_full_stop(text, span.start, l))
            .collect();
        Rest { text: span, leaders, tail: self.tail.map(|t| trim(text, t)) }
    }
}

/// The place of a token of a piece of the text.
fn span_of(piece: Span, pair: &Pair<'_, Rule>) -> Span {
    let (s, from) = (pair.as_span(), piece.start as usize);
    Span::new(from + s.start(), from + s.end())
}

/// `3-5 cm diam. ..... 4`: the first dot ends the word before it, where a leader is left without it.
fn without_full_stop(text: &str, from: u32, leader: Span) -> Span {
    let before = &text[from as usize..leader.start as usize];
    let ends_word = before.chars().next_back().is_some_and(|c| !is_blank(c) && c != '.');
    let Some(rest) = text[leader.range()].strip_prefix('.').filter(|_| ends_word) else {
        return leader;
    };
    let left = rest.trim_start_matches(is_blank);
    let leads = left.starts_with("..") || left.starts_with(". .") || left.starts_with('…');
    if left.len() < rest.len() && leads {
        Span { start: leader.end - left.len() as u32, end: leader.end }
    } else {
        leader
    }
}

/// A back-reference that begins at byte `at`.
pub(crate) fn back_at(text: &str, at: usize) -> Option<BackSpans> {
    let rest = Span::new(at, text.len());
    let pair = KeyGrammar::parse(Rule::back, &text[rest.range()]).ok()?.next()?;
    let span = span_of(rest, &pair);
    Some(BackSpans { span, origins: pair.into_inner().map(|o| span_of(rest, &o)).collect() })
}

/// Whether a line at the margin that begins with `text` begins with a label.
pub(crate) fn begins_with_label(text: &str) -> bool {
    KeyGrammar::parse(Rule::label, text).is_ok()
}

/// A tab between the first word of a line and what follows: a leader, where the word is no
/// property.
pub(super) fn tab_after(text: &str, word: Span, line: Span) -> Option<Span> {
    let rest = &text[word.end as usize..line.end as usize];
    let gap = rest.len() - rest.trim_start_matches(is_blank).len();
    let tab = rest[..gap].find('\t')?;
    let end = word.end as usize;
    (gap < rest.len()).then(|| Span::new(end + tab, end + gap))
}

/// The columns of an indentation; a tab reaches to the next multiple of eight.
pub(super) fn depth(indent: &str) -> usize {
    indent.chars().fold(0, |at, c| match c {
        '\t' => (at / 8 + 1) * 8,
        '\u{FEFF}' | '\r' => at,
        _ => at + 1,
    })
}

/// A blank within a line; the grammar's `ws`.
pub fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t' | '\r' | '\n' | '\u{A0}' | '\u{2007}' | '\u{202F}' | '\u{3000}' | '\u{FEFF}'
    )
}

/// `span` without the blanks at its ends.
pub(super) fn trim(text: &str, span: Span) -> Span {
    let s = &text[span.range()];
    let trimmed = s.trim_start_matches(is_blank);
    let start = span.end as usize - trimmed.len();
    Span::new(start, start + trimmed.trim_end_matches(is_blank).len())
}

fn trim_end(text: &str, span: Span) -> Span {
    let s = text[span.range()].trim_end_matches(is_blank);
    Span::new(span.start as usize, span.start as usize + s.len())
}
