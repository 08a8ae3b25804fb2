//! Text set for a terminal: wrapped by display width, strong words only where colour may be used.

use std::fmt::Write;

use unicode_width::UnicodeWidthStr;

use crate::text::shown::shown;

/// A page of a given width.
#[derive(Clone, Copy, Debug)]
pub struct Paper {
    pub width: usize,
    /// Whether strong words may be set with terminal codes.
    pub colour: bool,
}

impl Paper {
    /// A title with a line under it.
    pub fn title(&self, out: &mut String, text: &str) {
        for line in textwrap::wrap(&shown(text), self.width) {
            let _ = writeln!(out, "{}", self.strong(&line));
        }
    }

    /// A line across the page that begins with `head`.
    pub fn rule(&self, out: &mut String, head: &str) {
        let head = shown(head);
        let lines = textwrap::wrap(&head, self.width.saturating_sub(4).max(10));
        for (i, line) in lines.iter().enumerate() {
            if i + 1 == lines.len() {
                let rest = self.width.saturating_sub(line.width() + 4);
                let _ = writeln!(out, "── {} {}", self.strong(line), "─".repeat(rest));
            } else {
                let _ = writeln!(out, "── {}", self.strong(line));
            }
        }
    }

    /// A wrapped paragraph whose first line begins with `lead_in`.
    pub fn paragraph(&self, out: &mut String, lead_in: &str, text: &str) {
        let text = format!("{lead_in}{}", shown(text));
        for line in textwrap::wrap(&text, self.width) {
            let _ = writeln!(out, "{line}");
        }
    }

    /// Text after `first`, further lines after `indent`; `end` stands at the right of the first
    /// line where there is room, else at the right of the last.
    pub fn hanging(&self, out: &mut String, first: &str, indent: &str, text: &str, end: &str) {
        let text = shown(text);
        let first_width = visible(first);
        let room = if end.is_empty() { 0 } else { end.width() + 2 };
        let width = self.width.max(indent.width() + room + 12);
        // The first piece is measured without its terminal codes.
        let blank = " ".repeat(first_width);
        let options =
            textwrap::Options::new(width - room).initial_indent(&blank).subsequent_indent(indent);
        let lines = textwrap::wrap(&text, options);
        if lines.is_empty() {
            let _ = writeln!(out, "{}", first.trim_end());
        }
        for (i, line) in lines.iter().enumerate() {
            let shown = if i == 0 {
                format!("{first}{}", &line[blank.len().min(line.len())..])
            } else {
                line.to_string()
            };
            if i == 0 && !end.is_empty() {
                let gap = width.saturating_sub(line.width() + end.width());
                let _ = writeln!(out, "{shown}{}{end}", " ".repeat(gap.max(2)));
            } else {
                let _ = writeln!(out, "{}", shown.trim_end());
            }
        }
    }

    /// A page whose lines were not all set for a width: those too long are wrapped, further lines
    /// indented as the first is.
    pub fn fit(&self, page: &str) -> String {
        let mut out = String::new();
        for line in page.split_inclusive('\n') {
            if visible(line.trim_end()) <= self.width {
                out.push_str(line);
                continue;
            }
            let text = line.trim_start();
            let indent = &line[..line.len() - text.len()];
            let options =
                textwrap::Options::new(self.width).initial_indent(indent).subsequent_indent(indent);
            for piece in textwrap::wrap(text.trim_end(), options) {
                let _ = writeln!(out, "{piece}");
            }
        }
        out
    }

    /// Set strong where colour may be used, plain elsewhere.
    pub fn strong(&self, text: &str) -> String {
        if self.colour { format!("\x1b[1m{text}\x1b[0m") } else { text.to_string() }
    }
}

/// The display width of text with terminal codes in it.
fn visible(text: &str) -> usize {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('\x1b') {
        plain.push_str(&rest[..at]);
        rest = rest[at..].split_once('m').map_or("", |(_, r)| r);
    }
    plain.push_str(rest);
    plain.width()
}

/// `Apr–Jun`, runs joined.
pub fn months_in_words(months: &[u8]) -> String {
    const NAMES: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let name = |m: u8| NAMES.get(usize::from(m).wrapping_sub(1)).copied().unwrap_or("?");
    let mut runs: Vec<(u8, u8)> = Vec::new();
    for &m in months {
        match runs.last_mut() {
            Some((_, last)) if *last % 12 + 1 == m => *last = m,
            _ => runs.push((m, m)),
        }
    }
    let words: Vec<String> = runs
        .into_iter()
        .map(|(a, b)| if a == b { name(a).to_string() } else { format!("{}–{}", name(a), name(b)) })
        .collect();
    words.join(", ")
}

/// One word for one thing, another for several.
pub fn plural<'a>(n: usize, one: &'a str, many: &'a str) -> &'a str {
    if n == 1 { one } else { many }
}
