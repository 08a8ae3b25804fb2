//! Leads told by their indentation alone.

use super::book::{Book, is_heading};
use super::draft::Frag;
use super::line::plain;
use super::mark::{Style, readings};
use super::outcome::{Context, split};
use super::pieces::{Piece, Pieces, paragraphs};

/// A stretch of lines that may be one key.
struct Region {
    from: usize,
    to: usize,
}

fn frag(book: &Book, line: usize, at: usize) -> Frag {
    let l = &book.lines[line];
    Frag { line, text: l.text[at..].trim().to_string(), indent: l.indent, apart: at == 0 && l.apart }
}

/// Whether a line shows a name behind a gap, or alone far to the right.
fn evidence(book: &Book, line: usize, context: &Context) -> bool {
    let one = frag(book, line, 0);
    let s = split(std::slice::from_ref(&one), one.indent, context);
    // Names within running text tell of a key only where labels do too.
    let labelled = || !readings(&one.text, 0).is_empty();
    let numbered = || s.tail.iter().any(|t| super::outcome::numbered_name(&t.text));
    if !s.tail.is_empty() && !s.weak && !s.body.is_empty() && (!s.inline || numbered() || labelled()) {
        return true;
    }
    line > 0
        && !book.lines[line].apart
        && one.indent >= book.lines[line - 1].indent + 10
        && one.text.chars().count() <= 70
}

fn regions(book: &Book, context: &Context) -> Vec<Region> {
    // Blocks without blank lines, and whether each shows names.
    let mut blocks: Vec<(usize, usize, usize)> = Vec::new();
    let mut from = 0;
    for to in 1..=book.lines.len() {
        if to == book.lines.len() || book.lines[to].apart {
            let shown = (from..to).filter(|&l| evidence(book, l, context)).count();
            blocks.push((from, to, shown));
            from = to;
        }
    }
    let mut out: Vec<Region> = Vec::new();
    let mut open: Option<Region> = None;
    // Blocks without a name that may yet belong to the key that goes on after them.
    let mut waiting: Option<usize> = None;
    for &(from, to, shown) in &blocks {
        let heading = to - from == 1 && is_heading(&book.lines[from]);
        let prose = to - from > 3 && shown * 6 < to - from;
        let deep = |r: &Region| (from..to).all(|l| book.lines[l].indent >= (r.from..r.to).map(|l| book.lines[l].indent).min().unwrap_or(0));
        if heading || prose {
            out.extend(open.take());
            waiting = None;
        } else if shown > 0 {
            match &mut open {
                Some(region) if deep(region) => region.to = to,
                _ => {
                    out.extend(open.take());
                    // Leads without a name of their own directly before begin the key.
                    let step = unit(book, &Region { from, to });
                    let least = (from..to).map(|l| book.lines[l].indent).min().unwrap_or(0);
                    let fits = |w: usize| least == book.lines[w].indent || least == book.lines[w].indent + step;
                    let start = waiting.filter(|&w| fits(w) && from - w == 1).unwrap_or(from);
                    open = Some(Region { from: start, to });
                }
            }
            waiting = None;
        } else if open.is_none() && waiting.is_none() && to - from <= 2 {
            waiting = Some(from);
        } else if open.is_none() && to - from > 2 {
            waiting = None;
        }
    }
    out.extend(open.take());
    out
}

/// The depth between a lead and its first child: the commonest step to the right at a capital.
fn unit(book: &Book, region: &Region) -> usize {
    let mut counts = std::collections::BTreeMap::new();
    for l in region.from + 1..region.to {
        let (a, b) = (&book.lines[l - 1], &book.lines[l]);
        let capital = plain(&b.text).starts_with(char::is_uppercase);
        if b.indent > a.indent && capital && b.indent - a.indent <= 10 {
            *counts.entry(b.indent - a.indent).or_insert(0usize) += 1;
        }
    }
    counts.into_iter().max_by_key(|&(step, n)| (n, std::cmp::Reverse(step))).map_or(2, |(step, _)| step)
}

/// Cuts a manuscript at its indentation.
pub fn by_indents(book: &Book, context: &Context) -> Pieces {
    let mut out = Pieces::default();
    let mut free: Vec<Frag> = Vec::new();
    let mut done = 0;
    let mut couplets = 0;
    let labelled = book
        .lines
        .iter()
        .filter(|l| readings(&l.text, 0).iter().any(|m| m.style != Style::Dash && (m.stop != ' ' || m.bracket > 0)))
        .count();
    for region in regions(book, context) {
        free.extend((done..region.from).map(|l| frag(book, l, 0)));
        done = region.to;
        let found = leads(book, &region, context, labelled * 3 > region.to - region.from);
        // A leaf without a name is a slip in a key of some size; in a small one it is no key.
        let bare = (0..found.len())
            .filter(|&i| found[i].split.tail.is_empty() && found.get(i + 1).is_none_or(|n| n.margin <= found[i].margin))
            .count();
        let named = found.iter().filter(|l| !l.split.tail.is_empty()).count();
        let two = named >= 2 && bare * 5 <= found.len();
        if !two {
            free.extend((region.from..region.to).map(|l| frag(book, l, 0)));
            continue;
        }
        let between = paragraphs(std::mem::take(&mut free));
        match out.leads.last_mut() {
            Some(last) => last.after.extend(between),
            None => out.before.extend(between),
        }
        let key = out.leads.last().map_or(0, |l| l.key + 1);
        let mut most = couplets;
        for mut lead in found {
            lead.key = key;
            lead.couplet += couplets;
            most = most.max(lead.couplet + 1);
            out.leads.push(lead);
        }
        couplets = most;
    }
    free.extend((done..book.lines.len()).map(|l| frag(book, l, 0)));
    let between = paragraphs(free);
    match out.leads.last_mut() {
        Some(last) => last.after.extend(between),
        None => out.before.extend(between),
    }
    out
}

struct Growing {
    indent: usize,
    frags: Vec<Frag>,
    mark: Option<super::mark::Mark>,
}

fn leads(book: &Book, region: &Region, context: &Context, labelled: bool) -> Vec<Piece> {
    let unit = unit(book, region);
    let mut grown: Vec<Growing> = Vec::new();
    for l in region.from..region.to {
        let line = &book.lines[l];
        let mark = labelled
            .then(|| readings(&line.text, 0).into_iter().find(|m| m.style != Style::Dash && !m.slip && (m.stop != ' ' || m.bracket > 0 || m.repeated > 1)))
            .flatten();
        let text = plain(&line.text);
        let capital = mark.is_some() || text.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit() || "×±(“\"".contains(c));
        let begins = match grown.last() {
            None => true,
            Some(current) => {
                let so_far = split(&current.frags, current.indent, context);
                let ended = !so_far.tail.is_empty() && !so_far.weak;
                let closed = current.frags.last().is_some_and(|f| plain(&f.text).trim_end().ends_with(['.', ':', ';']));
                let far = line.indent >= current.indent + 10 && !ended;
                if far || !capital && !(ended && line.indent <= current.indent) {
                    false
                } else if line.indent > current.indent {
                    let step = line.indent - current.indent;
                    !ended && (step == unit || (closed && step <= unit + 1)) && (closed || !goes_on(book, l, current.indent, unit))
                } else {
                    true
                }
            }
        };
        if begins {
            let rest = mark.as_ref().map_or(0, |m| m.rest);
            let first = Frag { text: line.text[rest..].trim().to_string(), ..frag(book, l, 0) };
            grown.push(Growing { indent: line.indent, frags: vec![first], mark });
        } else if let Some(current) = grown.last_mut() {
            current.frags.push(frag(book, l, 0));
        }
    }
    place(grown, context)
}

/// Whether a line one step to the right is the wrapped rest of a lead rather than its child: no
/// line of its depth follows before the lead's own depth is reached again.
fn goes_on(book: &Book, line: usize, parent: usize, unit: usize) -> bool {
    for next in &book.lines[line + 1..] {
        if next.indent <= parent {
            return true;
        }
        if next.indent == parent + unit && plain(&next.text).starts_with(char::is_uppercase) {
            return false;
        }
    }
    true
}

/// Couplets out of depths.
fn place(grown: Vec<Growing>, context: &Context) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::new();
    // Open couplets: their depth, number and leads.
    let mut stack: Vec<(usize, usize, usize)> = Vec::new();
    let mut couplets = 0;
    for lead in grown {
        while stack.len() > 1 && stack.last().is_some_and(|o| o.0 > lead.indent + 1) {
            stack.pop();
        }
        match stack.last_mut() {
            Some(open) if open.0.abs_diff(lead.indent) <= 1 || open.0 > lead.indent => open.2 += 1,
            _ => {
                stack.push((lead.indent, couplets, 0));
                couplets += 1;
            }
        }
        let (_, couplet, place) = stack.last().copied().unwrap_or_default();
        let mut split = split(&lead.frags, lead.indent, context);
        let rest = std::mem::take(&mut split.rest);
        out.push(Piece {
            mark: lead.mark,
            id: None,
            odd: None,
            key: 0,
            couplet,
            lead: place,
            margin: lead.indent,
            split,
            after: if rest.is_empty() { Vec::new() } else { vec![rest] },
        });
    }
    out
}
