//! Where a lead's statements end and its outcome begins.

mod columns;
mod inline;

use super::book::Book;
use super::draft::{Frag, Pointer};
use super::layout::Id;
use super::line::{OFF, ON, plain};
use super::pointer::{self, Called};
use columns::{columns, is_emphasised, leader};
use inline::inline;

pub use columns::{has_leader, numbered_name};
pub use inline::family_number;

/// What is known of the key while its leads are read.
pub struct Context<'a> {
    pub book: &'a Book,
    /// The couplets of the key.
    pub ids: std::collections::BTreeSet<Id>,
    /// By what couplets are called.
    pub called: Called,
    /// Couplets follow by order: a number in running text is no pointer.
    pub nested: bool,
    /// Heads of the manuscript's keys in lower case, without `key to`.
    pub heads: Vec<String>,
}

/// A lead taken apart.
#[derive(Clone, Debug, Default)]
pub struct Split {
    pub body: Vec<Frag>,
    /// What is printed where the lead goes, a name a piece; empty where nothing is.
    pub tail: Vec<Frag>,
    /// Lines after the outcome that belong to neither.
    pub rest: Vec<Frag>,
    /// Nothing but its wording says where the outcome begins.
    pub weak: bool,
    /// It stands in running text, without a leader, a gap or a line of its own.
    pub inline: bool,
    /// A colon, a dash or an arrow leads to it.
    pub seam: bool,
    /// It is a name in plain type within running text.
    pub bare: bool,
}

impl Context<'_> {
    pub fn has(&self, p: &Pointer) -> bool {
        self.ids.contains(&(p.number, p.capital))
    }

    /// The text as a pointer that may be meant.
    pub fn pointer(&self, text: &str) -> Option<Pointer> {
        let p = pointer::read(text, self.called)?;
        (!p.slip || self.has(&p)).then_some(p)
    }

    /// Whether a text alone on its line, or behind a gap, can be an outcome.
    fn outcome_like(&self, text: &str) -> bool {
        if self.pointer(text).is_some() {
            return true;
        }
        let bare = plain(text);
        let bare = bare.trim();
        let (_, rest) = super::name::strip_number(bare);
        bare.chars().count() <= 90
            && (rest.starts_with(char::is_uppercase)
                || rest.starts_with(['×', '“', '"', '('])
                || text.trim().starts_with(ON)
                || rest != bare)
            || self.head(bare)
    }

    /// Whether a text names a key of the manuscript.
    pub fn head(&self, text: &str) -> bool {
        let low = super::write::head_key(text);
        low.len() > 2 && self.heads.iter().any(|h| *h == low || h.starts_with(&format!("{low} ")))
    }
}

/// Takes a lead apart. `margin` is the indentation of its first line.
pub fn split(frags: &[Frag], margin: usize, context: &Context) -> Split {
    let mut out = Split::default();
    let mut open_leader = false;
    // Where the right one of two columns begins.
    let mut edge: Option<usize> = None;
    let piece = |f: &Frag, text: &str| Frag { text: text.trim().to_string(), ..f.clone() };
    for (i, frag) in frags.iter().enumerate() {
        let text = frag.text.as_str();
        let listed = out.body.last().is_some_and(|b| {
            let before = plain(&b.text);
            let last = before.trim_end().rsplit(' ').next().unwrap_or_default().to_lowercase();
            out.tail.is_empty()
                && (last.ends_with(',')
                    || ["and", "or", "&", "und", "oder"].contains(&last.as_str()))
        });
        if let Some(edge) = edge.filter(|_| i > 0 && !frag.apart) {
            if frag.column.abs_diff(edge) <= 1 && !text.is_empty() {
                out.tail.push(frag.clone());
                continue;
            }
            if let Some((left, right)) = at_edge(text, frag.column, edge) {
                out.body.push(piece(frag, left));
                out.tail.push(piece(frag, right));
                continue;
            }
        }
        let last = i + 1 == frags.len() && out.tail.is_empty();
        let own = i > 0
            && !out.body.is_empty()
            && (own_line(frag, margin, open_leader, context)
                || (last && name_below(&out.body, frag, context)));
        if own && !(listed && frag.indent < margin + 12) {
            match leader(text) {
                Some(("", right)) => out.tail.push(piece(frag, right)),
                _ => out.tail.push(frag.clone()),
            }
            open_leader = false;
            continue;
        }
        if let Some((left, right, dots)) = columns(text, context) {
            let goes_on = frags.get(i + 1).is_some_and(|n| !n.apart);
            let sensible = !right.is_empty()
                && (!dots || context.outcome_like(right) || i + 1 == frags.len())
                || (right.is_empty() && dots && (goes_on || i + 1 == frags.len()));
            if sensible {
                if !out.tail.is_empty() && !left.trim().is_empty() && sentence(&out.tail) {
                    out.rest.extend_from_slice(&frags[i..]);
                    break;
                }
                if !left.trim().is_empty() {
                    out.body.push(piece(frag, left));
                }
                if !right.trim().is_empty() {
                    out.tail.push(piece(frag, right));
                }
                open_leader = right.trim().is_empty();
                if !dots && !text.contains('\t') {
                    let before = text.len() - right.len();
                    edge = Some(frag.column + plain(&text[..before]).chars().count());
                }
                continue;
            }
        }
        if !out.tail.is_empty() {
            // Two columns that wrap: the left one may be the longer. Other text is a note.
            let low = plain(text).starts_with(|c: char| c.is_lowercase() || "(,;".contains(c));
            let open = out.body.last().is_none_or(|b| !plain(&b.text).ends_with(['.', ':']));
            let pointer = out.tail.iter().all(|t| context.pointer(&t.text).is_some());
            if !frag.apart
                && low
                && plain(&out.tail[out.tail.len() - 1].text).trim_end().ends_with([',', '(', '-'])
            {
                out.tail.push(frag.clone());
            } else if !frag.apart && (low || (open && !pointer)) && frag.indent < margin + 24 {
                out.body.push(frag.clone());
            } else {
                out.rest.extend_from_slice(&frags[i..]);
                break;
            }
            continue;
        }
        if open_leader {
            out.tail.push(frag.clone());
            open_leader = false;
            continue;
        }
        out.body.push(frag.clone());
    }
    if out.tail.is_empty() {
        inline(&mut out, context);
        out.inline = !out.tail.is_empty();
    }
    out.body.retain(|f| !f.text.is_empty());
    out
}

fn sentence(tail: &[Frag]) -> bool {
    tail.last().is_some_and(|t| plain(&t.text).trim_end().ends_with('.'))
}

/// What stands before and after the blanks that end where the right column begins.
fn at_edge(text: &str, column: usize, edge: usize) -> Option<(&str, &str)> {
    let mut at = column;
    let mut blanks = 0;
    for (i, c) in text.char_indices() {
        if c == ' ' {
            blanks += 1;
        } else {
            if blanks >= 2 && at.abs_diff(edge) <= 1 {
                return Some((&text[..i], &text[i..]));
            }
            blanks = 0;
        }
        at += usize::from(!matches!(c, ON | OFF));
    }
    None
}

/// Whether the last line of a lead is a species' name, printed below statements that have ended.
fn name_below(body: &[Frag], frag: &Frag, context: &Context) -> bool {
    let open = body.last().is_none_or(|b| {
        let before = plain(&b.text);
        let before = before.trim_end();
        let word = before.rsplit(' ').next().unwrap_or_default().to_lowercase();
        before.ends_with([',', ';', '-', '(', '—', '–'])
            || ["of", "in", "than", "as", "like", "and", "or", "to", "with", "by", "the"]
                .contains(&word.as_str())
    });
    !open && super::name::species(&frag.text, context.book)
}

/// Whether a line holds nothing but the outcome.
fn own_line(frag: &Frag, margin: usize, open_leader: bool, context: &Context) -> bool {
    let text = frag.text.as_str();
    if context.pointer(text).is_some_and(|p| context.has(&p) || frag.indent >= margin + 12) {
        // A wrapped line of running text can be a lone number only by mischance.
        return true;
    }
    if let Some((left, right)) = leader(text)
        && left.is_empty()
        && !right.is_empty()
    {
        return true;
    }
    let like = context.outcome_like(text);
    let right = frag.indent >= margin + 12 && like;
    let marked = is_emphasised(text) && like && frag.indent > margin;
    right || marked || (open_leader && like)
}
