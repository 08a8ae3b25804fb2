//! The door to the line grammar: a text becomes lines with the places of their tokens.
//!
//! Nothing of pest leaves this file.

use pest::Parser;
use pest::iterators::Pair;
use pest_derive::Parser;

use crate::text::span::Span;

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
    pub leaders: Vec<Span>,
    /// A comment at the end of the line, from its hash.
    pub tail: Option<Span>,
}

/// Parses the whole text with the bare grammar and counts the lines: what a benchmark compares
/// the reader with.
pub fn bare_parse(text: &str) -> usize {
    KeyGrammar::parse(Rule::file, text).map_or(0, |pairs| pairs.flatten().count())
}

/// All lines of `text`. The grammar is total; a text that it should refuse all the same comes back
/// as margin lines.
pub(super) fn lines(text: &str) -> Vec<Line> {
    let Ok(mut pairs) = KeyGrammar::parse(Rule::file, text) else {
        return fallback(text);
    };
    let Some(file) = pairs.next() else { return Vec::new() };
    let mut out = Vec::with_capacity(text.len() / 60 + 1);
    for pair in file.into_inner() {
        let span = span_of(&pair);
        match pair.as_rule() {
            Rule::blank => out.push(Line::Blank(Span::at(span.start as usize))),
            Rule::comment => {
                let hash = pair.into_inner().next().map_or(span, |h| span_of(&h));
                out.push(Line::Comment(trim_end(text, hash)));
            }
            Rule::lead => out.push(lead(text, pair)),
            Rule::indented => out.push(indented(text, pair)),
            Rule::margin if !span.is_empty() => {
                let mut rest = Tokens::new(span.start);
                pair.into_inner().for_each(|p| rest.take(&p));
                out.push(Line::Margin(rest.finish(text, span)));
            }
            _ => {}
        }
    }
    out
}

fn fallback(text: &str) -> Vec<Line> {
    let mut out = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
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

fn lead(text: &str, pair: Pair<'_, Rule>) -> Line {
    let span = span_of(&pair);
    let mut label = Span::at(span.start as usize);
    let mut back = None;
    let mut rest = Tokens::new(span.start);
    for p in pair.into_inner() {
        match p.as_rule() {
            Rule::label => {
                label = span_of(&p);
                rest.start = label.end;
            }
            Rule::back => {
                let span = span_of(&p);
                rest.start = span.end;
                back = Some(BackSpans {
                    span,
                    origins: p.into_inner().map(|o| span_of(&o)).collect(),
                });
            }
            _ => rest.take(&p),
        }
    }
    Line::Lead { label, back, rest: rest.finish(text, span) }
}

fn indented(text: &str, pair: Pair<'_, Rule>) -> Line {
    let span = span_of(&pair);
    let (mut indent, mut word) = (Span::at(span.start as usize), None);
    let mut rest = Tokens::new(span.start);
    for p in pair.into_inner() {
        match p.as_rule() {
            Rule::indent => {
                indent = span_of(&p);
                rest.start = indent.end;
            }
            Rule::word => {
                let w = span_of(&p);
                rest.start = w.end;
                word = Some(w);
            }
            _ => rest.take(&p),
        }
    }
    Line::Indented { indent, word, rest: rest.finish(text, span) }
}

/// Gathers the tokens of a rest of a line.
struct Tokens {
    start: u32,
    leaders: Vec<Span>,
    tail: Option<Span>,
}

impl Tokens {
    fn new(start: u32) -> Tokens {
        Tokens { start, leaders: Vec::new(), tail: None }
    }

    fn take(&mut self, pair: &Pair<'_, Rule>) {
        match pair.as_rule() {
            Rule::leader => self.leaders.push(span_of(pair)),
            Rule::tail | Rule::bare => self.tail = Some(span_of(pair)),
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

fn span_of(pair: &Pair<'_, Rule>) -> Span {
    let s = pair.as_span();
    Span::new(s.start(), s.end())
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
    let pair = KeyGrammar::parse(Rule::back, &text[at..]).ok()?.next()?;
    let moved = |s: Span| Span::new(s.start as usize + at, s.end as usize + at);
    let span = moved(span_of(&pair));
    Some(BackSpans { span, origins: pair.into_inner().map(|o| moved(span_of(&o))).collect() })
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
