//! HTML: paragraphs, tables and numbered lists as lines, each with its line in the file.

use std::cell::RefCell;

use encoding_rs::Encoding;
use html5ever::tokenizer::states::RawKind;
use html5ever::tokenizer::{
    BufferQueue, Tag, TagKind, Token, TokenSink, TokenSinkResult, Tokenizer, TokenizerOpts,
};

use super::blocks::Blocks;
use super::numbering::{Format, ordinal};
use crate::craft::adopt::line::{Aside, Kind, Manuscript};

/// Reads HTML of any quality.
pub fn read(text: &str) -> Manuscript {
    let sink = Sink { page: RefCell::new(Page::default()) };
    let tokenizer = Tokenizer::new(sink, TokenizerOpts::default());
    let queue = BufferQueue::default();
    queue.push_back(text.into());
    // A script would stop the reading; nothing is run, so it is simply taken up again.
    while !queue.is_empty() {
        let _ = tokenizer.feed(&queue);
    }
    tokenizer.end();
    let page = tokenizer.sink.page.into_inner();
    let (lines, emphasis) = page.blocks.finish();
    Manuscript { kind: Kind::Html, encoding: "UTF-8", lines, aside: page.aside, emphasis }
}

/// The encoding that a page's own head declares.
pub fn declared(head: &[u8]) -> Option<&'static Encoding> {
    let head = String::from_utf8_lossy(head).to_lowercase();
    let after = head.split_once("charset=")?.1.trim_start_matches(['"', '\'']);
    let label: String =
        after.chars().take_while(|c| c.is_ascii_alphanumeric() || "-_:".contains(*c)).collect();
    Encoding::for_label(label.as_bytes())
}

struct Sink {
    page: RefCell<Page>,
}

#[derive(Default)]
struct Page {
    blocks: Blocks,
    aside: Vec<Aside>,
    /// Open lists: numbered ones with their format and next number.
    lists: Vec<Option<(Format, u32)>>,
    /// Indents of the open blocks that have one.
    indents: Vec<(String, usize)>,
    pre: usize,
    /// Inside `head`, `script` and the like, by name.
    hidden: Option<String>,
    superscript: bool,
    /// A list's label was just written, and its text has not begun.
    labelled: bool,
    /// A term was closed whose text is to follow on its line.
    term: bool,
}

impl TokenSink for Sink {
    type Handle = ();

    fn process_token(&self, token: Token, line: u64) -> TokenSinkResult<()> {
        let mut page = self.page.borrow_mut();
        let line = u32::try_from(line).unwrap_or(u32::MAX);
        match token {
            Token::TagToken(tag) => return page.tag(&tag, line),
            Token::CharacterTokens(text) => page.text(&text, line),
            _ => {}
        }
        TokenSinkResult::Continue
    }
}

impl Page {
    fn text(&mut self, text: &str, line: u32) {
        if let Some(place) = &self.hidden {
            let why = match place.as_str() {
                "title" => "the title in the page's head",
                "nav" => "the page's links",
                _ => return,
            };
            if !text.trim().is_empty() {
                self.aside.push(Aside { number: line, text: text.trim().to_string(), why });
            }
            return;
        }
        if !text.trim().is_empty() {
            self.labelled = false;
        }
        // The reader counts the line at which a run of text ends.
        let line = line.saturating_sub(text.matches('\n').count() as u32).max(1);
        if self.superscript {
            let raised: String = text.chars().map(raised).collect();
            self.blocks.text(raised.trim(), line);
        } else if self.pre > 0 {
            for (i, part) in text.split('\n').enumerate() {
                if i > 0 {
                    self.blocks.break_line();
                }
                self.blocks.text(part, line + i as u32);
            }
        } else {
            let begins = text.len() - text.trim_start().len();
            let skipped = text[..begins].matches('\n').count() as u32;
            self.blocks.flowing(text, line + skipped);
        }
    }

    fn tag(&mut self, tag: &Tag, line: u32) -> TokenSinkResult<()> {
        let name = tag.name.as_ref();
        let start = tag.kind == TagKind::StartTag;
        if let Some(hidden) = &self.hidden {
            if start && name == "title" {
                self.hidden = Some("title".into());
                return TokenSinkResult::RawData(RawKind::Rcdata);
            }
            let ends = !start && (hidden == name || name == "head");
            if ends || (start && name == "body") {
                self.hidden = None;
            }
            return TokenSinkResult::Continue;
        }
        match name {
            "script" | "style" | "textarea" | "iframe" | "noframes" | "template" | "svg"
            | "nav"
                if start =>
            {
                if tag.self_closing {
                    return TokenSinkResult::Continue;
                }
                self.hidden = Some(name.to_string());
                if matches!(name, "script" | "style" | "iframe" | "noframes") {
                    return TokenSinkResult::RawData(RawKind::Rawtext);
                }
            }
            "title" if start => {
                self.hidden = Some("title".into());
                return TokenSinkResult::RawData(RawKind::Rcdata);
            }
            "i" | "em" | "b" | "strong" | "cite" => self.blocks.emphasis(start),
            "sup" => self.superscript = start,
            "br" => self.blocks.break_line(),
            "hr" => self.blocks.paragraph(),
            "pre" => {
                self.blocks.paragraph();
                self.pre = if start { self.pre + 1 } else { self.pre.saturating_sub(1) };
            }
            "tr" if start => self.blocks.open_row(line),
            "tr" => self.blocks.close_row(),
            "td" | "th" if start => {
                self.blocks.close_cell();
                self.blocks.open_cell();
            }
            "td" | "th" => self.blocks.close_cell(),
            "table" if !start => {
                while self.blocks.in_row() {
                    self.blocks.close_row();
                }
            }
            "ol" | "ul" | "dl" => self.list(tag, start),
            "li" | "dt" | "dd" => self.item(tag, start, line),
            "h1" | "h2" | "h3" | "h4" | "h5" | "h6" => {
                self.blocks.paragraph();
                self.blocks.heading = start;
            }
            "p" | "div" | "blockquote" | "section" | "article" | "header" | "footer" | "main"
            | "center" | "body" | "address" | "figure" | "figcaption" | "caption" => {
                if !(start && self.labelled) {
                    self.blocks.paragraph();
                }
                self.indent(
                    name,
                    start,
                    indent_by_style(tag) + 4 * usize::from(name == "blockquote"),
                );
            }
            "head" if start => self.hidden = Some("head".into()),
            _ => {}
        }
        TokenSinkResult::Continue
    }

    fn list(&mut self, tag: &Tag, start: bool) {
        self.blocks.paragraph();
        if !start {
            self.lists.pop();
            self.set_indent();
            return;
        }
        let numbered =
            &*tag.name == "ol" && !attribute(tag, "style").is_some_and(|s| s.contains("none"));
        let format = match attribute(tag, "type").as_deref() {
            Some("a") => Format::LowerLetter,
            Some("A") => Format::UpperLetter,
            Some("i") => Format::LowerRoman,
            Some("I") => Format::UpperRoman,
            _ => Format::Decimal,
        };
        let first = attribute(tag, "start").and_then(|s| s.trim().parse().ok()).unwrap_or(1);
        self.lists.push(numbered.then_some((format, first)));
        self.set_indent();
    }

    fn item(&mut self, tag: &Tag, start: bool, line: u32) {
        // A term and its text are one line: `<dt>1a.</dt><dd>...</dd>`.
        if name_is(tag, "dt") && !start {
            self.term = true;
            return;
        }
        let goes_on = std::mem::take(&mut self.term) && name_is(tag, "dd") && start;
        if goes_on {
            self.blocks.text(" ", line);
        } else {
            self.blocks.paragraph();
        }
        if !start || !name_is(tag, "li") {
            return;
        }
        if let Some(Some((format, next))) = self.lists.last_mut() {
            if let Some(value) = attribute(tag, "value").and_then(|v| v.trim().parse().ok()) {
                *next = value;
            }
            let label = ordinal(*format, *next);
            *next = next.saturating_add(1);
            self.blocks.text(&format!("{label}. "), line);
            self.labelled = true;
        }
    }

    fn indent(&mut self, name: &str, start: bool, columns: usize) {
        if start {
            // A paragraph ends where the next begins, whether its end is marked or not.
            if name == "p" {
                self.indents.retain(|(n, _)| n != "p");
            }
            if self.indents.len() < 64 {
                self.indents.push((name.to_string(), columns));
            }
        } else if let Some(at) = self.indents.iter().rposition(|(n, _)| n == name) {
            self.indents.truncate(at);
        }
        self.set_indent();
    }

    fn set_indent(&mut self) {
        let lists = self.lists.len().saturating_sub(1) * 2;
        self.blocks.indent = lists.min(400) + self.indents.iter().map(|(_, n)| n).sum::<usize>();
    }
}

fn name_is(tag: &Tag, name: &str) -> bool {
    &*tag.name == name
}

fn attribute(tag: &Tag, name: &str) -> Option<String> {
    tag.attrs.iter().find(|a| &*a.name.local == name).map(|a| a.value.to_string())
}

/// The columns of a block's left margin, where its style says one.
fn indent_by_style(tag: &Tag) -> usize {
    let Some(style) = attribute(tag, "style") else { return 0 };
    let mut columns = 0.0;
    for declaration in style.to_lowercase().split(';') {
        let Some((what, size)) = declaration.split_once(':') else { continue };
        if !matches!(what.trim(), "margin-left" | "padding-left" | "text-indent") {
            continue;
        }
        let size = size.trim();
        let digits = size.len()
            - size.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == '-').len();
        let Ok(value) = size[..digits].parse::<f64>() else { continue };
        columns += value
            * match size[digits..].trim() {
                "em" | "rem" | "ch" => 2.0,
                "px" => 0.125,
                "pt" => 1.0 / 6.0,
                "%" => 0.8,
                "cm" => 5.0,
                "in" => 12.0,
                _ => 0.0,
            };
    }
    columns.clamp(0.0, 400.0).round() as usize
}

/// The raised form of a figure; other characters as they are.
pub fn raised(c: char) -> char {
    match c {
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4'..='9' => char::from_u32('⁴' as u32 + (c as u32 - '4' as u32)).unwrap_or(c),
        c => c,
    }
}
