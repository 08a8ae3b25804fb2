//! Places in a text: byte spans, and the line and column that a person counts.

use serde::Serialize;

/// A half-open range of bytes in one source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Span {
    pub start: u32,
    pub end: u32,
}

impl Span {
    /// A span from byte `start` up to, not including, byte `end`.
    pub fn new(start: usize, end: usize) -> Span {
        debug_assert!(start <= end);
        Span { start: start as u32, end: end as u32 }
    }

    /// The empty span at byte `at`.
    pub fn at(at: usize) -> Span {
        Span::new(at, at)
    }

    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The same span as a range for slicing.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    pub fn contains(self, other: Span) -> bool {
        self.start <= other.start && other.end <= self.end
    }
}

/// A place as a person counts it: both numbers start at 1, columns are characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct LineColumn {
    pub line: usize,
    pub column: usize,
}

/// Where each line of a text begins; answers in logarithmic time.
#[derive(Clone, Debug, Default)]
pub struct LineTable {
    starts: Vec<u32>,
}

impl LineTable {
    pub fn new(text: &str) -> LineTable {
        let mut starts = vec![0];
        starts.extend(
            text.bytes().enumerate().filter(|&(_, b)| b == b'\n').map(|(i, _)| i as u32 + 1),
        );
        LineTable { starts }
    }

    /// The number of the line, counted from 0, that holds byte `at`.
    pub fn line_of(&self, at: usize) -> usize {
        self.starts.partition_point(|&s| s as usize <= at) - 1
    }

    /// The bytes of line `line` (counted from 0) without its line end.
    pub fn line_span(&self, text: &str, line: usize) -> Span {
        let start = self.starts[line] as usize;
        let end = self.starts.get(line + 1).map_or(text.len(), |&s| s as usize);
        Span::new(start, start + text[start..end].trim_end_matches(['\n', '\r']).len())
    }

    pub fn line_column(&self, text: &str, at: usize) -> LineColumn {
        let line = self.line_of(at);
        let start = self.starts[line] as usize;
        LineColumn { line: line + 1, column: text[start..at].chars().count() + 1 }
    }

    pub fn lines(&self) -> usize {
        self.starts.len()
    }
}
