//! The only room that knows YAML: one document read into fields with their lines, and written.
//!
//! The reader is an event parser, because typed YAML readers turn `33.50` into a number and lose
//! how exactly a place was read. Aliases and tags are refused: an alias lets a short file stand
//! for gigabytes.

mod plain;

use std::fmt::Write;

use indexmap::IndexMap;
use saphyr_parser::{Event, Parser, ScalarStyle};

use super::value::{Fields, Value};

/// How deep lists and maps may stand in each other.
const DEEPEST: usize = 16;

/// A field with the line of its name, counted from 1 in the text that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    pub value: Value,
    pub line: usize,
}

/// Why a text is no record, and where in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Counted from 1 in the text that was read.
    pub line: usize,
    pub what: String,
    pub remedy: String,
}

fn refuse<T>(line: usize, what: impl Into<String>, remedy: &str) -> Result<T, Refusal> {
    Err(Refusal { line, what: what.into(), remedy: remedy.to_string() })
}

/// Reads one document that must be a map; `None` where it holds only blanks and comments.
///
/// # Errors
/// The first place that is no YAML or no map of fields.
pub fn read(text: &str) -> Result<Option<IndexMap<String, Field>>, Refusal> {
    match plain::read(text) {
        Some(fields) => Ok(Some(fields)),
        None => {
            let mut read = read_any(text);
            if let Some(lines) = Lines::of(text) {
                match &mut read {
                    Ok(Some(fields)) => {
                        fields.values_mut().for_each(|f| f.line = lines.in_file(f.line));
                    }
                    Ok(None) => {}
                    Err(refusal) => refusal.line = lines.in_file(refusal.line),
                }
            }
            read
        }
    }
}

/// Lines as an editor counts them, by lines of YAML, for which a carriage return alone ends one too.
struct Lines(Vec<usize>);

impl Lines {
    /// `None` where both count the same.
    fn of(text: &str) -> Option<Lines> {
        if !text.contains('\r') {
            return None;
        }
        let mut out = vec![1];
        let mut line = 1;
        let mut bytes = text.bytes().peekable();
        while let Some(b) = bytes.next() {
            line += usize::from(b == b'\n');
            if b == b'\n' || b == b'\r' && bytes.peek() != Some(&b'\n') {
                out.push(line);
            }
        }
        Some(Lines(out))
    }

    fn in_file(&self, line: usize) -> usize {
        self.0.get(line.saturating_sub(1)).or(self.0.last()).copied().unwrap_or(1)
    }
}

/// Reads any YAML that can be a record.
fn read_any(text: &str) -> Result<Option<IndexMap<String, Field>>, Refusal> {
    let mut reader = Reader { parser: Parser::new_from_str(text), line: 1 };
    loop {
        match reader.next()? {
            Some(Event::StreamStart | Event::DocumentStart(_) | Event::Nothing) => {}
            Some(Event::StreamEnd) | None => return Ok(None),
            // A document of comments only is an empty scalar.
            Some(Event::Scalar(text, ScalarStyle::Plain, 0, None))
                if text.is_empty() || text == "~" =>
            {
                return Ok(None);
            }
            Some(Event::MappingStart(anchor, tag)) => {
                reader.bare(anchor, tag.is_some())?;
                return reader.top().map(Some);
            }
            Some(_) => {
                let remedy = "Write one field a line: its name, a colon, a blank, its value.";
                return refuse(reader.line, "this is not a record of fields", remedy);
            }
        }
    }
}

struct Reader<'a> {
    parser: Parser<'a, saphyr_parser::StrInput<'a>>,
    line: usize,
}

impl<'a> Reader<'a> {
    fn next(&mut self) -> Result<Option<Event<'a>>, Refusal> {
        match self.parser.next_event() {
            None => Ok(None),
            Some(Ok((event, span))) => {
                self.line = span.start.line().max(1);
                Ok(Some(event))
            }
            Some(Err(e)) => refuse(
                e.marker().line().max(1),
                format!("this line is not YAML ({})", e.info()),
                "Put text with a colon, a hash or a quotation mark in it between quotation marks.",
            ),
        }
    }

    fn bare(&self, anchor: usize, tagged: bool) -> Result<(), Refusal> {
        if anchor != 0 {
            return refuse(self.line, "an anchor (&) is not read here", "Leave it out.");
        }
        if tagged {
            return refuse(self.line, "a tag (!) is not read here", "Leave it out.");
        }
        Ok(())
    }

    fn top(&mut self) -> Result<IndexMap<String, Field>, Refusal> {
        let mut fields = IndexMap::new();
        while let Some((name, line)) = self.name()? {
            let value = self.value(1)?;
            if fields.insert(name.clone(), Field { value, line }).is_some() {
                let what = format!("the field \"{name}\" stands here a second time");
                return refuse(line, what, "Keep one; several values go in a list.");
            }
        }
        Ok(fields)
    }

    /// A field's name; `None` at the end of the map.
    fn name(&mut self) -> Result<Option<(String, usize)>, Refusal> {
        match self.next()? {
            Some(Event::MappingEnd) => Ok(None),
            Some(Event::Scalar(text, _, anchor, tag)) => {
                self.bare(anchor, tag.is_some())?;
                Ok(Some((text.into_owned(), self.line)))
            }
            _ => {
                refuse(self.line, "a field has no name", "Begin the line with a name and a colon.")
            }
        }
    }

    fn value(&mut self, depth: usize) -> Result<Value, Refusal> {
        if depth > DEEPEST {
            let what = format!("more than {DEEPEST} lists stand in each other");
            return refuse(self.line, what, "Write it flatter.");
        }
        match self.next()? {
            Some(Event::Scalar(text, style, anchor, tag)) => {
                self.bare(anchor, tag.is_some())?;
                let empty = style == ScalarStyle::Plain && text == "~";
                Ok(Value::Text(if empty { String::new() } else { text.into_owned() }))
            }
            Some(Event::SequenceStart(anchor, tag)) => {
                self.bare(anchor, tag.is_some())?;
                let mut list = Vec::new();
                loop {
                    if let Some(Ok((Event::SequenceEnd, _))) = self.parser.peek() {
                        self.next()?;
                        return Ok(Value::List(list));
                    }
                    list.push(self.value(depth + 1)?);
                }
            }
            Some(Event::MappingStart(anchor, tag)) => {
                self.bare(anchor, tag.is_some())?;
                let mut map = Fields::new();
                while let Some((name, line)) = self.name()? {
                    let value = self.value(depth + 1)?;
                    if map.insert(name.clone(), value).is_some() {
                        let what = format!("the field \"{name}\" stands here a second time");
                        return refuse(line, what, "Keep one; several values go in a list.");
                    }
                }
                Ok(Value::Map(map))
            }
            Some(Event::Alias(_)) => {
                refuse(self.line, "an alias (*) is not read here", "Write the value out.")
            }
            _ => refuse(self.line, "a value is missing", "Write it, or delete the field."),
        }
    }
}

/// Writes a document: `---`, the fields, and `...`, so that a half-written one can be told.
pub fn write(fields: &Fields) -> String {
    let mut out = String::from("---\n");
    write_fields(&mut out, fields, 0);
    out.push_str("...\n");
    out
}

/// Writes the fields alone, without the marks of a document.
pub fn write_body(fields: &Fields) -> String {
    let mut out = String::new();
    write_fields(&mut out, fields, 0);
    out
}

fn write_fields(out: &mut String, fields: &Fields, indent: usize) {
    for (name, value) in fields {
        let _ = write!(out, "{:indent$}{}:", "", scalar(name));
        write_value(out, value, indent);
    }
}

/// Writes what follows `name:` or `-`, the line's end included.
fn write_value(out: &mut String, value: &Value, indent: usize) {
    match value {
        Value::Text(text) if text.is_empty() => out.push('\n'),
        Value::Text(text) if suits_block(text) => {
            out.push_str(" |-\n");
            for line in text.split('\n') {
                if line.is_empty() {
                    out.push('\n');
                } else {
                    let _ = writeln!(out, "{:1$}{line}", "", indent + 2);
                }
            }
        }
        Value::Text(text) => {
            let _ = writeln!(out, " {}", scalar(text));
        }
        Value::List(list) if list.is_empty() => out.push_str(" []\n"),
        Value::List(list) => {
            out.push('\n');
            for item in list {
                let _ = write!(out, "{:1$}-", "", indent + 2);
                write_value(out, item, indent + 2);
            }
        }
        Value::Map(map) if map.is_empty() => out.push_str(" {}\n"),
        Value::Map(map) => {
            out.push('\n');
            write_fields(out, map, indent + 2);
        }
    }
}

/// Text of several lines that a block can hold without loss.
fn suits_block(text: &str) -> bool {
    text.contains('\n')
        && !text.starts_with([' ', '\n', '\t'])
        && !text.ends_with('\n')
        && text.chars().all(|c| c == '\n' || is_printable(c))
        // A line of blanks alone would lose them.
        && text.split('\n').all(|l| l.is_empty() || !l.trim_matches([' ', '\t']).is_empty())
}

fn is_printable(c: char) -> bool {
    !c.is_control() && !matches!(c, '\u{feff}' | '\u{2028}' | '\u{2029}' | '\u{85}')
}

/// A scalar in one line: plain where that reads back the same, else between quotation marks.
fn scalar(text: &str) -> String {
    if is_plain(text) {
        return text.to_string();
    }
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if is_printable(c) => out.push(c),
            c => {
                let _ = write!(out, "\\U{:08X}", c as u32);
            }
        }
    }
    out.push('"');
    out
}

fn is_plain(text: &str) -> bool {
    let Some(first) = text.chars().next() else { return false };
    let second = text.chars().nth(1);
    // Other programs would read these as something else than text.
    let words = ["null", "true", "false", "yes", "no", "on", "off", "y", "n"];
    let other_type = text.len() <= 5 && words.iter().any(|w| text.eq_ignore_ascii_case(w));
    let opens = match first {
        '-' => second.is_some_and(|c| c != ' ' && c != '-'),
        _ => !"?:,[]{}#&*!|>'\"%@`=~<.".contains(first),
    };
    opens
        && !other_type
        && !text.starts_with(char::is_whitespace)
        && !text.ends_with(char::is_whitespace)
        && !text.ends_with(':')
        && !text.contains(": ")
        && !text.contains(" #")
        && text.chars().all(is_printable)
}
