//! Documents laid out as this program writes them, read without the whole of YAML: a lifetime's
//! ledger is read anew several times as fast. Whatever looks different in any way is left to the
//! full reader, so that both read the same.

use indexmap::IndexMap;

use super::{DEEPEST, Field, is_plain, is_printable};
use crate::notebook::value::{Fields, Value};

/// Longer names of fields are left to the full reader, which limits them.
const LONGEST_NAME: usize = 100;

/// The fields of a document; `None` where the full reader has to look at it.
pub(super) fn read(text: &str) -> Option<IndexMap<String, Field>> {
    let mut lines = Lines { rest: text, number: 1 };
    while lines.peek()?.is_empty() {
        lines.step();
    }
    if lines.peek()? != "---" {
        return None;
    }
    lines.step();
    let mut out = IndexMap::with_capacity(16);
    while let Some((name, line, value)) = entry(&mut lines, 0)? {
        if out.insert(name.to_string(), Field { value, line }).is_some() {
            return None;
        }
    }
    // An empty document is a matter of its own, and so is what stands behind the end.
    (!out.is_empty() && lines.peek()? == "..." && lines.is_last()).then_some(out)
}

/// Lines that end with a line feed.
struct Lines<'a> {
    rest: &'a str,
    number: usize,
}

impl<'a> Lines<'a> {
    /// `None` where no whole line is left.
    fn peek(&self) -> Option<&'a str> {
        self.rest.split_once('\n').map(|l| l.0)
    }

    fn step(&mut self) {
        if let Some((_, rest)) = self.rest.split_once('\n') {
            self.rest = rest;
            self.number += 1;
        }
    }

    fn is_last(&self) -> bool {
        self.rest.split_once('\n').is_some_and(|l| l.1.is_empty())
    }
}

/// How far a line stands in, and what it says.
fn parts(line: &str) -> (usize, &str) {
    let words = line.trim_start_matches(' ');
    (line.len() - words.len(), words)
}

/// The next field at that indent with its line; `Some(None)` where the next line stands further
/// out, or the document ends.
fn entry<'a>(lines: &mut Lines<'a>, indent: usize) -> Option<Option<(&'a str, usize, Value)>> {
    let whole = lines.peek()?;
    let (depth, words) = parts(whole);
    if depth < indent || whole == "..." {
        return Some(None);
    }
    let (name, value) = words.split_once(": ").or_else(|| Some((words.strip_suffix(':')?, "")))?;
    if depth > indent || name.len() > LONGEST_NAME || !is_plain(name) {
        return None;
    }
    let line = lines.number;
    lines.step();
    let value = if value.is_empty() { below(lines, indent)? } else { scalar(value)? };
    Some(Some((name, line, value)))
}

/// What stands under a name or a dash: a map, a list, or nothing.
fn below(lines: &mut Lines, indent: usize) -> Option<Value> {
    let (depth, words) = parts(lines.peek()?);
    if depth <= indent {
        // A list may stand no further in than its name: the full reader knows.
        return (!words.starts_with('-')).then(|| Value::Text(String::new()));
    }
    if depth != indent + 2 || depth / 2 >= DEEPEST {
        return None;
    }
    if words.starts_with('-') {
        let mut list = Vec::new();
        loop {
            let (at, words) = parts(lines.peek()?);
            if at < depth {
                return Some(Value::List(list));
            }
            let item = words.strip_prefix('-').filter(|_| at == depth)?;
            lines.step();
            list.push(match item.strip_prefix(' ') {
                Some(text) => scalar(text)?,
                None if item.is_empty() => match below(lines, depth)? {
                    Value::Map(map) => Value::Map(map),
                    _ => return None,
                },
                None => return None,
            });
        }
    }
    let mut map = Fields::new();
    while let Some((name, _, value)) = entry(lines, depth)? {
        if map.insert(name.to_string(), value).is_some() {
            return None;
        }
    }
    Some(Value::Map(map))
}

fn scalar(text: &str) -> Option<Value> {
    if is_plain(text) {
        return Some(Value::Text(text.to_string()));
    }
    let quoted = text.strip_prefix('"')?.strip_suffix('"')?;
    let bare = quoted.chars().all(|c| c != '"' && c != '\\' && is_printable(c));
    // Blanks at the edges stay as they are in one line.
    bare.then(|| Value::Text(quoted.to_string()))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::{read_any, write};
    use super::*;

    /// Lines of a record, with whatever makes YAML take them for something else.
    fn line() -> impl Strategy<Value = String> {
        let indent = prop::sample::select(vec!["", "", "", "  ", "  ", "    ", " ", "\t"]);
        let words = prop::sample::select(vec![
            "a: b",
            "b: c",
            "c:",
            "d:",
            "- a",
            "-",
            "- e: f",
            "e: \"x, y\"",
            "f: \"\"",
            "g: \"a\\n\"",
            "h: 'x'",
            "i: |-",
            "j: [1]",
            "k: {}",
            "l: ~",
            "m: null",
            "n: x # y",
            "# x",
            "",
            "...",
            "---",
            "o: a: b",
            "p: - q",
            "q: -1",
            "r: x ",
            "s : t",
            "\"t\": u",
            "more words",
            "u: &a b",
            "v: *a",
            "w: !x y",
            "? x",
            "- - a",
            "x: a:",
            "é: ü",
            "a: again",
            "y: \"a\" b",
            "- \"z\"",
            "%A: b",
        ]);
        (indent, words).prop_map(|(i, w)| format!("{i}{w}\n"))
    }

    proptest! {
        #[test]
        fn reads_as_the_full_reader_does_or_leaves_it_to_it(
            lines in prop::collection::vec(line(), 0..8),
            marks in any::<bool>(),
        ) {
            let body = lines.concat();
            let text = if marks { format!("---\n{body}...\n") } else { body };
            if let Some(fields) = read(&text) {
                prop_assert_eq!(Ok(Some(fields)), read_any(&text), "{:?}", text);
            }
        }

        #[test]
        fn what_is_written_reads_back(value in "[a-z ,:#\"'é-]{0,12}") {
            let mut fields = Fields::new();
            fields.insert("name".to_string(), Value::text(value));
            let text = write(&fields);
            if let Some(read) = read(&text) {
                prop_assert_eq!(Ok(Some(read)), read_any(&text), "{:?}", text);
            }
        }
    }
}
