//! Word documents (Office Open XML): paragraphs and tables in order, with the labels that exist
//! only as automatic numbering written out.

use std::io::{Cursor, Read};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::Unreadable;
use super::blocks::Blocks;
use super::html::raised;
use super::numbering::{Format, Level, Lists};
use crate::craft::adopt::line::{Aside, Kind, Manuscript};

/// The most that one part of a document may unpack to: 64 MiB.
const LARGEST_PART: u64 = 64 << 20;
/// The most parts that a document may have.
const MOST_PARTS: usize = 20_000;

/// Reads a Word document. Nothing is unpacked to a disk, and no part beyond its cap.
///
/// # Errors
/// Where it is no such document, or damaged, or unpacks to more than is sensible.
pub fn read(bytes: &[u8]) -> Result<Manuscript, Unreadable> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes))
        .map_err(|e| Unreadable::Word(format!("the archive is damaged ({e})")))?;
    if archive.len() > MOST_PARTS {
        return Err(Unreadable::Word(format!("it has more than {MOST_PARTS} parts")));
    }
    let Some(body) = part(&mut archive, "word/document.xml")? else {
        return Err(Unreadable::OtherKind {
            what: "an archive that holds no Word document",
            remedy: "give the key as .docx, text, Markdown or HTML",
        });
    };
    let lists = match part(&mut archive, "word/numbering.xml")? {
        Some(xml) => lists(&xml)?,
        None => Lists::default(),
    };
    let styles = match part(&mut archive, "word/styles.xml")? {
        Some(xml) => styles(&xml)?,
        None => Vec::new(),
    };
    let mut document = Document { lists, styles, blocks: Blocks::new(), ..Document::default() };
    document.read(&body)?;
    let (lines, emphasis) = document.blocks.finish();
    let mut aside = Vec::new();
    let mut beside: Vec<String> = archive
        .file_names()
        .flatten()
        .filter(|n| {
            let Some(file) = n.strip_prefix("word/") else { return false };
            let stem = file.trim_end_matches(".xml").trim_end_matches(|c: char| c.is_ascii_digit());
            matches!(stem, "footnotes" | "endnotes" | "header" | "footer" | "comments")
        })
        .map(|n| n.into_owned())
        .collect();
    beside.sort();
    for name in beside.into_iter().take(200) {
        let Some(xml) = part(&mut archive, &name)? else { continue };
        let mut other = Document { blocks: Blocks::new(), ..Document::default() };
        other.read(&xml)?;
        let why = match () {
            () if name.contains("note") => "a foot note",
            () if name.contains("comment") => "a comment on the text",
            () => "a running head or foot",
        };
        let (lines, _) = other.blocks.finish();
        aside.extend(lines.into_iter().map(|l| Aside { number: 0, text: l.text, why }));
    }
    aside.extend(document.removed);
    Ok(Manuscript { kind: Kind::Word, encoding: "UTF-8", lines, aside, emphasis })
}

fn part(
    archive: &mut zip::ZipArchive<Cursor<&[u8]>>,
    name: &str,
) -> Result<Option<Vec<u8>>, Unreadable> {
    let file = match archive.by_name(name) {
        Ok(file) => file,
        Err(zip::result::ZipError::FileNotFound) => return Ok(None),
        Err(e) => return Err(Unreadable::Word(format!("{name} cannot be unpacked ({e})"))),
    };
    let mut out = Vec::new();
    file.take(LARGEST_PART + 1)
        .read_to_end(&mut out)
        .map_err(|e| Unreadable::Word(format!("{name} cannot be unpacked ({e})")))?;
    if out.len() as u64 > LARGEST_PART {
        return Err(Unreadable::Word(format!("{name} unpacks to more than 64 MiB")));
    }
    Ok(Some(out))
}

/// Calls `each` for every event of a part, with the element's local name.
fn events(xml: &[u8], mut each: impl FnMut(&Event, &str)) -> Result<(), Unreadable> {
    let mut reader = Reader::from_reader(xml);
    reader.config_mut().check_end_names = false;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = reader
            .read_event_into(&mut buffer)
            .map_err(|e| Unreadable::Word(format!("its XML is damaged ({e})")))?;
        let name = match &event {
            Event::Start(e) | Event::Empty(e) => local(e.name().as_ref()),
            Event::End(e) => local(e.name().as_ref()),
            Event::Eof => return Ok(()),
            _ => String::new(),
        };
        each(&event, &name);
    }
}

fn local(name: &str) -> String {
    name.rsplit(':').next().unwrap_or(name).to_string()
}

fn value(element: &BytesStart, wanted: &str) -> Option<String> {
    element
        .attributes()
        .flatten()
        .find(|a| local(a.key.as_ref()) == wanted)
        .map(|a| a.value.to_string())
}

/// A style of paragraphs: its name, the one it is based on, its list and level, its margin.
#[derive(Clone, Debug, Default)]
struct Style {
    id: String,
    based_on: Option<String>,
    list: Option<String>,
    level: Option<usize>,
    left: Option<i64>,
    heading: bool,
}

fn styles(xml: &[u8]) -> Result<Vec<Style>, Unreadable> {
    let mut out: Vec<Style> = Vec::new();
    events(xml, |event, name| {
        let (Event::Start(e) | Event::Empty(e)) = event else { return };
        if name == "style" {
            let id = value(e, "styleId").unwrap_or_default();
            let low = id.to_lowercase();
            let heading =
                low.starts_with("heading") || low == "title" || low.starts_with("berschrift");
            out.push(Style { id, heading, ..Style::default() });
            return;
        }
        let Some(style) = out.last_mut() else { return };
        match name {
            "basedOn" => style.based_on = value(e, "val"),
            "numId" => style.list = value(e, "val"),
            "ilvl" => style.level = value(e, "val").and_then(|v| v.parse().ok()),
            "ind" => style.left = left(e),
            _ => {}
        }
    })?;
    Ok(out)
}

/// Where a paragraph's first line begins, in twentieths of a point.
fn left(e: &BytesStart) -> Option<i64> {
    let number = |n| value(e, n).and_then(|v| v.parse::<i64>().ok());
    let edge = number("left").or_else(|| number("start"));
    let hanging = number("hanging").map(|h| -h).or_else(|| number("firstLine"));
    (edge.is_some() || hanging.is_some())
        .then(|| edge.unwrap_or(0).saturating_add(hanging.unwrap_or(0)))
}

fn lists(xml: &[u8]) -> Result<Lists, Unreadable> {
    let mut out = Lists::default();
    let mut overriding: Option<usize> = None;
    let mut in_number = false;
    events(xml, |event, name| {
        let (Event::Start(e) | Event::Empty(e)) = event else { return };
        let val = || value(e, "val");
        match name {
            "abstractNum" => {
                in_number = false;
                let id = value(e, "abstractNumId").unwrap_or_default();
                out.abstracts.insert(id, Vec::new());
            }
            "num" => {
                in_number = true;
                overriding = None;
                let id = value(e, "numId").unwrap_or_default();
                out.numbers.insert(id, Default::default());
            }
            "abstractNumId" => {
                if let (Some((_, number)), Some(of)) = (out.numbers.last_mut(), val()) {
                    number.0 = of;
                }
            }
            "lvlOverride" => overriding = value(e, "ilvl").and_then(|v| v.parse().ok()),
            "startOverride" => {
                if let (Some((_, number)), Some(at), Some(start)) =
                    (out.numbers.last_mut(), overriding, val().and_then(|v| v.parse().ok()))
                {
                    number.1.push((at, start));
                }
            }
            "lvl" if !in_number => {
                if let Some((_, levels)) = out.abstracts.last_mut()
                    && levels.len() < 16
                {
                    levels.push(Level::default());
                }
            }
            _ if in_number => {}
            _ => {
                let Some(level) = out.abstracts.last_mut().and_then(|(_, l)| l.last_mut()) else {
                    return;
                };
                match name {
                    "start" => level.start = val().and_then(|v| v.parse().ok()).unwrap_or(1),
                    "numFmt" => level.format = Format::of(&val().unwrap_or_default()),
                    "lvlText" => level.text = val().unwrap_or_default(),
                    "pStyle" => level.style = val(),
                    "ind" => level.left = left(e),
                    _ => {}
                }
            }
        }
    })?;
    Ok(out)
}

#[derive(Default)]
struct Document {
    lists: Lists,
    styles: Vec<Style>,
    blocks: Blocks,
    removed: Vec<Aside>,
    paragraph: u32,
    style: Option<String>,
    list: Option<String>,
    level: Option<usize>,
    left: Option<i64>,
    /// In the properties of a paragraph or of a run; in text; in a part that is passed over.
    properties: bool,
    run_properties: bool,
    in_text: bool,
    deleted: bool,
    fallback: usize,
    bold: bool,
    raised: bool,
    started: bool,
}

impl Document {
    fn read(&mut self, xml: &[u8]) -> Result<(), Unreadable> {
        events(xml, |event, name| self.event(event, name))
    }

    fn event(&mut self, event: &Event, name: &str) {
        match event {
            Event::Start(e) => self.start(e, name, false),
            Event::Empty(e) => self.start(e, name, true),
            Event::End(_) => self.end(name),
            Event::Text(t) if self.in_text => {
                let text = t.to_string();
                self.text(&text);
            }
            Event::CData(t) if self.in_text => {
                let text = t.to_string();
                self.text(&text);
            }
            Event::GeneralRef(r) if self.in_text => {
                let name = r.to_string();
                let text = match name.as_str() {
                    "amp" => "&".to_string(),
                    "lt" => "<".to_string(),
                    "gt" => ">".to_string(),
                    "quot" => "\"".to_string(),
                    "apos" => "'".to_string(),
                    n => character(n).map(String::from).unwrap_or_else(|| format!("&{n};")),
                };
                self.text(&text);
            }
            _ => {}
        }
    }

    fn text(&mut self, text: &str) {
        if self.fallback > 0 {
            return;
        }
        if self.deleted {
            let text = text.to_string();
            self.removed.push(Aside {
                number: self.paragraph,
                text,
                why: "struck out by a tracked change",
            });
            return;
        }
        self.begin();
        if self.raised {
            let text: String = text.chars().map(raised).collect();
            self.blocks.text(&text, self.paragraph);
        } else {
            self.blocks.text(&text.replace('\n', " "), self.paragraph);
        }
    }

    /// Writes a paragraph's automatic number before its first text.
    fn begin(&mut self) {
        if self.started {
            return;
        }
        self.started = true;
        let mut style = self.style.take();
        let first = style.clone();
        let (mut list, mut level, mut left) = (self.list.take(), self.level, self.left);
        let direct = list.is_some();
        let mut heading = false;
        // A chain of styles is no longer than there are styles.
        for _ in 0..=self.styles.len() {
            let Some(id) = style.take() else { break };
            let Some(found) = self.styles.iter().find(|s| s.id == id) else { break };
            heading |= found.heading;
            list = list.or_else(|| found.list.clone());
            level = level.or(found.level);
            left = left.or(found.left);
            style = found.based_on.clone();
        }
        if let Some(list) = &list {
            if !direct && level.is_none() {
                let levels =
                    self.lists.numbers.get(list).and_then(|(of, _)| self.lists.abstracts.get(of));
                level = levels
                    .and_then(|l| l.iter().position(|l| l.style.is_some() && l.style == first));
            }
            let level = level.unwrap_or(0);
            left = left.or_else(|| self.lists.level(list, level).and_then(|l| l.left));
            if let Some(label) = self.lists.next(list, level)
                && !label.trim().is_empty()
            {
                self.blocks.text(&format!("{} ", label.trim()), self.paragraph);
            }
        }
        self.blocks.indent = (left.unwrap_or(0).clamp(0, 40_000) / 120) as usize;
        self.blocks.heading = heading && !self.blocks.in_row();
    }

    fn start(&mut self, e: &BytesStart, name: &str, empty: bool) {
        let on = || value(e, "val").is_none_or(|v| v != "0" && v != "false" && v != "none");
        match name {
            "p" => {
                self.paragraph += 1;
                self.started = false;
                (self.style, self.list, self.level, self.left) = (None, None, None, None);
            }
            "pPr" => self.properties = !empty,
            "rPr" => {
                self.run_properties = !empty;
            }
            "r" => (self.bold, self.raised) = (false, false),
            "pStyle" if self.properties => self.style = value(e, "val"),
            "numId" if self.properties => self.list = value(e, "val"),
            "ilvl" if self.properties => {
                self.level = value(e, "val").and_then(|v| v.parse().ok());
            }
            "ind" if self.properties => self.left = left(e),
            "b" | "i" if self.run_properties && !self.properties => self.bold |= on(),
            "vertAlign" if self.run_properties => {
                self.raised = value(e, "val").as_deref() == Some("superscript");
            }
            "t" | "delText" if !empty => {
                if self.bold && name == "t" {
                    self.begin();
                    self.blocks.emphasis(true);
                }
                self.deleted = name == "delText";
                self.in_text = true;
            }
            "tab" if !self.properties => {
                self.begin();
                self.blocks.text("\t", self.paragraph);
            }
            "br" | "cr" if !self.properties => {
                if value(e, "type").as_deref() == Some("page") {
                    self.blocks.page();
                } else {
                    self.blocks.break_line();
                }
            }
            "lastRenderedPageBreak" => {}
            "noBreakHyphen" => self.blocks.text("-", self.paragraph),
            "sym" => {
                let c = value(e, "char").and_then(|h| u32::from_str_radix(&h, 16).ok());
                if let Some(c) = c.and_then(char::from_u32) {
                    self.begin();
                    self.blocks.text(c.encode_utf8(&mut [0; 4]), self.paragraph);
                }
            }
            "Fallback" if !empty => self.fallback += 1,
            "tr" if !empty => self.blocks.open_row(self.paragraph + 1),
            "tc" if !empty => self.blocks.open_cell(),
            _ => {}
        }
        if empty && name == "p" {
            self.end("p");
        }
    }

    fn end(&mut self, name: &str) {
        match name {
            "p" => {
                if self.blocks.in_row() {
                    self.blocks.break_line();
                } else {
                    self.blocks.paragraph();
                    self.blocks.heading = false;
                }
            }
            "pPr" => self.properties = false,
            "rPr" => self.run_properties = false,
            "t" | "delText" => {
                self.in_text = false;
                if self.bold && name == "t" {
                    self.blocks.emphasis(false);
                }
            }
            "Fallback" => self.fallback = self.fallback.saturating_sub(1),
            "tc" => self.blocks.close_cell(),
            "tr" => self.blocks.close_row(),
            _ => {}
        }
    }
}

/// The character of a numeric reference, `#233` or `#xE9`.
fn character(reference: &str) -> Option<char> {
    let digits = reference.strip_prefix('#')?;
    let code = match digits.strip_prefix(['x', 'X']) {
        Some(hex) => u32::from_str_radix(hex, 16).ok()?,
        None => digits.parse().ok()?,
    };
    char::from_u32(code).filter(|c| !c.is_control())
}
