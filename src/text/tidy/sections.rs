//! Everything but leads: the title, property lines, sections and their entries.

use unicode_width::UnicodeWidthStr;

use super::flow::{Line, Pauses, ends_sentence, squeeze};
use super::lead::{Columns, lead};
use super::page::{BELOW, Page, UNDER_LEAD};
use crate::text::parse::is_blank;
use crate::text::span::Span;
use crate::text::tree::{Below, Body, Entry, Note, Section, SectionKind, Tree, Trivia, notes};
use crate::text::words::Words;

/// The property's word takes this many columns, or more where a longer one stands in the section.
const WORD: usize = 10;
/// A longer word than this moves its own value only.
const LONGEST_WORD: usize = 14;
/// A wrapped sentence or definition goes on this far in.
const HANG: usize = 4;
/// A longer condition's name than this moves its own meaning only.
const LONGEST_NAME: usize = 24;
/// Values keep at least this much of the line.
const VALUE: usize = 24;

pub(super) fn heading(page: &mut Page<'_>, tree: &Tree) {
    page.trivia(&tree.before, u32::MAX, BELOW, 0);
    if !tree.title.is_empty() {
        let span = tree.title.span();
        let tails = page.tails_to(span.end);
        let comments = page.comments(&tails);
        let title = squeeze(&page.text[span.range()]);
        // An indented title may say what at the margin would begin a section.
        let indent = if page.begins_section(&title) && !page.at_margin(span) { BELOW } else { 0 };
        page.line(indent, &title, &comments);
    }
    below(page, &tree.heading, BELOW, column(page.text, &tree.heading), false);
}

pub(super) fn sections(page: &mut Page<'_>, tree: &Tree) {
    let columns = Columns::of(tree, page.width);
    // Indented comments after the last entry of a section belong to what is above them.
    let mut level = BELOW;
    for section in &tree.sections {
        let start = section.head.segments.first().map_or(u32::MAX, |s| s.start);
        page.parted(&section.before, start, level);
        if !section.head.is_empty() {
            let tails = page.tails_to(section.head.span().end);
            let comments = page.comments(&tails);
            page.line(0, &squeeze(&section.head.text(page.text)), &comments);
        }
        level = if section.kind == SectionKind::Key { UNDER_LEAD } else { BELOW };
        let word_column = section_column(page.text, section);
        below(page, &section.below, BELOW, word_column, false);
        // Leads without a section's word above them stand in a section all the same.
        if !section.head.is_empty() {
            page.blank();
        }
        entries(page, section, level, word_column, columns);
    }
    page.trivia(&tree.after, u32::MAX, level, level);
}

fn entries(page: &mut Page<'_>, section: &Section, level: usize, column: usize, columns: Columns) {
    let names = names_column(page.text, section);
    let spaced = couplets_spaced(section);
    let mut above: Option<&Entry> = None;
    for entry in &section.entries {
        let start = start_of(entry);
        let part = match above {
            None => !section.head.is_empty(),
            Some(above) => parts(section.kind, above, entry, spaced),
        };
        if part {
            page.parted(&entry.before, start, level);
        } else {
            page.trivia(&entry.before, start, level, 0);
        }
        match &entry.body {
            Body::Lead(_) => lead(page, entry, columns),
            Body::Condition { name, means } => condition(page, *name, means, names),
            Body::Character { name, sentence } => named(page, *name, sentence),
            Body::Term { term, definition } => named(page, *term, definition),
            Body::Account { name } => account_name(page, name),
            Body::Stray(words) => stray(page, words),
        }
        let indent = if matches!(entry.body, Body::Lead(_)) { UNDER_LEAD } else { BELOW };
        below(page, &entry.below, indent, column, section.kind == SectionKind::Taxa);
        above = Some(entry);
    }
}

/// Whether a blank line must stand between two entries.
fn parts(kind: SectionKind, above: &Entry, entry: &Entry, couplets_spaced: bool) -> bool {
    match (kind, &above.body, &entry.body) {
        (SectionKind::Characters | SectionKind::Taxa, ..) => {
            !above.below.is_empty() || !entry.below.is_empty()
        }
        (_, Body::Lead(a), Body::Lead(b)) => {
            couplets_spaced
                && (a.label.number, a.label.capital) != (b.label.number, b.label.capital)
        }
        _ => false,
    }
}

/// Whether the writer parts most couplets by a blank line.
fn couplets_spaced(section: &Section) -> bool {
    let (mut spaced, mut close) = (0, 0);
    for pair in section.entries.windows(2) {
        if parts(SectionKind::Key, &pair[0], &pair[1], true) {
            match pair[1].before.iter().any(|s| s.is_empty()) {
                true => spaced += 1,
                false => close += 1,
            }
        }
    }
    spaced > close
}

fn start_of(entry: &Entry) -> u32 {
    match &entry.body {
        Body::Lead(l) => l.label.span.start,
        Body::Condition { name, .. } | Body::Term { term: name, .. } => name.start,
        Body::Character { name, .. } => name.start,
        Body::Account { name: words } | Body::Stray(words) => words.span().start,
    }
}

fn section_column(text: &str, section: &Section) -> usize {
    std::iter::once(&section.below)
        .chain(section.entries.iter().map(|e| &e.below))
        .map(|b| column(text, b))
        .max()
        .unwrap_or(WORD)
}

fn column(text: &str, below: &[Below]) -> usize {
    notes(below)
        .map(|n| text[n.word.range()].width())
        .filter(|w| *w <= LONGEST_WORD)
        .map(|w| w + 2)
        .max()
        .unwrap_or(WORD)
        .max(WORD)
}

/// What is indented under a heading, a section's word or an entry. Text flows in accounts; anywhere
/// else it belongs to nothing and keeps its lines.
fn below(page: &mut Page<'_>, below: &[Below], indent: usize, column: usize, flows: bool) {
    for item in below {
        match item {
            Below::Note(note) => property(page, note, indent, column),
            Below::Text { before, words } => text(page, before, words, indent, flows),
        }
    }
}

fn property(page: &mut Page<'_>, note: &Note, indent: usize, column: usize) {
    page.trivia(&note.before, note.word.start, indent, indent);
    let value = &note.value;
    let tails = page.tails_to(note.word.end.max(value.span().end));
    let written = &page.text[note.word.range()];
    let column = column.max(written.width() + 2);
    let head = format!("{written}{}", " ".repeat(column - written.width()));
    if value.is_empty() {
        // Without its two blanks the word would be no property; a comment brings its own.
        let comments = page.comments(&tails);
        let word = if comments.is_empty() { &format!("{written}  ") } else { written };
        return empty_property(page, indent, word, &comments);
    }
    let word = written.to_lowercase();
    // Names of files may hold blanks.
    let exact = matches!(word.as_str(), "picture" | "uses")
        && value.segments.iter().any(|s| page.text[s.range()].contains("  "));
    let mut lines = if exact {
        value_as_written(page, note, &tails)
    } else {
        let room = page.width.saturating_sub(indent + column).max(VALUE);
        page.flow(&value.segments, &tails, pauses(&word)).lines(room, room)
    };
    for (i, line) in lines.iter_mut().enumerate() {
        let before = if i == 0 { head.clone() } else { " ".repeat(column) };
        line.text.insert_str(0, &before);
    }
    page.lines(indent, &lines);
}

fn empty_property(page: &mut Page<'_>, indent: usize, word: &str, comments: &[&str]) {
    match comments.split_first() {
        None => page.line(indent, word, &[]),
        Some((first, rest)) => page.line(indent, &format!("{word}  {first}"), rest),
    }
}

/// The lines of a value as they are; the first is empty where the value begins on the next line.
fn value_as_written<'a>(page: &Page<'a>, note: &Note, tails: &[Span]) -> Vec<Line<'a>> {
    let mut lines = page.as_written(&note.value.segments, tails);
    let first = note.value.span().start;
    if page.text[note.word.end as usize..first as usize].contains('\n') {
        lines.insert(0, Line::default());
    }
    lines
}

fn pauses(word: &str) -> Pauses {
    match word {
        "states" | "steps" | "includes" | "also" | "called" | "synonym" | "found" | "pressed"
        | "fresh" | "uses" | "profile" | "picture" => Pauses::Items,
        _ => Pauses::None,
    }
}

/// Statements of an account, or lines that belong to nothing.
fn text(page: &mut Page<'_>, before: &Trivia, words: &Words, indent: usize, flows: bool) {
    let start = words.span().start;
    let within = before.partition_point(|s| s.start < start);
    page.trivia(&before[..within], start, indent, indent);
    let mut between = &before[within..];
    let mut from = 0;
    for i in 1..=words.segments.len() {
        let next = words.segments.get(i);
        let n = next.map_or(between.len(), |s| between.partition_point(|t| t.start < s.start));
        if let Some(next) = next
            && n == 0
            && !new_paragraph(page, words.segments[i - 1], *next)
        {
            continue;
        }
        paragraph(page, &words.segments[from..i], indent, flows);
        // Those comments stay between the lines where they stood.
        page.trivia(&between[..n], u32::MAX, indent, indent);
        between = &between[n..];
        from = i;
    }
}

fn paragraph(page: &mut Page<'_>, segments: &[Span], indent: usize, flows: bool) {
    let (Some(first), Some(last)) = (segments.first(), segments.last()) else { return };
    let tails = page.tails_to(last.end);
    if flows {
        let room = page.width.saturating_sub(indent).max(VALUE);
        let lines = page.flow(segments, &tails, Pauses::Statements).full_lines(room);
        page.lines(indent, &lines);
    } else {
        // Under the title, before any section, a line may stand at the margin.
        let lines = page.as_written(segments, &tails);
        page.lines(if page.at_margin(*first) { 0 } else { indent }, &lines);
    }
}

/// A line that ends a sentence, and one that begins another.
fn new_paragraph(page: &Page<'_>, above: Span, below: Span) -> bool {
    let last = page.text[above.range()].rsplit(char::is_whitespace).next().unwrap_or("");
    ends_sentence(last, page.language) && page.text[below.range()].starts_with(char::is_uppercase)
}

fn account_name(page: &mut Page<'_>, name: &Words) {
    let tails = page.tails_to(name.span().end);
    let comments = page.comments(&tails);
    page.line(0, &squeeze(&name.text(page.text)), &comments);
}

/// `name: sentence`, wrapped deeper. The name with its colon stands on the first line.
fn named(page: &mut Page<'_>, name: Span, words: &Words) {
    let rest = &page.text[name.end as usize..];
    let after = rest.trim_start_matches(is_blank);
    let colon =
        after.starts_with(':') && words.segments.first().is_none_or(|s| s.start > name.start);
    let mut head = squeeze(&page.text[name.range()]);
    if colon {
        head.push(':');
        // `key :` names something, `key:` begins a section.
        if words.is_empty() && page.begins_another(&head) {
            let end = page.text.len() - after.len() + 1;
            head = page.text[name.start as usize..end].to_string();
        }
    }
    let tails = page.tails_to(name.end.max(words.span().end));
    // Without a name, a colon on another line than the first would give it one.
    let unsafe_joined = !colon && words.segments.len() > 1;
    margin(page, &head, 1, words, &tails, unsafe_joined);
}

fn condition(page: &mut Page<'_>, name: Span, means: &Words, names: usize) {
    let written = &page.text[name.range()];
    // A blank in place of another mark would end the name.
    let kept = written.contains('\r');
    let head = if kept { written.to_string() } else { squeeze(written) };
    let gap = names.saturating_sub(head.width()).max(2);
    let tails = page.tails_to(name.end.max(means.span().end));
    margin(page, &head, gap, means, &tails, kept);
}

fn names_column(text: &str, section: &Section) -> usize {
    section
        .entries
        .iter()
        .filter_map(|e| match &e.body {
            Body::Condition { name, .. } => Some(squeeze(&text[name.range()]).width()),
            _ => None,
        })
        .filter(|w| *w <= LONGEST_NAME)
        .max()
        .map_or(WORD, |w| w + 2)
        .max(WORD)
}

/// A line at the margin that begins with `head`, and what goes on under it. Its first line must
/// not come to say what begins a section or a lead; then the lines stay as they are.
fn margin(
    page: &mut Page<'_>,
    head: &str,
    gap: usize,
    words: &Words,
    tails: &[Span],
    keep_lines: bool,
) {
    let hang = if gap > 1 { head.width() + gap } else { HANG };
    let joint = if head.is_empty() { String::new() } else { format!("{head}{}", " ".repeat(gap)) };
    let flow = page.flow(&words.segments, tails, Pauses::None);
    if flow.is_empty() {
        let comments = page.comments(tails);
        return page.line(0, head, &comments);
    }
    let first = page.width.saturating_sub(joint.width()).max(VALUE);
    let rest = page.width.saturating_sub(hang).max(VALUE);
    let mut lines = flow.lines(first, rest);
    let begins = |line: &Line<'_>| page.begins_another(&format!("{joint}{}", line.text));
    // A hash after a blank would begin a comment.
    let hash = page.text[words.segments[0].range()].starts_with('#');
    if hash || keep_lines || lines.first().is_some_and(begins) {
        return margin_as_written(page, head, words, tails);
    }
    for (i, line) in lines.iter_mut().enumerate() {
        let before = if i == 0 { joint.clone() } else { " ".repeat(hang) };
        line.text.insert_str(0, &before);
    }
    page.lines(0, &lines);
}

fn margin_as_written(page: &mut Page<'_>, head: &str, words: &Words, tails: &[Span]) {
    let mut lines = page.as_written(&words.segments, tails);
    let start = words.span().start as usize;
    let line = page.text[..start].rfind('\n').map_or(0, |i| i + 1);
    let before = page.text[line..start].trim_start_matches(is_blank);
    match lines.first_mut() {
        Some(first) if !before.is_empty() || head.is_empty() => first.text.insert_str(0, before),
        // The head stands alone on its line in the source.
        _ => lines.insert(0, Line { text: head.to_string(), tails: Vec::new() }),
    }
    if let Some((first, rest)) = lines.split_first() {
        page.line(0, &first.text, &first.tails);
        page.lines(HANG, rest);
    }
}

/// What belongs to nothing keeps its lines.
fn stray(page: &mut Page<'_>, words: &Words) {
    let tails = page.tails_to(words.span().end);
    let lines = page.as_written(&words.segments, &tails);
    let Some((first, rest)) = lines.split_first() else { return };
    page.line(0, &first.text, &first.tails);
    page.lines(HANG, rest);
}
