//! Plain text: lines as typed or transcribed.

use crate::craft::adopt::line::{
    Aside, Kind, Line, Manuscript, indent_of, legible, mark_emphasis, plain,
};

/// Reads plain text. Lines that begin with `# ` before anything else are notes on the file.
pub fn read(text: &str) -> Manuscript {
    let mut out = Manuscript {
        kind: Kind::Text,
        encoding: "UTF-8",
        lines: Vec::new(),
        aside: Vec::new(),
        emphasis: 0,
    };
    let mut apart = true;
    let mut page = false;
    let mut head = true;
    for (number, raw) in physical(text) {
        page |= raw.contains('\u{C}');
        let raw = raw.replace('\u{C}', "");
        let raw = without_branches(raw);
        let (indent, rest) = indent_of(&raw);
        let body = legible(&plain(rest));
        if body.is_empty() {
            apart = true;
            continue;
        }
        if head && indent == 0 && (body.starts_with("# ") || body == "#") {
            out.aside.push(Aside { number, text: body, why: "a note at the head of the file" });
            apart = true;
            continue;
        }
        head = false;
        out.lines.push(Line { number, indent, text: body, apart, page, heading: false });
        apart = false;
        page = false;
    }
    out.emphasis = emphasise(&mut out.lines);
    out
}

/// Blanks for the lines of a drawn tree (`│   ├── `) and for dots that stand for depth (`. . `).
fn without_branches(raw: String) -> String {
    let end = raw.find(|c: char| !" .│├└─┬┌║╠╚═".contains(c)).unwrap_or(raw.len());
    let head = &raw[..end];
    let drawn = head.contains(|c: char| !matches!(c, ' ' | '.'));
    let dotted = head.starts_with(". ")
        && head.ends_with(". ")
        && raw[end..].starts_with(char::is_uppercase)
        && !head.contains("..");
    if !(drawn || dotted) || end == raw.len() {
        return raw;
    }
    format!("{}{}", " ".repeat(head.chars().count()), &raw[end..])
}

/// The lines of a text, numbered from 1; any of the usual line ends parts them.
pub fn physical(text: &str) -> impl Iterator<Item = (u32, &str)> {
    let mut number = 0u32;
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let text = rest?;
        number += 1;
        match text.find(['\n', '\r', '\u{2028}', '\u{2029}', '\u{85}']) {
            Some(at) => {
                let crlf = text[at..].starts_with("\r\n");
                let end = text[at..].chars().next().map_or(1, char::len_utf8) + usize::from(crlf);
                rest = Some(&text[at + end..]);
                Some((number, &text[..at]))
            }
            None => {
                rest = None;
                (!text.is_empty()).then_some((number, text))
            }
        }
    })
}

/// Marks emphasis paragraph by paragraph.
pub fn emphasise(lines: &mut [Line]) -> usize {
    let mut found = 0;
    let mut from = 0;
    for to in 1..=lines.len() {
        if to == lines.len() || lines[to].apart {
            found += mark_emphasis(&mut lines[from..to]);
            from = to;
        }
    }
    found
}
