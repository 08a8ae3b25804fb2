//! A draft of the key under one layout: its labels or indents found, and what hangs on them.

use std::collections::BTreeSet;

use super::book::{Book, is_heading};
use super::build::build;
use super::draft::{Draft, Frag};
use super::indents::by_indents;
use super::layout::{Follow, Id, Layout, Tally};
use super::line::plain;
use super::outcome::{Context, Split};
use super::pieces::{Piece, Pieces, by_labels};
use super::sequence::labels;

/// Everything a layout finds in a manuscript; `None` where it finds no two leads.
pub fn draft(book: &Book, layout: &dyn Layout, tally: &Tally, midline: bool) -> Option<Draft> {
    let follow = layout.follow();
    let mut context = Context {
        book,
        ids: Default::default(),
        called: layout.called(),
        nested: follow != Follow::Numbers,
        heads: titles_of(book),
    };
    if follow == Follow::Indents && book.tabular {
        return None;
    }
    if follow == Follow::Indents {
        let pieces = by_indents(book, &context);
        return build(book, pieces, &[context]);
    }
    let taken = labels(book, layout, tally, midline);
    if taken.len() < 2 && !layout.unmarked() || taken.is_empty() {
        return None;
    }
    let keys = taken.last().map_or(0, |t| t.key) + 1;
    let ids = |key: usize| -> BTreeSet<Id> {
        taken.iter().filter(|t| t.key == key).map(|t| t.id).collect()
    };
    let contexts = |nested: bool| -> Vec<Context> {
        (0..keys)
            .map(|k| Context {
                book,
                ids: ids(k),
                called: context.called,
                nested,
                heads: context.heads.clone(),
            })
            .collect()
    };
    if follow == Follow::Levels {
        let contexts = contexts(true);
        let pieces = unlettered(by_labels(book, layout, &taken, &contexts), &contexts);
        return build(book, pieces, &contexts);
    }
    let linked = contexts(false);
    let pieces = by_labels(book, layout, &taken, &linked);
    // Pointers, against leads that go nowhere but to the couplet that follows them.
    let mut pointers = 0;
    let mut children = 0;
    for (i, piece) in pieces.leads.iter().enumerate() {
        let c = &linked[piece.key];
        let pointed =
            piece.split.tail.iter().any(|t| c.pointer(&t.text).is_some_and(|p| c.has(&p)));
        let next = pieces.leads.get(i + 1);
        let child =
            next.is_some_and(|n| n.lead == 0 && n.key == piece.key && n.couplet != piece.couplet);
        pointers += usize::from(pointed);
        children += usize::from(child && (piece.split.tail.is_empty() || piece.split.weak));
    }
    context.nested = children > pointers;
    if context.nested {
        let contexts = contexts(true);
        let pieces = by_labels(book, layout, &taken, &contexts);
        return build(book, pieces, &contexts);
    }
    build(book, pieces, &linked)
}

/// Heads of keys by which leads may point at them.
fn titles_of(book: &Book) -> Vec<String> {
    book.lines
        .iter()
        .filter(|l| is_heading(l))
        .map(|l| super::write::head_key(&l.text))
        .filter(|h| h.len() > 2)
        .collect()
}

/// In an outline the last level may have no labels: lines below a labelled lead that each end
/// with a name are leads of a couplet of their own.
fn unlettered(pieces: Pieces, contexts: &[Context]) -> Pieces {
    let mut out = Pieces { before: pieces.before, leads: Vec::new() };
    let mut extra = pieces.leads.iter().map(|p| p.couplet + 1).max().unwrap_or(0);
    for piece in pieces.leads {
        let context = &contexts[piece.key.min(contexts.len() - 1)];
        let mut frags: Vec<Frag> = piece.split.body.clone();
        frags.extend(piece.split.tail.iter().cloned());
        frags.extend(piece.split.rest.iter().cloned());
        frags.extend(piece.after.iter().flatten().cloned());
        // One line's body and outcome stand as two pieces: only the lines count here.
        let mut lines: Vec<usize> = frags.iter().map(|f| f.line).collect();
        lines.sort_unstable();
        lines.dedup();
        let whole: Vec<Frag> = lines
            .iter()
            .enumerate()
            .filter_map(|(i, &l)| {
                let line = &context.book.lines[l];
                // Only what is this lead's: not its own label, nor the label of the next lead.
                let from = match &piece.mark {
                    Some(mark) if piece.first == Some(l) => mark.rest,
                    _ => 0,
                };
                let to = match piece.until {
                    Some((next, at)) if next == l => at,
                    _ => line.text.len(),
                };
                let text = super::line::balanced(line.text.get(from..to)?.trim());
                let column = line.indent + plain(&line.text[..from]).chars().count();
                Some(Frag {
                    line: l,
                    text,
                    indent: line.indent,
                    column,
                    apart: line.apart && i > 0,
                })
            })
            .collect();
        let ends: Vec<usize> = (0..whole.len())
            .filter(|&i| {
                let s = super::outcome::split(&whole[i..=i], whole[i].indent, context);
                !s.tail.is_empty() && !s.weak && !s.body.is_empty()
            })
            .collect();
        let head_end = whole.iter().position(|f| plain(&f.text).trim_end().ends_with(['.', ':']));
        let deeper = |i: usize| {
            whole[i].indent > piece.margin && plain(&whole[i].text).starts_with(char::is_uppercase)
        };
        let start = head_end.map(|h| h + 1).filter(|&s| {
            s < whole.len()
                && deeper(s)
                && whole[s].indent == whole[ends.first().copied().unwrap_or(s).max(s)].indent
        });
        match start {
            Some(start) if ends.len() >= 2 && ends[0] >= start => {
                let body = whole[..start].to_vec();
                out.leads.push(Piece {
                    split: Split { body, ..Split::default() },
                    after: Vec::new(),
                    ..piece.clone()
                });
                let mut from = start;
                for (lead, &end) in ends.iter().enumerate() {
                    let frags = &whole[from..=end];
                    let margin = frags[0].indent;
                    out.leads.push(Piece {
                        mark: None,
                        id: None,
                        odd: None,
                        couplet: extra,
                        lead,
                        margin,
                        split: super::outcome::split(frags, margin, context),
                        after: Vec::new(),
                        ..piece.clone()
                    });
                    from = end + 1;
                }
                if from < whole.len()
                    && let Some(last) = out.leads.last_mut()
                {
                    last.after.push(whole[from..].to_vec());
                }
                extra += 1;
            }
            _ => out.leads.push(piece),
        }
    }
    out
}
