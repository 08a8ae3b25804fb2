//! What is odd about a file as a page: marks, line ends, control characters, indentation.

use super::lines::Line;
use crate::text::finding::Finding;
use crate::text::source::Source;
use crate::text::span::Span;

/// Looks over the whole text once.
pub(super) fn look(source: &Source) -> Vec<Finding> {
    let text = source.text();
    let mut out = Vec::new();
    if text.starts_with('\u{FEFF}') {
        out.push(
            Finding::note(
                "byte-order-mark",
                Span::new(0, 3),
                "the file begins with a byte order mark",
            )
            .why("Some programs show it as strange letters; it carries no meaning in UTF-8.")
            .remedy("Nothing need be done: it is passed over here, and `hilum tidy` removes it."),
        );
    }
    if let Some(at) = text.find("\r\n") {
        out.push(
            Finding::note("carriage-returns", Span::new(at, at + 2), "lines end in the way of another system (CR LF)")
                .remedy("Nothing need be done: they are read as line ends, and `hilum tidy` writes plain ones."),
        );
    }
    control_characters(text, &mut out);
    out
}

/// Characters that change how the rest of a line is shown, or that no keyboard makes.
pub fn is_unseen(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t' | '\r'))
        || matches!(
            c,
            '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}'
        )
}

/// Whether a byte stands within a character and not at its beginning.
fn is_inside(b: u8) -> bool {
    b & 0xC0 == 0x80
}

fn control_characters(text: &str, out: &mut Vec<Finding>) {
    let mut first: Option<(usize, char)> = None;
    let mut count = 0usize;
    // Nearly all bytes are plain characters and need no further look.
    let plain = |b: u8| matches!(b, b' '..=b'~' | b'\n' | b'\t') || is_inside(b);
    for at in text.bytes().enumerate().filter(|(_, b)| !plain(*b)).map(|(at, _)| at) {
        let Some(c) = text[at..].chars().next() else { break };
        // A lone carriage return is a control character too; one before a line feed is a line end.
        let lone_return = c == '\r' && !text[at + 1..].starts_with('\n');
        // The mark at the beginning has a message of its own.
        if (is_unseen(c) || lone_return) && (at, c) != (0, '\u{FEFF}') {
            count += 1;
            first.get_or_insert((at, c));
        }
    }
    if let Some((at, c)) = first {
        let others = match count - 1 {
            0 => String::new(),
            1 => " (and one more in the file)".into(),
            n => format!(" (and {n} more in the file)"),
        };
        out.push(
            Finding::warning(
                "control-character",
                Span::new(at, at + c.len_utf8()),
                format!("a character that cannot be seen, U+{:04X}{others}", c as u32),
            )
            .why("It can hide words, or turn their order about on some screens.")
            .remedy("Delete it; it is shown escaped wherever the line is printed."),
        );
    }
}

/// How the lines of a page are indented: the first of either way.
#[derive(Default)]
pub(super) struct Indents {
    tab: Option<Span>,
    blanks: Option<Span>,
}

impl Indents {
    pub fn look(&mut self, text: &str, line: &Line) {
        if let Line::Indented { indent, .. } = line {
            if text[indent.range()].contains('\t') {
                self.tab.get_or_insert(*indent);
            } else {
                self.blanks.get_or_insert(*indent);
            }
        }
    }

    /// What there is to say where both ways are met.
    pub fn mixed(self) -> Option<Finding> {
        let (tab, blanks) = (self.tab?, self.blanks?);
        let (later, earlier) = if tab > blanks { (tab, blanks) } else { (blanks, tab) };
        Some(
            Finding::note(
                "mixed-indentation",
                later,
                "some lines are indented with tabs, others with blanks",
            )
            .why("They look alike in one editor and not in another. Both are read.")
            .remedy("`hilum tidy` indents every line with blanks.")
            .related(earlier, "here it is done the other way"),
        )
    }
}
