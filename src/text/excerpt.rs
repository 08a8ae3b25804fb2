//! A few lines of a text as they may be shown: unseen characters written out, long lines trimmed.

use std::ops::Range;

use crate::text::parse::is_unseen;
use crate::text::source::Source;
use crate::text::span::Span;

/// A line of more bytes than this is trimmed around the place that is shown.
const LONG: usize = 300;
/// What is left of a long line before the place, and after it.
const BEFORE: usize = 60;
const AFTER: usize = 120;

/// Lines of a source, and where its places stand in them.
pub struct Excerpt {
    text: String,
    first_line: usize,
    /// Bytes of the source and the bytes of the excerpt that they became, in order.
    map: Vec<(usize, usize)>,
}

impl Excerpt {
    /// The lines that hold `spans`, at most `most` of them from the first on.
    pub fn of(source: &Source, spans: &[Span], most: usize) -> Excerpt {
        let lines = source.lines();
        let text = source.text();
        let start = spans.iter().map(|s| s.start as usize).min().unwrap_or(0);
        let end = spans.iter().map(|s| s.end as usize).max().unwrap_or(start);
        let first = lines.line_of(start);
        let last = lines.line_of(end).min(first + most.max(1) - 1);
        let mut marks: Vec<usize> =
            spans.iter().flat_map(|s| [s.start as usize, s.end as usize]).collect();
        marks.sort_unstable();
        marks.dedup();
        let mut out = Excerpt { text: String::new(), first_line: first + 1, map: Vec::new() };
        for line in first..=last {
            if line > first {
                out.text.push('\n');
            }
            let own = lines.line_span(text, line);
            let shown = window(text, own, &marks);
            out.line(text, own, shown, &marks);
        }
        out
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// The number of its first line, counted from 1.
    pub fn first_line(&self) -> usize {
        self.first_line
    }

    /// Where a span of the source stands in the excerpt; what was left out shrinks to its edge.
    pub fn range(&self, span: Span) -> Range<usize> {
        let at = |byte: u32| {
            let i = self.map.partition_point(|&(from, _)| from <= byte as usize);
            match i.checked_sub(1) {
                Some(i) => self.map[i].1,
                None => self.map.first().map_or(0, |m| m.1),
            }
        };
        let (start, end) = (at(span.start), at(span.end));
        start..end.max(start)
    }

    /// The column at which a span begins as the excerpt has it, counted from 1.
    pub fn column(&self, span: Span) -> usize {
        let before = &self.text[..self.range(span).start];
        let line = before.rfind('\n').map_or(before, |i| &before[i + 1..]);
        line.chars().count() + 1
    }

    fn line(&mut self, text: &str, own: Span, shown: Range<usize>, marks: &[usize]) {
        if shown.start > own.start as usize {
            self.map.push((own.start as usize, self.text.len()));
            self.text.push('…');
        }
        let mut marks = &marks[marks.partition_point(|&m| m < shown.start)..];
        for (i, c) in text[shown.clone()].char_indices() {
            let at = shown.start + i;
            while let Some((_, rest)) = marks.split_first().filter(|(m, _)| **m <= at) {
                self.map.push((at, self.text.len()));
                marks = rest;
            }
            match c {
                '\t' => self.text.push_str("    "),
                // A carriage return before the line's end is none of its characters.
                c if is_unseen(c) || c == '\r' => {
                    self.text.push_str(&format!("\\u{{{:X}}}", c as u32));
                }
                c => self.text.push(c),
            }
        }
        self.map.push((shown.end, self.text.len()));
        if shown.end < own.end as usize {
            self.text.push('…');
            self.map.push((own.end as usize, self.text.len()));
        }
    }
}

// The bytes of a line that are shown: all of it, or those around the first place in it.
fn window(text: &str, own: Span, marks: &[usize]) -> Range<usize> {
    let (start, end) = (own.start as usize, own.end as usize);
    if end - start <= LONG {
        return start..end;
    }
    let within = marks.iter().copied().find(|m| (start..=end).contains(m)).unwrap_or(start);
    let edge = |at: usize| (at..=end).find(|&i| text.is_char_boundary(i)).unwrap_or(end);
    let from = edge(within.saturating_sub(BEFORE).max(start));
    let to = edge((within.max(from) + AFTER).min(end));
    from..to
}

#[cfg(test)]
mod tests {
    use super::*;

    fn excerpt(text: &str, start: usize, end: usize) -> (String, String) {
        let source = Source::new("a.key", text);
        let span = Span::new(start, end);
        let excerpt = Excerpt::of(&source, &[span], 12);
        let range = excerpt.range(span);
        (excerpt.text().to_string(), excerpt.text()[range].to_string())
    }

    #[test]
    fn a_line_is_shown_whole_and_the_place_found_in_it() {
        let text = "title\n1a  red ... 2\n1b  blue\n";
        assert_eq!(excerpt(text, 10, 13), ("1a  red ... 2".into(), "red".into()));
    }

    #[test]
    fn unseen_characters_are_written_out_and_counted() {
        let text = "a\u{202E}b\tc";
        assert_eq!(excerpt(text, 1, 4), ("a\\u{202E}b    c".into(), "\\u{202E}".into()));
        assert_eq!(excerpt(text, 6, 7), ("a\\u{202E}b    c".into(), "c".into()));
    }

    #[test]
    fn a_line_of_ten_million_letters_is_trimmed_around_the_place() {
        let text = format!("{}here{}", "ä".repeat(2_000_000), "z".repeat(6_000_000));
        let (shown, place) = excerpt(&text, 4_000_000, 4_000_004);
        assert_eq!(place, "here");
        assert!(shown.len() < 300, "{}", shown.len());
        assert!(shown.starts_with('…') && shown.ends_with('…'));
    }

    #[test]
    fn a_place_that_runs_out_of_the_window_ends_at_its_edge() {
        let text = "x".repeat(1000);
        let (shown, place) = excerpt(&text, 0, 1000);
        assert_eq!(shown, place);
        assert!(shown.ends_with('…') && shown.len() < 200);
    }

    #[test]
    fn a_place_of_many_lines_is_cut_short() {
        let text = "line\n".repeat(100);
        let (shown, place) = excerpt(&text, 0, 499);
        assert_eq!(shown.lines().count(), 12);
        assert_eq!(place, shown);
    }

    #[test]
    fn the_end_of_a_text_has_a_place() {
        assert_eq!(excerpt("", 0, 0), (String::new(), String::new()));
        assert_eq!(excerpt("a\n", 2, 2), (String::new(), String::new()));
    }
}
