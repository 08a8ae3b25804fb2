//! A manuscript as lines: where each stands, how far it is indented, what is emphasised in it.

use serde::Serialize;

/// Begins emphasised type within a line's text. A noncharacter, so that no manuscript holds it.
pub const ON: char = '\u{FDD0}';
/// Ends emphasised type.
pub const OFF: char = '\u{FDD1}';

/// What kind of file a manuscript is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    Text,
    Markdown,
    Html,
    /// An Office Open XML document (`.docx`).
    Word,
}

impl Kind {
    pub const ALL: [Kind; 4] = [Kind::Text, Kind::Markdown, Kind::Html, Kind::Word];

    /// The word by which a person names the kind.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Text => "text",
            Kind::Markdown => "markdown",
            Kind::Html => "html",
            Kind::Word => "word",
        }
    }

    pub fn of(word: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|k| k.word().eq_ignore_ascii_case(word.trim()))
    }

    /// What `Line::number` counts.
    pub fn counts(self) -> &'static str {
        match self {
            Kind::Word => "paragraph",
            _ => "line",
        }
    }
}

/// One line that is not blank; in a Word document one paragraph or table row.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// Where a person finds it, from 1.
    pub number: u32,
    /// Columns before the first character.
    pub indent: usize,
    /// The text without blanks at its ends; inner runs of blanks and tabs are kept.
    pub text: String,
    /// A blank line stands before it, or the file's own marks begin a paragraph here.
    pub apart: bool,
    /// A page begins here.
    pub page: bool,
    /// The file's own marks make it a heading.
    pub heading: bool,
}

impl Line {
    /// The column behind the last character.
    pub fn columns(&self) -> usize {
        self.indent + plain(&self.text).chars().count()
    }
}

/// The lines of one manuscript.
#[derive(Clone, Debug)]
pub struct Manuscript {
    pub kind: Kind,
    /// The encoding that was read, as its standard name.
    pub encoding: &'static str,
    pub lines: Vec<Line>,
    /// Lines that the reader of the file's kind left out itself (headers, foot notes, comments).
    pub aside: Vec<Aside>,
    /// Emphasised stretches that were found.
    pub emphasis: usize,
}

/// Text that is in the file but not of the manuscript's body.
#[derive(Clone, Debug)]
pub struct Aside {
    pub number: u32,
    pub text: String,
    pub why: &'static str,
}

/// The text without the marks of emphasis.
pub fn plain(text: &str) -> String {
    text.chars().filter(|c| !matches!(*c, ON | OFF)).collect()
}

/// The words of a text: runs of letters and digits.
pub fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty())
}

/// Runs of blanks, tabs and the like as one blank; ends trimmed; emphasis marks dropped.
pub fn tidy_blanks(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in plain(text).split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// The columns of a line's leading blanks (tabs reach to the next multiple of eight) and the rest.
pub fn indent_of(line: &str) -> (usize, &str) {
    let mut columns = 0;
    for (at, c) in line.char_indices() {
        match c {
            '\t' => columns = (columns / 8 + 1) * 8,
            '\u{3000}' => columns += 2,
            '\u{200B}' | '\u{FEFF}' => {}
            c if c.is_whitespace() => columns += 1,
            _ => return (columns, &line[at..]),
        }
    }
    (columns, "")
}

/// Drops what cannot be seen (soft hyphens but at the end, zero-width marks, control characters)
/// and makes every odd blank an ordinary one.
pub fn legible(line: &str) -> String {
    let line = line.trim_end();
    let end = line.ends_with('\u{AD}');
    let mut out: String = line
        .chars()
        .filter_map(|c| match c {
            '\t' => Some('\t'),
            '\u{200B}'..='\u{200F}' | '\u{2060}' | '\u{FEFF}' | '\u{AD}' => None,
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => None,
            c if c.is_whitespace() => Some(' '),
            c if c.is_control() => None,
            c => Some(c),
        })
        .collect();
    if end {
        out.push('-');
    }
    out
}

/// Marks the emphasis of transcriptions, `_name_`, `=name=`, `*name*`, `+head+`, `$small$`, in the
/// lines of one paragraph; a stretch may run over several lines. Returns how many were found.
pub fn mark_emphasis(lines: &mut [Line]) -> usize {
    // (line, byte, delimiter, length of the run, may open, may close)
    let mut runs: Vec<(usize, usize, char, usize, bool, bool)> = Vec::new();
    for (l, line) in lines.iter().enumerate() {
        let chars: Vec<(usize, char)> = line.text.char_indices().collect();
        let mut i = 0;
        while i < chars.len() {
            let (at, c) = chars[i];
            if !matches!(c, '_' | '=' | '*' | '+' | '$' | '~') {
                i += 1;
                continue;
            }
            let mut j = i;
            while j < chars.len() && chars[j].1 == c {
                j += 1;
            }
            let is_mark = |c: char| matches!(c, '_' | '=' | '*' | '+' | '$' | '~');
            let before = chars[..i].iter().rev().map(|p| p.1).find(|&c| !is_mark(c));
            let after = chars[j..].iter().map(|p| p.1).find(|&c| !is_mark(c));
            let open = before.is_none_or(|c| !c.is_alphanumeric())
                && chars.get(j).is_some_and(|p| !p.1.is_whitespace());
            let close = i > 0
                && !chars[i - 1].1.is_whitespace()
                && after.is_none_or(|c| !c.is_alphanumeric() || c == '-');
            if j - i <= 3 && (open || close) {
                runs.push((l, at, c, j - i, open, close));
            }
            i = j;
        }
    }
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    let mut used = vec![false; runs.len()];
    for a in 0..runs.len() {
        if used[a] || !runs[a].4 {
            continue;
        }
        // A stretch ends at the next run of the same kind; emphasis longer than six lines is none.
        let b = (a + 1..runs.len().min(a + 64))
            .find(|&b| !used[b] && runs[b].2 == runs[a].2 && runs[b].3 == runs[a].3);
        if let Some(b) = b
            && runs[b].5
            && runs[b].0 - runs[a].0 <= 6
            && (runs[a].0, runs[a].1 + runs[a].3) < (runs[b].0, runs[b].1)
        {
            used[a] = true;
            used[b] = true;
            pairs.push((a, b));
        }
    }
    let found = pairs.len();
    let mut edits: Vec<(usize, usize, usize, char)> = pairs
        .into_iter()
        .flat_map(|(a, b)| {
            [(runs[a].0, runs[a].1, runs[a].3, ON), (runs[b].0, runs[b].1, runs[b].3, OFF)]
        })
        .collect();
    edits.sort_unstable_by_key(|e| std::cmp::Reverse((e.0, e.1)));
    for (l, at, len, mark) in edits {
        lines[l].text.replace_range(at..at + len, mark.encode_utf8(&mut [0; 4]));
    }
    found
}

/// The text with its marks of emphasis made to pair: no mark opens twice or closes nothing.
pub fn balanced(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut on = false;
    for c in text.chars() {
        match c {
            ON if on => {}
            OFF if !on => {}
            ON | OFF => {
                on = c == ON;
                out.push(c);
            }
            c => out.push(c),
        }
    }
    if on {
        out.push(OFF);
    }
    out
}
