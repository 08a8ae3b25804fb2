//! The manuscript cut into leads and what stands between them, by a layout's labels.

use super::book::{Book, is_heading};
use super::draft::Frag;
use super::layout::{Follow, Id, Layout};
use super::line::plain;
use super::mark::Mark;
use super::outcome::{Context, Split, split};
use super::sequence::{Odd, Taken};

/// One lead with its place in the key.
#[derive(Clone, Debug)]
pub struct Piece {
    pub mark: Option<Mark>,
    pub id: Option<Id>,
    pub odd: Option<Odd>,
    pub key: usize,
    pub couplet: usize,
    pub lead: usize,
    pub margin: usize,
    /// The line of its label.
    pub first: Option<usize>,
    /// Line and byte where the next label begins; `None` where the text ends with this lead.
    pub until: Option<(usize, usize)>,
    pub split: Split,
    /// Paragraphs after it that are of no lead.
    pub after: Vec<Vec<Frag>>,
}

/// The leads in order, and what stands before the first.
#[derive(Debug, Default)]
pub struct Pieces {
    pub before: Vec<Vec<Frag>>,
    pub leads: Vec<Piece>,
}

/// The text of a line from byte `at` to byte `to`.
fn frag(book: &Book, line: usize, at: usize, to: usize) -> Frag {
    let l = &book.lines[line];
    let text = super::line::balanced(l.text[at..to].trim());
    let before = l.text[at..to].len() - l.text[at..to].trim_start().len();
    let column = l.indent + plain(&l.text[..at + before]).chars().count();
    Frag { line, text, indent: l.indent, column, apart: at == 0 && l.apart }
}

/// Groups pieces of lines into paragraphs.
pub fn paragraphs(frags: Vec<Frag>) -> Vec<Vec<Frag>> {
    let mut out: Vec<Vec<Frag>> = Vec::new();
    for frag in frags {
        match out.last_mut() {
            Some(last) if !frag.apart => last.push(frag),
            _ => out.push(vec![frag]),
        }
    }
    out
}

/// Whether a paragraph is a heading.
pub fn heads(book: &Book, paragraph: &[Frag]) -> bool {
    match paragraph {
        [one] => book
            .lines
            .get(one.line)
            .is_some_and(|l| l.text.len() <= one.text.len() + 8 && is_heading(l)),
        [a, b] => {
            [a, b].iter().all(|f| super::book::shouted(&plain(&f.text)))
                && a.text.len() + b.text.len() < 140
        }
        _ => false,
    }
}

fn starts_lower(frags: &[Frag]) -> bool {
    frags.first().is_some_and(|f| {
        plain(&f.text).trim_start().starts_with(|c: char| c.is_lowercase() || ",;".contains(c))
    })
}

fn ends_sentence(frags: &[Frag]) -> bool {
    frags
        .last()
        .is_some_and(|f| plain(&f.text).trim_end().ends_with(['.', ':', '!', '?', ')', ']', '”']))
}

/// Cuts a manuscript at its labels.
pub fn by_labels(
    book: &Book,
    layout: &dyn Layout,
    taken: &[Taken],
    contexts: &[Context],
) -> Pieces {
    let mut out = Pieces::default();
    let Some(first) = taken.first() else { return out };
    let mut before: Vec<Frag> =
        (0..first.line).map(|l| frag(book, l, 0, book.lines[l].text.len())).collect();
    if first.at > 0 {
        before.push(frag(book, first.line, 0, first.at));
    }
    out.before = paragraphs(before.into_iter().filter(|f| !f.text.is_empty()).collect());
    for (i, label) in taken.iter().enumerate() {
        let next = taken.get(i + 1);
        let mut frags = Vec::new();
        let last = next.map_or(book.lines.len(), |n| n.line + 1);
        for l in label.line..last {
            let from = if l == label.line { label.mark.rest } else { 0 };
            let to = match next {
                Some(n) if n.line == l => n.at,
                _ => book.lines[l].text.len(),
            };
            if from < to {
                let f = frag(book, l, from, to);
                if !f.text.is_empty() {
                    frags.push(f);
                }
            }
        }
        let context = &contexts[label.key.min(contexts.len() - 1)];
        let margin = book.lines[label.line].indent;
        let mut piece = Piece {
            mark: Some(label.mark.clone()),
            id: (layout.follow() == Follow::Numbers).then_some(label.id),
            odd: label.odd,
            key: label.key,
            couplet: label.couplet,
            lead: label.lead,
            margin,
            first: Some(label.line),
            until: next.map(|n| (n.line, n.at)),
            split: Split::default(),
            after: Vec::new(),
        };
        if layout.unmarked() {
            out.leads.extend(unmarked(book, piece, frags, context));
        } else {
            let ((split, after), _) = settle(book, paragraphs(frags), margin, context);
            piece.split = split;
            piece.after = after;
            out.leads.push(piece);
        }
    }
    out
}

/// Paragraphs that are looked at to tell whether a lead stands there.
const AHEAD: usize = 40;
/// Leads without a label that one couplet may have: as many as there are letters for them.
const MOST: usize = 26;

/// The last lines of a lead: where it ends shows there, though it be as long as a book.
pub fn recent(frags: &[Frag]) -> &[Frag] {
    &frags[frags.len().saturating_sub(100)..]
}

/// One lead out of paragraphs: the paragraphs that belong to it, and those that follow.
fn settle(
    book: &Book,
    paragraphs: Vec<Vec<Frag>>,
    margin: usize,
    context: &Context,
) -> ((Split, Vec<Vec<Frag>>), usize) {
    let mut frags: Vec<Frag> = Vec::new();
    let mut taken = 0;
    for paragraph in &paragraphs {
        if taken > 0 {
            let so_far = split(recent(&frags), margin, context);
            let alone = paragraph.len() == 1 && {
                let f = &paragraph[0];
                context.pointer(&f.text).is_some_and(|p| context.has(&p))
                    || (f.indent >= margin + 12 && f.text.chars().count() <= 90)
            };
            let goes_on = if so_far.tail.is_empty() || (so_far.weak && !alone) {
                (alone && (!heads(book, paragraph) || paragraph[0].indent >= margin + 12))
                    || (!heads(book, paragraph)
                        && (starts_lower(paragraph) || !ends_sentence(&frags))
                        && so_far.tail.is_empty())
                    || (so_far.weak && starts_lower(paragraph))
            } else {
                so_far.weak && alone
            };
            if !goes_on {
                break;
            }
        }
        frags.extend(paragraph.iter().cloned());
        taken += 1;
    }
    let result = split(&frags, margin, context);
    ((result, paragraphs.into_iter().skip(taken).collect()), taken)
}

/// The leads of one couplet whose first is labelled and whose others are bare paragraphs.
fn unmarked(book: &Book, first: Piece, frags: Vec<Frag>, context: &Context) -> Vec<Piece> {
    let mut left: Vec<Vec<Frag>> = finer(paragraphs(frags), first.margin, context);
    let mut out: Vec<Piece> = Vec::new();
    loop {
        if left.is_empty() || out.len() >= MOST {
            break;
        }
        if !out.is_empty() {
            if heads(book, &left[0]) || starts_lower(&left[0]) {
                break;
            }
            let ahead = left[..left.len().min(AHEAD)].to_vec();
            let ((lead, _), _) = settle(book, ahead, first.margin, context);
            let needed = out.len() == 1;
            if lead.tail.is_empty() || (lead.weak && !needed) {
                break;
            }
        }
        let ((split, after), _) = settle(book, std::mem::take(&mut left), first.margin, context);
        left = after;
        let lead = out.len();
        let mark = if lead == 0 { first.mark.clone() } else { None };
        out.push(Piece {
            mark,
            lead,
            split,
            odd: if lead == 0 { first.odd } else { None },
            ..first.clone()
        });
    }
    if let Some(last) = out.last_mut() {
        last.after = left;
    }
    out
}

/// Parts paragraphs further where a line ends with an outcome in a column and the next line
/// begins anew, as in keys typed without blank lines.
fn finer(paragraphs: Vec<Vec<Frag>>, margin: usize, context: &Context) -> Vec<Vec<Frag>> {
    let mut out: Vec<Vec<Frag>> = Vec::new();
    for paragraph in paragraphs {
        let mut current: Vec<Frag> = Vec::new();
        for frag in paragraph {
            let points = |s: &Split| s.tail.iter().any(|t| context.pointer(&t.text).is_some());
            let capital = plain(&frag.text).trim_start().starts_with(char::is_uppercase);
            if !current.is_empty() && capital {
                let so_far = split(recent(&current), margin, context);
                let own = context.pointer(&frag.text).is_some();
                let right = frag.indent >= margin + 12;
                if !so_far.tail.is_empty()
                    && (!so_far.inline || (!so_far.weak && (so_far.seam || points(&so_far))))
                    && so_far.rest.is_empty()
                    && !own
                    && !right
                    && so_far.tail.iter().any(|t| t.line == current[current.len() - 1].line)
                {
                    out.push(std::mem::take(&mut current));
                }
            }
            current.push(frag);
        }
        if !current.is_empty() {
            out.push(current);
        }
    }
    out
}

/// Couplets of bare paragraphs, at least two of which end as leads do, in what stands between
/// labelled ones: `(leads of the couplet, from paragraph, to paragraph)`.
pub fn bare_couplet(
    book: &Book,
    between: &[Vec<Frag>],
    context: &Context,
) -> Option<(Vec<Split>, usize, usize)> {
    let mut from = 0;
    while from < between.len() {
        let mut at = from;
        let mut leads = Vec::new();
        while at < between.len() && !heads(book, &between[at]) && !starts_lower(&between[at]) {
            let margin = between[at][0].indent;
            let ahead = between[at..between.len().min(at + AHEAD)].to_vec();
            let ((lead, _), used) = settle(book, ahead, margin, context);
            if lead.tail.is_empty() || lead.weak || lead.bare || !lead.rest.is_empty() {
                break;
            }
            leads.push(lead);
            at += used.max(1);
        }
        if leads.len() >= 2 && leads.len() <= 8 {
            return Some((leads, from, at));
        }
        from = at.max(from) + 1;
    }
    None
}
