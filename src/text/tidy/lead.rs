//! Leads: label, statements, a row of dots, and the outcomes in one column for the whole file.

use unicode_width::UnicodeWidthStr;

use super::flow::{Flow, Line, Pauses, squeeze};
use super::page::Page;
use crate::text::parse::{back_at, is_blank};
use crate::text::span::Span;
use crate::text::tree::{Body, Entry, Lead, SectionKind, Tree};

/// Dots between statements and outcome: three, and a blank on both sides.
const LEADER: usize = 5;
/// Statements keep at least this much of the line, however long the outcomes are.
const STATEMENTS: usize = 24;
/// Outcomes take at most this share (in hundredths) of the line; longer ones wrap.
const LARGEST_SHARE: usize = 32;
/// The share (in hundredths) of outcomes that are to fit without wrapping.
const FITTING: usize = 96;
/// An outcome of more lines than this stands below its lead.
const MOST_LINES: usize = 3;

/// Where outcomes begin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Columns {
    outcome: usize,
}

impl Columns {
    /// The column that suits the outcomes of a whole file.
    pub fn of(tree: &Tree, width: usize) -> Columns {
        let mut widths: Vec<usize> = tree
            .sections
            .iter()
            .filter(|s| s.kind == SectionKind::Key)
            .flat_map(|s| &s.entries)
            .filter_map(|e| match &e.body {
                Body::Lead(lead) => {
                    let phrase = phrase_before(tree.text(), lead).map_or(0, |p| p.width() + 1);
                    Some(phrase + squeeze(&lead.outcome.text(tree.text())).width())
                }
                _ => None,
            })
            .filter(|w| *w > 0)
            .collect();
        widths.sort_unstable();
        let fitting = (widths.len() * FITTING).div_ceil(100).saturating_sub(1);
        let field = widths.get(fitting).copied().unwrap_or(1).min(width * LARGEST_SHARE / 100);
        Columns { outcome: width.saturating_sub(field).max(STATEMENTS + LEADER) }
    }
}

/// Writes a lead, without what stands before it and under it.
pub(super) fn lead(page: &mut Page<'_>, entry: &Entry, columns: Columns) {
    let Body::Lead(lead) = &entry.body else { return };
    let tails = page.tails_to(end_of(lead));
    let label = &page.text[lead.label.span.range()];
    let head = match &lead.back {
        Some(back) => format!("{label} {}", squeeze(&page.text[back.span.range()])),
        None => label.to_string(),
    };
    let hang = label.width() + 2;
    if can_flow(page.text, lead) {
        flowing(page, lead, &tails, &head, hang, columns);
    } else {
        as_written(page, lead, &tails, &head, hang);
    }
}

fn end_of(lead: &Lead) -> u32 {
    let back = lead.back.as_ref().map_or(0, |b| b.span.end);
    let leader = lead.leader.map_or(0, |l| l.end);
    let words = lead.body.span().end.max(lead.outcome.span().end);
    lead.label.span.end.max(back).max(leader).max(words)
}

/// Whether the lead is read alike however its lines are broken: its only leader is the one before
/// its outcome, and nothing in it could be taken for something else in another place.
fn can_flow(text: &str, lead: &Lead) -> bool {
    if lead.leader.is_none() && lead.outcome.is_empty() {
        // What its last line ends in may look like an outcome.
        return false;
    }
    let body = squeeze(&lead.body.text(text));
    let outcome = squeeze(&lead.outcome.text(text));
    let lone_dot = body
        .strip_suffix('.')
        .is_some_and(|rest| rest.chars().next_back().is_none_or(|c| is_blank(c) || c == '.'));
    // With a blank after it, it would begin a comment.
    let lone_hash = body == "#" || body.ends_with(" #");
    let like_back = lead.back.is_none() && back_at(&body, 0).is_some();
    !has_leader(&body)
        && !has_leader(&outcome)
        && !lone_dot
        && !lone_hash
        && !like_back
        && !outcome.starts_with(['.', '…', '#'])
}

fn has_leader(text: &str) -> bool {
    text.contains("..") || text.contains(". .") || text.contains('…')
}

fn flowing(
    page: &mut Page<'_>,
    lead: &Lead,
    tails: &[Span],
    head: &str,
    hang: usize,
    columns: Columns,
) {
    // Comments of the lines that hold nothing of the outcome go with the statements.
    let turn = lead.outcome.segments.first().map_or(u32::MAX, |s| s.start);
    let (of_body, of_outcome) = tails.split_at(tails.partition_point(|t| t.start < turn));
    let body = page.flow(&lead.body.segments, of_body, Pauses::Statements);
    let spare = if body.is_empty() { page.comments(of_body) } else { Vec::new() };
    let column = columns.outcome;
    let limit = column.saturating_sub(LEADER);
    let head = format!("{head}  ");
    let mut lines = body.lines(limit.saturating_sub(head.width()), limit.saturating_sub(hang));
    if lines.is_empty() {
        lines.push(Line { text: String::new(), tails: spare });
    }
    // The label stands before the first line, blanks before the others.
    for (i, line) in lines.iter_mut().enumerate() {
        let before = if i == 0 { head.clone() } else { " ".repeat(hang) };
        line.text.insert_str(0, &before);
    }
    let phrase = phrase_before(page.text, lead);
    let outcome = outcome_flow(page, lead, of_outcome, phrase.as_deref());
    let room = page.width.saturating_sub(column);
    let mut told = outcome.lines(room.max(1), room.saturating_sub(2).max(1));
    let below = told.len() > MOST_LINES;
    dots(&mut lines, if below { page.width } else { column }, hang, below);
    if below {
        let indent = hang + 4;
        let room = page.width.saturating_sub(indent).max(STATEMENTS);
        told = outcome.lines(room, room);
        for line in &mut told {
            line.text.insert_str(0, &" ".repeat(indent));
        }
    } else if let (Some(last), false) = (lines.last_mut(), told.is_empty()) {
        let first = told.remove(0);
        last.text.push(' ');
        last.text.push_str(&first.text);
        last.tails.extend(first.tails);
        for line in &mut told {
            line.text.insert_str(0, &" ".repeat(column + 2));
        }
    }
    page.lines(0, &lines);
    page.lines(0, &told);
}

/// Adds the row of dots: from the last line's end to before `column`, on a line of its own where
/// there is too little room for it.
fn dots(lines: &mut Vec<Line<'_>>, column: usize, hang: usize, to_the_end: bool) {
    let column = if to_the_end { column + 1 } else { column };
    let Some(last) = lines.last_mut() else { return };
    let blank = !last.text.ends_with(' ');
    let from = last.text.width() + usize::from(blank);
    if from + LEADER - 1 <= column {
        if blank {
            last.text.push(' ');
        }
        last.text.push_str(&".".repeat(column - from - 1));
    } else {
        let n = column.saturating_sub(hang + 1).max(3);
        lines.push(Line { text: format!("{}{}", " ".repeat(hang), ".".repeat(n)), tails: vec![] });
    }
}

/// `go to` before a number that was read without dots: kept as the writer's words.
fn phrase_before(text: &str, lead: &Lead) -> Option<String> {
    let outcome = lead.outcome.segments.first()?;
    if lead.leader.is_some() {
        return None;
    }
    let line = text[..outcome.start as usize].rfind('\n').map_or(0, |i| i as u32 + 1);
    let from = lead
        .body
        .segments
        .last()
        .map_or(lead.back.as_ref().map_or(lead.label.span.end, |b| b.span.end), |s| s.end)
        .max(line);
    let between = text[from as usize..outcome.start as usize].trim_matches(is_blank);
    let mark = |c: char| is_blank(c) || matches!(c, '.' | '-' | '–' | '—');
    (!between.chars().all(mark)).then(|| squeeze(between))
}

fn outcome_flow<'a>(
    page: &Page<'a>,
    lead: &Lead,
    tails: &[Span],
    phrase: Option<&str>,
) -> Flow<'a> {
    match phrase {
        None => page.flow(&lead.outcome.segments, tails, Pauses::Names),
        Some(phrase) => {
            let text = format!("{phrase} {}", lead.outcome.text(page.text));
            let piece = (text.as_str(), page.comments(tails));
            Flow::new(std::iter::once(piece), Pauses::Names, page.language)
        }
    }
}

/// A lead whose lines keep their words: only indentation and the room after the label change.
fn as_written(page: &mut Page<'_>, lead: &Lead, tails: &[Span], head: &str, hang: usize) {
    let lines = source_lines(page.text, lead);
    let label_line = line_start(page.text, lead.label.span.start);
    let mut written = page.as_written(&lines, tails);
    let with_label = lines.first().is_some_and(|l| line_start(page.text, l.start) == label_line);
    if with_label && let Some(first) = written.first_mut() {
        first.text.insert_str(0, &format!("{head}  "));
        page.line(0, &first.text, &first.tails);
        page.lines(hang, &written[1..]);
    } else {
        let of_label = tails.partition_point(|t| lines.first().is_none_or(|l| t.start < l.start));
        let comments = page.comments(&tails[..of_label]);
        page.line(0, head, &comments);
        let rest = page.as_written(&lines, &tails[of_label..]);
        page.lines(hang, &rest);
    }
}

fn line_start(text: &str, at: u32) -> u32 {
    text[..at as usize].rfind('\n').map_or(0, |i| i as u32 + 1)
}

/// For every line of the source what it holds of the lead.
fn source_lines(text: &str, lead: &Lead) -> Vec<Span> {
    let mut spans: Vec<Span> = lead.body.segments.to_vec();
    spans.extend(lead.leader);
    spans.extend(&lead.outcome.segments);
    spans.sort();
    let mut out: Vec<Span> = Vec::new();
    for span in spans {
        match out.last_mut() {
            Some(last) if !text[last.end as usize..span.start as usize].contains('\n') => {
                *last = last.to(span);
            }
            _ => out.push(span),
        }
    }
    out
}
