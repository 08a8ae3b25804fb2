//! Builds lines out of paragraphs and tables, for the kinds of file that have them.

use crate::craft::adopt::line::{Line, OFF, ON, legible, plain};

/// Collects text into lines. A paragraph is one line; a table's row is one line with its cells
/// parted by tabs.
#[derive(Default)]
pub struct Blocks {
    pub lines: Vec<Line>,
    pub emphasis: usize,
    current: String,
    number: u32,
    pub indent: usize,
    pub heading: bool,
    /// Whether the next line stands apart from the one before.
    apart: bool,
    page: bool,
    emphasised: usize,
    /// Rows that are open: their cells, each a list of lines, and the number of their first line.
    rows: Vec<(u32, Vec<Vec<String>>)>,
}

impl Blocks {
    pub fn new() -> Blocks {
        Blocks { apart: true, ..Blocks::default() }
    }

    /// Adds text that stands at line `number`.
    pub fn text(&mut self, text: &str, number: u32) {
        if self.current.is_empty() {
            self.number = number;
        }
        self.current.push_str(&plain(text));
    }

    /// Adds text whose blanks mean nothing but one blank.
    pub fn flowing(&mut self, text: &str, number: u32) {
        for (i, word) in text.split([' ', '\n', '\t', '\r', '\u{C}']).enumerate() {
            if i > 0 && !self.current.is_empty() && !self.current.ends_with([' ', '\t']) {
                self.current.push(' ');
            }
            if !word.is_empty() {
                self.text(word, number);
            }
        }
    }

    pub fn emphasis(&mut self, on: bool) {
        if on {
            self.emphasised += 1;
            if self.emphasised == 1 {
                self.current.push(ON);
            }
        } else if self.emphasised > 0 {
            self.emphasised -= 1;
            if self.emphasised == 0 {
                self.close_emphasis();
            }
        }
    }

    fn close_emphasis(&mut self) {
        // Blanks at the end of emphasised type belong outside it; type of no letters is none.
        let kept = self.current.trim_end().len();
        let blank = self.current.split_off(kept);
        if self.current.ends_with(ON) {
            self.current.pop();
        } else {
            self.current.push(OFF);
            self.emphasis += 1;
        }
        self.current.push_str(&blank);
    }

    /// Ends the line; the next one follows it directly.
    pub fn break_line(&mut self) {
        let open = self.emphasised > 0;
        if open {
            self.close_emphasis();
        }
        let text = std::mem::take(&mut self.current);
        if open {
            self.current.push(ON);
        }
        if let Some((first, cells)) = self.rows.last_mut() {
            if *first == 0 {
                *first = self.number;
            }
            if let Some(cell) = cells.last_mut()
                && !legible(text.trim()).is_empty()
            {
                cell.push(legible(text.trim()));
            }
            return;
        }
        self.push(&text, self.indent);
    }

    fn push(&mut self, text: &str, indent: usize) {
        let lead = text.chars().take_while(|&c| c == ' ').count();
        let body = seams(text.trim_start_matches(' '));
        let body = legible(&body).trim().to_string();
        if body.is_empty() {
            self.apart = true;
            return;
        }
        self.lines.push(Line {
            number: self.number,
            indent: indent + lead,
            text: body,
            apart: self.apart || self.heading,
            page: std::mem::take(&mut self.page),
            heading: self.heading,
        });
        self.apart = self.heading;
    }

    /// Ends the paragraph.
    pub fn paragraph(&mut self) {
        self.break_line();
        self.apart = true;
    }

    pub fn page(&mut self) {
        self.page = true;
    }

    pub fn open_row(&mut self, number: u32) {
        self.paragraph();
        self.rows.push((number, Vec::new()));
    }

    pub fn open_cell(&mut self) {
        if let Some((_, cells)) = self.rows.last_mut() {
            self.current.clear();
            cells.push(Vec::new());
        }
    }

    pub fn close_cell(&mut self) {
        if self.rows.last().is_some_and(|(_, cells)| !cells.is_empty()) {
            self.break_line();
        }
    }

    /// Ends a row: one line, or as many as its cells have where all have the same number of lines.
    pub fn close_row(&mut self) {
        self.close_cell();
        let Some((number, cells)) = self.rows.pop() else { return };
        if let Some((_, outer)) = self.rows.last_mut() {
            // A table within a cell: its row is one line of that cell.
            if let Some(cell) = outer.last_mut() {
                cell.push(cells.into_iter().flatten().collect::<Vec<_>>().join("\t"));
            }
            return;
        }
        self.number = number.max(1);
        let full: Vec<usize> = cells.iter().map(Vec::len).filter(|&n| n > 0).collect();
        let deep = full.iter().copied().max().unwrap_or(0);
        let even = full.len() > 1 && full.iter().all(|&n| n == deep);
        let rows: Vec<Vec<String>> = if even || cells.len() == 1 {
            (0..deep)
                .map(|i| cells.iter().map(|c| c.get(i).cloned().unwrap_or_default()).collect())
                .collect()
        } else {
            vec![cells.iter().map(|c| c.join(" ")).collect()]
        };
        for row in rows {
            let lead = row.iter().take_while(|c| c.is_empty()).count();
            let text = row[lead..].join("\t");
            self.apart = true;
            self.push(text.trim_end(), self.indent + 8 * lead);
            self.apart = true;
        }
    }

    /// Whether a table's row is open.
    pub fn in_row(&self) -> bool {
        !self.rows.is_empty()
    }

    pub fn finish(mut self) -> (Vec<Line>, usize) {
        while self.in_row() {
            self.close_row();
        }
        self.paragraph();
        (self.lines, self.emphasis)
    }
}

/// Emphasised stretches that touch, which word processors make by the dozen, become one.
fn seams(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(OFF) {
        let after = &rest[at + OFF.len_utf8()..];
        let next = after.trim_start_matches(' ');
        out.push_str(&rest[..at]);
        if let Some(more) = next.strip_prefix(ON) {
            out.push_str(&after[..after.len() - next.len()]);
            rest = more;
        } else {
            out.push(OFF);
            rest = after;
        }
    }
    out.push_str(rest);
    out
}
