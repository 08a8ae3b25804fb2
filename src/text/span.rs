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
    /// Within lines longer than [`STRIDE`]: bytes, and how many characters stand before them in
    /// their line. Without them a line of ten megabytes would be counted anew for every place.
    within: Vec<(u32, u32)>,
}

/// How many bytes of a line are counted at most to find a column.
const STRIDE: usize = 4096;

impl LineTable {
    pub fn new(text: &str) -> LineTable {
        let mut starts = vec![0];
        starts.extend(
            text.bytes().enumerate().filter(|&(_, b)| b == b'\n').map(|(i, _)| i as u32 + 1),
        );
        let mut within = Vec::new();
        for (i, &start) in starts.iter().enumerate() {
            let end = starts.get(i + 1).map_or(text.len(), |&s| s as usize);
            let (mut at, mut characters) = (start as usize, 0);
            while end - at > STRIDE {
                let next = (at + STRIDE - 3..end).find(|&b| text.is_char_boundary(b));
                let next = next.unwrap_or(end);
                characters += text[at..next].chars().count() as u32;
                at = next;
                within.push((at as u32, characters));
            }
        }
        LineTable { starts, within }
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
        let passed = self.within.partition_point(|&(byte, _)| byte as usize <= at);
        let (from, before) = match passed.checked_sub(1).map(|i| self.within[i]) {
            Some((byte, characters)) if byte as usize > start => (byte as usize, characters),
            _ => (start, 0),
        };
        let column = before as usize + text[from..at].chars().count() + 1;
        LineColumn { line: line + 1, column }
    }

    pub fn lines(&self) -> usize {
        self.starts.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_of_long_lines_are_those_of_a_plain_count() {
        let text = format!("short\n{}end\n{}", "äb€".repeat(5000), "x".repeat(9000));
        let table = LineTable::new(&text);
        let mut line = 1;
        let mut column = 1;
        for (at, c) in text.char_indices() {
            assert_eq!(table.line_column(&text, at), LineColumn { line, column }, "byte {at}");
            (line, column) = if c == '\n' { (line + 1, 1) } else { (line, column + 1) };
        }
    }
}
