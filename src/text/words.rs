//! A run of text that may wrap over lines, without losing where each word stands.

use std::borrow::Cow;

use smallvec::{SmallVec, smallvec};

use super::span::Span;

/// The pieces of a text; one or two of them take no room of their own.
pub type Segments = SmallVec<[Span; 2]>;

/// Text in one or more pieces, one a line, blanks at their ends and comments left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    pub segments: Segments,
}

impl Words {
    pub fn one(span: Span) -> Words {
        Words { segments: if span.is_empty() { smallvec![] } else { smallvec![span] } }
    }

    pub fn is_empty(&self) -> bool {
        self.segments.is_empty()
    }

    /// From the first byte of the first piece to the last byte of the last.
    pub fn span(&self) -> Span {
        match (self.segments.first(), self.segments.last()) {
            (Some(a), Some(b)) => a.to(*b),
            _ => Span::default(),
        }
    }

    /// The pieces joined by one blank each; borrowed when there is only one.
    pub fn text<'a>(&self, source: &'a str) -> Cow<'a, str> {
        match self.segments.as_slice() {
            [] => Cow::Borrowed(""),
            [one] => Cow::Borrowed(&source[one.range()]),
            many => {
                let mut out = String::with_capacity(many.iter().map(|s| s.len() + 1).sum());
                for (i, s) in many.iter().enumerate() {
                    if i > 0 {
                        out.push(' ');
                    }
                    out.push_str(&source[s.range()]);
                }
                Cow::Owned(out)
            }
        }
    }

    /// Where byte `at` of the joined text stands in the source. Exact: the joining blank after a
    /// piece maps to that piece's end.
    pub fn locate(&self, at: usize) -> usize {
        let mut rest = at;
        for s in &self.segments {
            if rest <= s.len() {
                return s.start as usize + rest;
            }
            rest -= s.len() + 1;
        }
        self.span().end as usize
    }

    /// The source span of bytes `start..end` of the joined text.
    pub fn locate_span(&self, start: usize, end: usize) -> Span {
        let from = self.locate(start);
        // The end is located through the last byte, so that it does not slip to the next line.
        let to = if end > start { self.locate(end - 1) + 1 } else { from };
        Span::new(from.min(to), to.max(from))
    }

    /// The part of the joined text `start..end` as words of its own.
    pub fn part(&self, start: usize, end: usize) -> Words {
        let mut segments = Segments::new();
        let mut offset = 0;
        for s in &self.segments {
            let (a, b) = (start.max(offset), end.min(offset + s.len()));
            if a < b {
                let base = s.start as usize - offset;
                segments.push(Span::new(base + a, base + b));
            }
            offset += s.len() + 1;
            if offset >= end {
                break;
            }
        }
        Words { segments }
    }

    /// The pieces that lie within a source span.
    pub fn within(&self, span: Span) -> Words {
        let segments = self
            .segments
            .iter()
            .map(|s| (s.start.max(span.start), s.end.min(span.end)))
            .filter(|(a, b)| a < b)
            .map(|(start, end)| Span { start, end })
            .collect();
        Words { segments }
    }
}
