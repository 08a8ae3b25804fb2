//! Leads told by their indentation alone.

use std::collections::BTreeMap;

use super::book::{Book, is_heading};
use super::draft::Frag;
use super::line::plain;
use super::mark::{Mark, Style, readings};
use super::outcome::{Context, split};
use super::pieces::{Piece, Pieces, paragraphs, recent};

/// One lead while its lines come in.
struct Growing {
    indent: usize,
    frags: Vec<Frag>,
    mark: Option<Mark>,
    /// It is a heading, or it neither ends nor leads on: no lead.
    out: bool,
    ended: bool,
    apart: bool,
}

fn frag(book: &Book, line: usize, at: usize) -> Frag {
    let l = &book.lines[line];
    Frag {
        line,
        text: l.text[at..].trim().to_string(),
        indent: l.indent,
        column: l.indent + plain(&l.text[..at]).chars().count(),
        apart: at == 0 && l.apart,
    }
}

/// The depth between a lead and its first child: the commonest step to the right at a capital.
fn unit(book: &Book) -> usize {
    for blanks in [false, true] {
        let mut counts = std::collections::BTreeMap::new();
        for pair in book.lines.windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            let capital = plain(&b.text).starts_with(char::is_uppercase);
            if b.indent > a.indent && capital && b.indent - a.indent <= 10 && (blanks || !b.apart) {
                *counts.entry(b.indent - a.indent).or_insert(0usize) += 1;
            }
        }
        let best = counts.into_iter().max_by_key(|&(step, n)| (n, std::cmp::Reverse(step)));
        if let Some((step, _)) = best {
            return step;
        }
    }
    2
}

/// Cuts a manuscript at its indentation.
pub fn by_indents(book: &Book, context: &Context) -> Pieces {
    let mut out = Pieces::default();
    let mut free: Vec<Frag> = Vec::new();
    let mut couplets = 0;
    let mut rest = grow(book, context).into_iter().peekable();
    while rest.peek().is_some() {
        let mut run: Vec<Growing> = Vec::new();
        while let Some(lead) = rest.next_if(|l| !l.out) {
            run.push(lead);
        }
        // A single lead above all others, a blank line below it or a key's title, is text before
        // the key.
        let mut skip = 0;
        let title = |l: &Growing| l.frags.first().is_some_and(|f| is_heading(&book.lines[f.line]));
        while run.len() > skip + 1
            && (run[skip + 1].apart || title(&run[skip]))
            && !run[skip].ended
            && run[skip + 1..].iter().all(|l| l.indent > run[skip].indent)
        {
            skip += 1;
        }
        free.extend(run.drain(..skip).flat_map(whole));
        let named = run.iter().filter(|l| l.ended).count();
        let bare = (0..run.len())
            .filter(|&i| !run[i].ended && run.get(i + 1).is_none_or(|n| n.indent <= run[i].indent))
            .count();
        if named < 2 || bare * 5 > run.len() {
            free.extend(run.into_iter().flat_map(whole));
        } else {
            let between = paragraphs(std::mem::take(&mut free));
            match out.leads.last_mut() {
                Some(last) => last.after.extend(between),
                None => out.before.extend(between),
            }
            let key = out.leads.last().map_or(0, |l| l.key + 1);
            let mut most = couplets;
            for mut lead in place(run, context) {
                lead.key = key;
                lead.couplet += couplets;
                most = most.max(lead.couplet + 1);
                out.leads.push(lead);
            }
            couplets = most;
        }
        if let Some(other) = rest.next_if(|l| l.out) {
            free.extend(whole(other));
        }
    }
    let between = paragraphs(free);
    match out.leads.last_mut() {
        Some(last) => last.after.extend(between),
        None => out.before.extend(between),
    }
    out
}

/// All lines of a lead as they stand, its label included.
fn whole(lead: Growing) -> Vec<Frag> {
    let mut frags = lead.frags;
    if let (Some(mark), Some(first)) = (&lead.mark, frags.first_mut()) {
        first.text = format!("{} {}", mark.written, first.text);
    }
    frags
}

/// Groups lines into leads, and tells which are none.
fn grow(book: &Book, context: &Context) -> Vec<Growing> {
    let unit = unit(book);
    let labels = |line: usize| {
        readings(&book.lines[line].text, 0).into_iter().find(|m| {
            m.style != Style::Dash && !m.slip && (m.stop != ' ' || m.bracket > 0 || m.repeated > 1)
        })
    };
    let labelled =
        (0..book.lines.len()).filter(|&l| labels(l).is_some()).count() * 3 > book.lines.len();
    // Only the leads of one depth may be labelled: every line there but headings, two at least.
    let mut depths: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    for (l, line) in book.lines.iter().enumerate().filter(|(_, l)| !is_heading(l)) {
        let depth = depths.entry(line.indent).or_default();
        depth.0 += 1;
        depth.1 += usize::from(labels(l).is_some());
    }
    depths.retain(|_, (all, marked)| *marked >= 2 && all == marked);
    let mut grown: Vec<Growing> = Vec::new();
    for (l, line) in book.lines.iter().enumerate() {
        let known = labelled || depths.contains_key(&line.indent);
        let mark = if known { labels(l) } else { None };
        let text = plain(&line.text);
        let capital = mark.is_some()
            || text.starts_with(|c: char| {
                c.is_uppercase() || c.is_ascii_digit() || "×±(“\"".contains(c)
            });
        let alone = line.apart && book.lines.get(l + 1).is_none_or(|n| n.apart);
        let begins = match grown.last() {
            None => true,
            Some(current) if current.out && line.apart => true,
            Some(current) => {
                let so_far = split(recent(&current.frags), current.indent, context);
                let ended = !so_far.tail.is_empty() && !so_far.weak;
                let closed = current
                    .frags
                    .last()
                    .is_some_and(|f| plain(&f.text).trim_end().ends_with(['.', ':', ';']));
                let far =
                    line.indent >= current.indent + 10 && !ended && line.text.chars().count() <= 80;
                let anew = capital || ended && line.indent <= current.indent;
                if far || !anew {
                    false
                } else if line.apart || line.indent <= current.indent {
                    true
                } else {
                    let step = line.indent - current.indent;
                    let child = step == unit || (closed && step <= unit + 1);
                    !ended && child && (closed || !goes_on(book, l, current.indent, unit))
                }
            }
        };
        if begins {
            let rest = mark.as_ref().map_or(0, |m| m.rest);
            let first = Frag { apart: line.apart, ..frag(book, l, rest) };
            let heading = line.heading || alone && mark.is_none() && is_heading(line);
            grown.push(Growing {
                indent: line.indent,
                frags: vec![first],
                mark,
                out: heading,
                ended: false,
                apart: line.apart,
            });
        } else if let Some(current) = grown.last_mut() {
            current.frags.push(frag(book, l, 0));
        }
    }
    for lead in &mut grown {
        let s = split(&lead.frags, lead.indent, context);
        // Names within running text tell of a key only where labels do too.
        let numbered = s.tail.iter().any(|t| super::outcome::numbered_name(&t.text));
        let told = !s.inline || numbered || s.seam || lead.mark.is_some();
        lead.ended = !lead.out && !s.tail.is_empty() && !s.weak && !s.body.is_empty() && told;
    }
    // What neither ends nor leads on is no lead, but for a slip within a block of others.
    for i in 0..grown.len() {
        let deeper = grown.get(i + 1).is_some_and(|n| n.indent > grown[i].indent && !n.out);
        let amid = !grown[i].apart
            && i > 0
            && grown[i - 1].ended
            && grown.get(i + 1).is_some_and(|n| n.ended && !n.apart);
        grown[i].out |= !grown[i].ended && !deeper && !amid;
    }
    grown
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
        let split = split(&lead.frags, lead.indent, context);
        out.push(Piece {
            mark: lead.mark,
            id: None,
            odd: None,
            key: 0,
            couplet,
            lead: place,
            margin: lead.indent,
            first: lead.frags.first().map(|f| f.line),
            until: None,
            split,
            after: Vec::new(),
        });
    }
    out
}
