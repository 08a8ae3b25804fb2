//! Markdown, read for what its writer typed: the numbers of a list are those that were written,
//! not those that a browser would count.

use super::text::{emphasise, physical};
use crate::craft::adopt::line::{Kind, Line, Manuscript, indent_of, legible, plain};

/// Reads Markdown: headings, bullets, quotes, tables, escapes and emphasis are understood.
pub fn read(text: &str) -> Manuscript {
    let mut out = Manuscript {
        kind: Kind::Markdown,
        encoding: "UTF-8",
        lines: Vec::new(),
        aside: Vec::new(),
        emphasis: 0,
    };
    let mut apart = true;
    for (number, raw) in physical(text) {
        let raw = raw.replace('\u{C}', "");
        let (mut indent, mut rest) = indent_of(&raw);
        while let Some(quoted) = rest.strip_prefix('>') {
            let (more, inner) = indent_of(quoted);
            indent += more;
            rest = inner;
        }
        let rest = legible(&plain(rest));
        if rest.is_empty() || is_rule(&rest) || rest.starts_with("```") || rest.starts_with("~~~") {
            apart = true;
            continue;
        }
        if let Some(cells) = cells(&rest) {
            if cells.iter().all(|c| c.chars().all(|c| matches!(c, '-' | ':' | ' '))) {
                continue;
            }
            let lead = cells.iter().take_while(|c| c.is_empty()).count();
            let text = cells[lead.min(cells.len())..].join("\t").trim_end().to_string();
            if !text.is_empty() {
                let indent = indent + 8 * lead;
                out.lines.push(Line { number, indent, text, apart: true, ..Line::default() });
            }
            apart = true;
            continue;
        }
        let marks = rest.chars().take_while(|&c| c == '#').count();
        let heading = (1..=6).contains(&marks)
            && rest[marks..].chars().next().is_none_or(char::is_whitespace);
        let body = if heading {
            rest[marks..].trim().trim_end_matches('#').trim_end().to_string()
        } else {
            let bullet = rest.len() > 2
                && rest.starts_with(['-', '*', '+', '•'])
                && rest.chars().nth(1) == Some(' ');
            apart |= bullet;
            if bullet {
                rest.chars().skip(2).collect::<String>().trim_start().to_string()
            } else {
                rest.trim_end_matches('\\').trim_end().to_string()
            }
        };
        if body.is_empty() {
            apart = true;
            continue;
        }
        let text = unescape(&body);
        out.lines.push(Line {
            number,
            indent,
            text,
            apart: apart || heading,
            page: false,
            heading,
        });
        apart = heading;
    }
    out.emphasis = emphasise(&mut out.lines);
    out
}

fn is_rule(line: &str) -> bool {
    let marks: Vec<char> = line.chars().filter(|c| !c.is_whitespace()).collect();
    marks.len() >= 3
        && matches!(marks[0], '-' | '*' | '_' | '=')
        && marks.iter().all(|c| *c == marks[0])
}

/// The cells of a table's row, which stands between bars.
fn cells(line: &str) -> Option<Vec<String>> {
    let inner = line.strip_prefix('|')?;
    let inner = inner.strip_suffix('|').unwrap_or(inner);
    let mut cells = vec![String::new()];
    let mut escaped = false;
    for c in inner.chars() {
        match c {
            '|' if !escaped => cells.push(String::new()),
            _ => {
                if let Some(cell) = cells.last_mut() {
                    cell.push(c);
                }
            }
        }
        escaped = c == '\\' && !escaped;
    }
    Some(cells.into_iter().map(|c| unescape(c.trim())).collect())
}

/// Takes the backslash from `\*`, `1\.` and the like.
fn unescape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if c == '\\' && chars.peek().is_some_and(char::is_ascii_punctuation) {
            continue;
        }
        out.push(c);
    }
    out
}
