//! A ledger file as a row of documents, each with its place, so that one that is broken harms no
//! other.
//!
//! A line that begins with `---` or is `...` is a document mark wherever it stands (YAML 1.2.2,
//! section 9.1.2), so the file can be parted without reading what is between.

/// A document in a ledger file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chunk<'a> {
    /// Byte offset in the file.
    pub start: usize,
    /// Line of the first byte, counted from 1.
    pub line: usize,
    pub bytes: &'a [u8],
    /// It ends with `...`, or another document follows.
    pub ended: bool,
}

impl Chunk<'_> {
    pub fn end(&self) -> usize {
        self.start + self.bytes.len()
    }

    /// The line of the first field: behind the mark, blanks and comments.
    pub fn head(&self) -> usize {
        let before = |l: &&[u8]| {
            let words = l.trim_ascii();
            words.is_empty() || words == b"---" || words.starts_with(b"#")
        };
        self.line + self.bytes.split(|b| *b == b'\n').take_while(before).count()
    }
}

/// Parts `bytes` into documents; blanks and comments between them belong to one of them. `line`
/// is the number of the first line.
pub fn chunks(bytes: &[u8], line: usize) -> Vec<Chunk<'_>> {
    let mut out: Vec<Chunk> = Vec::new();
    let mut start = 0;
    let mut start_line = line;
    let mut at = 0;
    let mut number = line;
    let mut push = |from: usize, to: usize, line: usize, ended: bool| {
        let bytes = &bytes[from..to];
        if !bytes.trim_ascii().is_empty() {
            out.push(Chunk { start: from, line, bytes, ended });
        }
    };
    while at < bytes.len() {
        let end = bytes[at..].iter().position(|&b| b == b'\n').map_or(bytes.len(), |n| at + n + 1);
        let words = bytes[at..end].trim_ascii_end();
        let is_mark = |mark: &[u8]| {
            words.strip_prefix(mark).is_some_and(|r| r.is_empty() || r[0].is_ascii_whitespace())
        };
        if is_mark(b"---") && at > start {
            push(start, at, start_line, true);
            (start, start_line) = (at, number);
        } else if is_mark(b"...") && bytes[at..end].ends_with(b"\n") {
            push(start, end, start_line, true);
            (start, start_line) = (end, number + 1);
        }
        at = end;
        number += 1;
    }
    push(start, bytes.len(), start_line, false);
    out
}

/// The lines that an unfinished merge leaves behind: `<<<<<<<`, `=======`, `>>>>>>>`.
pub fn merge_mark(bytes: &[u8]) -> Option<usize> {
    bytes.split(|&b| b == b'\n').position(|l| match l.first() {
        Some(b'<' | b'>' | b'|') => {
            [&b"<<<<<<< "[..], b">>>>>>> ", b"||||||| "].iter().any(|m| l.starts_with(m))
        }
        Some(b'=') => l.trim_ascii_end() == b"=======",
        _ => false,
    })
}
