//! The page being written: lines, blank lines, and the comments that stand beside and between.

use super::flow::{Flow, Line, Pauses};
use crate::text::language::Language;
use crate::text::parse::begins_with_label;
use crate::text::span::Span;
use crate::text::tree::Tree;

/// Under a heading, a section's word or an entry.
pub(super) const BELOW: usize = 2;
/// Under a lead.
pub(super) const UNDER_LEAD: usize = 6;

pub(super) struct Page<'a> {
    pub text: &'a str,
    pub language: &'static Language,
    pub width: usize,
    /// Comments at line ends that are still to be written, in order.
    tails: &'a [Span],
    out: String,
}

impl<'a> Page<'a> {
    pub fn new(tree: &'a Tree, width: usize) -> Page<'a> {
        Page {
            text: tree.text(),
            language: tree.language(),
            width,
            tails: &tree.trailing,
            out: String::with_capacity(tree.text().len() + tree.text().len() / 8),
        }
    }

    pub fn finish(mut self) -> String {
        let end = self.out.trim_end_matches('\n').len();
        self.out.truncate(end);
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        self.out
    }

    /// One blank line, unless there is one or nothing stands above.
    pub fn blank(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// A line of text with the comments that follow it.
    pub fn line(&mut self, indent: usize, text: &str, tails: &[&str]) {
        self.pad(indent);
        self.out.push_str(text);
        // One word and two blanks would be a property.
        let words = text.trim_start();
        let indented = indent > 0 || words.len() < text.len();
        let one_word = indented && words.chars().all(|c| c.is_alphabetic() || c == '-');
        let mut gap = if one_word { " " } else { "  " };
        for tail in tails {
            self.out.push_str(gap);
            self.out.push_str(tail);
            gap = " ";
        }
        self.out.push('\n');
    }

    pub fn lines(&mut self, indent: usize, lines: &[Line<'_>]) {
        for line in lines {
            self.line(indent, &line.text, &line.tails);
        }
    }

    fn pad(&mut self, n: usize) {
        self.out.extend(std::iter::repeat_n(' ', n));
    }

    /// Blank lines and whole-line comments. Those before byte `start` keep their side: at the
    /// margin, or indented to `level`. Those after it stood within what begins at `start` and is
    /// written as one; they go before it, at its own indentation `own`.
    pub fn trivia(&mut self, before: &[Span], start: u32, level: usize, own: usize) {
        for &span in before {
            if span.is_empty() {
                self.blank();
                continue;
            }
            let indent = match (span.start > start, self.at_margin(span)) {
                (true, _) => own,
                (false, true) => 0,
                (false, false) => level,
            };
            self.line(indent, &self.text[span.range()], &[]);
        }
    }

    /// The same before something that a blank line should part from what is above: put before the
    /// first comment at the margin, unless the writer has a blank line somewhere.
    pub fn parted(&mut self, before: &[Span], start: u32, level: usize) {
        // Blank lines at the top of the page are none.
        let top = if self.out.is_empty() {
            before.iter().take_while(|s| s.is_empty()).count()
        } else {
            0
        };
        let before = &before[top..];
        let free = before.iter().all(|s| !s.is_empty());
        let at = before
            .iter()
            .position(|s| s.start > start || self.at_margin(*s))
            .unwrap_or(before.len());
        let (above, with) = before.split_at(if free { at } else { 0 });
        self.trivia(above, start, level, 0);
        if free {
            self.blank();
        }
        self.trivia(with, start, level, 0);
    }

    /// Whether `span` begins its line in the source.
    pub fn at_margin(&self, span: Span) -> bool {
        let before = self.text[..span.start as usize].trim_end_matches('\u{FEFF}');
        before.is_empty() || before.ends_with('\n')
    }

    /// Takes the comments at the ends of lines up to the one that holds byte `end`.
    pub fn tails_to(&mut self, end: u32) -> Vec<Span> {
        let rest = &self.text[end as usize..];
        let line_end = end as usize + rest.find('\n').unwrap_or(rest.len());
        let n = self.tails.partition_point(|t| t.start as usize <= line_end);
        let (taken, left) = self.tails.split_at(n);
        self.tails = left;
        taken.to_vec()
    }

    /// The lines of the source, each with its comments, ready to be broken anew.
    pub fn flow(&self, segments: &[Span], tails: &[Span], pauses: Pauses) -> Flow<'a> {
        Flow::new(self.beside(segments, tails).into_iter(), pauses, self.language)
    }

    /// The lines as they are.
    pub fn as_written(&self, segments: &[Span], tails: &[Span]) -> Vec<Line<'a>> {
        self.beside(segments, tails)
            .into_iter()
            .map(|(text, tails)| Line { text: text.to_string(), tails })
            .collect()
    }

    fn beside(&self, segments: &[Span], tails: &[Span]) -> Vec<(&'a str, Vec<&'a str>)> {
        let mut out: Vec<(&'a str, Vec<&'a str>)> =
            segments.iter().map(|s| (&self.text[s.range()], Vec::new())).collect();
        for tail in tails {
            let i = segments.partition_point(|s| s.start < tail.start).saturating_sub(1);
            if let Some((_, tails)) = out.get_mut(i) {
                tails.push(&self.text[tail.range()]);
            }
        }
        out
    }

    /// The comments as text, for what has no words of its own to follow.
    pub fn comments(&self, tails: &[Span]) -> Vec<&'a str> {
        tails.iter().map(|t| &self.text[t.range()]).collect()
    }

    /// Whether a line at the margin would begin something of its own: a section, a lead.
    pub fn begins_another(&self, line: &str) -> bool {
        self.begins_section(line) || begins_with_label(line)
    }

    /// Whether a line at the margin would begin a section.
    pub fn begins_section(&self, line: &str) -> bool {
        self.language.section(line).or_else(|| Language::english().section(line)).is_some()
    }
}
