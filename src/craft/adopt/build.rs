//! A draft out of pieces: titles found, couplets gathered, notes kept under their leads.

use std::collections::BTreeMap;

use super::book::Book;
use super::draft::{Draft, DraftCouplet, DraftKey, DraftLead, Frag, Goes, Pointer};
use super::line::{plain, tidy_blanks};
use super::outcome::{Context, Split};
use super::pieces::{Piece, Pieces, bare_couplet, heads};
use super::placed::{drop_empty, unplaced};
use super::report::LeftOut;

pub(super) struct Builder<'a> {
    pub(super) book: &'a Book,
    pub(super) draft: Draft,
    /// Statements that have a number but are no couplet.
    pub(super) lone: Vec<Lone>,
}

/// A statement that has a number but is no couplet.
pub(super) struct Lone {
    pub(super) key: usize,
    pub(super) number: Pointer,
    /// All that was printed before its text.
    pub(super) label: String,
    pub(super) paragraph: Vec<Frag>,
}

/// The heading of a key and where it stands: the manuscript's line, the book's line.
pub(super) struct Title {
    text: String,
    line: u32,
    at: usize,
}

/// A draft out of pieces.
pub(super) fn build(book: &Book, mut pieces: Pieces, contexts: &[Context]) -> Option<Draft> {
    let mut left = unplaced(book, &pieces);
    left.extend(drop_empty(book, &mut pieces));
    if pieces.leads.len() < 2 {
        return None;
    }
    let mut b = Builder { book, draft: Draft { left, ..Draft::default() }, lone: Vec::new() };
    let keys = pieces.leads.last().map_or(0, |p| p.key) + 1;
    b.draft.labels = pieces.leads.len();
    let nested = contexts[0].nested;
    let mut between = std::mem::take(&mut pieces.before);
    let mut at = 0;
    for key in 0..keys {
        let context = &contexts[key.min(contexts.len() - 1)];
        let from = at;
        while at < pieces.leads.len() && pieces.leads[at].key == key {
            at += 1;
        }
        let mut leads: Vec<Piece> = pieces.leads[from..at].to_vec();
        if leads.is_empty() {
            continue;
        }
        let mut first_couplet = Vec::new();
        if leads.iter().any(|l| l.mark.is_none()) && !nested {
            // Bare paragraphs before the key: its unnumbered first couplet, or a key of their own.
            while let Some((found, start, end)) = bare_couplet(book, &between, context) {
                let headed = between[end..].iter().any(|p| heads(book, p)) || end < between.len();
                let before: Vec<Vec<Frag>> = between.drain(..start).collect();
                between.drain(..end - start);
                if headed {
                    let title = b.title(before, false);
                    b.key(title, Vec::new(), found, &[], context);
                } else {
                    between = before;
                    first_couplet = found;
                    break;
                }
            }
        }
        let title = b.title(std::mem::take(&mut between), b.draft.keys.is_empty());
        if let Some(last) = leads.last_mut() {
            between = std::mem::take(&mut last.after);
        }
        b.key(title, first_couplet, Vec::new(), &leads, context);
    }
    // What follows the last key; a key of bare paragraphs may stand there too.
    let context = &contexts[contexts.len() - 1];
    if !nested && pieces.leads.iter().any(|l| l.mark.is_none()) {
        while let Some((found, start, end)) = bare_couplet(book, &between, context) {
            let before: Vec<Vec<Frag>> = between.drain(..start).collect();
            between.drain(..end - start);
            let title = b.title(before, false);
            b.key(title, Vec::new(), found, &[], context);
        }
    }
    between = b.lone_statements(between, b.draft.keys.len().saturating_sub(1));
    for paragraph in between {
        b.leave(&paragraph, "text after the key");
    }
    b.stops();
    Some(b.draft)
}

impl Builder<'_> {
    pub(super) fn number(&self, frag: &Frag) -> u32 {
        self.book.lines.get(frag.line).map_or(0, |l| l.number)
    }

    pub(super) fn leave(&mut self, paragraph: &[Frag], why: &'static str) {
        for frag in paragraph {
            let number = self.number(frag);
            self.draft.left.push(LeftOut::new(number, &frag.text, why));
        }
    }

    /// The heading among paragraphs that stand before a key; the rest is left out. At the start
    /// of the manuscript its first heading is the title of the whole.
    pub(super) fn title(&mut self, paragraphs: Vec<Vec<Frag>>, first: bool) -> Option<Title> {
        let headings: Vec<usize> =
            (0..paragraphs.len()).filter(|&i| heads(self.book, &paragraphs[i])).collect();
        let short = |i: usize| {
            paragraphs
                .get(i)
                .is_some_and(|p: &Vec<Frag>| p.len() == 1 && p[0].text.chars().count() <= 80)
        };
        let keyed = headings.iter().rev().copied().find(|&i| {
            let low = plain(&paragraphs[i][0].text).to_lowercase();
            low.contains("key")
                || low.contains("schlüssel")
                || low.contains("clavis")
                || low.contains("group")
        });
        let own = keyed.filter(|_| first).or(headings.last().copied());
        let titled = short(0) && !plain(&paragraphs[0][0].text).trim_end().ends_with('.');
        let whole = if first {
            titled.then_some(0).or(headings.first().copied()).or(short(0).then_some(0))
        } else {
            None
        };
        let words = |p: &[Frag]| {
            let all: Vec<String> = p.iter().map(|f| tidy_blanks(&f.text)).collect();
            all.join(" ")
        };
        let own = own.or(whole.filter(|_| first));
        if let Some(i) = whole {
            self.draft.title = Some(words(&paragraphs[i]));
            self.draft.title_line = self.number(&paragraphs[i][0]);
            self.draft.title_at = Some(paragraphs[i][0].line);
        }
        let found = own.map(|i| Title {
            text: words(&paragraphs[i]),
            line: self.number(&paragraphs[i][0]),
            at: paragraphs[i][0].line,
        });
        for (i, paragraph) in paragraphs.iter().enumerate() {
            if Some(i) != own && Some(i) != whole {
                let why =
                    if heads(self.book, paragraph) { "a heading" } else { "text before the key" };
                self.leave(paragraph, why);
            }
        }
        found
    }

    pub(super) fn key(
        &mut self,
        title: Option<Title>,
        first: Vec<Split>,
        alone: Vec<Split>,
        pieces: &[Piece],
        context: &Context,
    ) {
        let mut key = DraftKey { nested: context.nested, ..DraftKey::default() };
        if let Some(title) = title {
            key.title = Some(title.text);
            key.title_line = title.line;
            key.title_at = Some(title.at);
        }
        for splits in [first, alone] {
            if !splits.is_empty() {
                let mut leads = Vec::new();
                for split in &splits {
                    let mut lead = self.lead(None, split, context);
                    if !split.rest.is_empty() {
                        self.remark(&mut lead, &split.rest, "text behind a lead's outcome");
                    }
                    leads.push(lead);
                }
                key.couplets.push(DraftCouplet { id: None, leads });
            }
        }
        let mut places: BTreeMap<usize, usize> = BTreeMap::new();
        let index = self.draft.keys.len();
        for (i, piece) in pieces.iter().enumerate() {
            let mut lead = self.lead(piece.mark.as_ref(), &piece.split, context);
            let goes_on = i + 1 < pieces.len();
            if !piece.split.rest.is_empty() {
                self.draft.behind += letters_of(&piece.split.rest).chars().count();
                self.remark(&mut lead, &piece.split.rest, "text behind a lead's outcome");
            }
            let after = self.lone_statements(piece.after.clone(), index);
            for paragraph in &after {
                let over = pieces.get(i + 1).is_some_and(|next| {
                    next.lead == 0 && next.couplet != piece.couplet && !context.nested
                }) && self.overhead(paragraph);
                if over {
                    self.leave(paragraph, "a heading between couplets");
                } else if goes_on && !heads(self.book, paragraph) {
                    self.remark(&mut lead, paragraph, "text between leads");
                } else {
                    let why = if heads(self.book, paragraph) {
                        "a heading"
                    } else {
                        "text between leads"
                    };
                    self.leave(paragraph, why);
                }
            }
            let line = lead.lines.first().copied().unwrap_or(0);
            self.odd(piece, line, &lead.label);
            match places.get(&piece.couplet) {
                Some(&at) => key.couplets[at].leads.push(lead),
                None => {
                    places.insert(piece.couplet, key.couplets.len());
                    key.couplets.push(DraftCouplet { id: piece.id, leads: vec![lead] });
                }
            }
        }
        if context.nested {
            self.uneven(pieces);
            nest(&mut key, pieces, &places);
        }
        self.draft.keys.push(key);
    }

    /// Whether a paragraph is one short line that is no sentence: a heading of what follows.
    fn overhead(&self, paragraph: &[Frag]) -> bool {
        let [only] = paragraph else { return false };
        let text = plain(&only.text);
        let end = text.trim_end();
        only.apart
            && end.starts_with(char::is_uppercase)
            && !end.ends_with(['.', ';', ','])
            && end.split_whitespace().count() <= 8
            && end.chars().any(char::is_lowercase)
    }

    /// Keeps a note under its lead; one as long as a chapter is left out.
    pub(super) fn remark(&mut self, lead: &mut DraftLead, paragraph: &[Frag], why: &'static str) {
        let count: usize = paragraph.iter().map(|f| f.text.split_whitespace().count()).sum();
        if count > 80 {
            self.leave(paragraph, why);
            return;
        }
        let text = self.joined(paragraph);
        if !text.is_empty() {
            lead.remarks.push(text);
        }
        lead.letters.push_str(&letters_of(paragraph));
        let lines: Vec<u32> = paragraph.iter().map(|f| self.number(f)).collect();
        lead.lines.extend(lines);
    }
}

/// Gives leads that go nowhere the couplet that begins right after them.
fn nest(key: &mut DraftKey, pieces: &[Piece], places: &BTreeMap<usize, usize>) {
    let at = |couplet: usize| places.get(&couplet).copied();
    for pair in pieces.windows(2) {
        let (parent, child) = (&pair[0], &pair[1]);
        if child.lead != 0 || child.couplet == parent.couplet {
            continue;
        }
        let (Some(from), Some(to)) = (at(parent.couplet), at(child.couplet)) else { continue };
        let Some(lead) = key.couplets[from].leads.get_mut(parent.lead) else { continue };
        // A name on a lead that goes on is a heading of what follows: it stays with the words.
        match &lead.goes {
            Goes::Pointer(_) => {}
            Goes::Nowhere => lead.goes = Goes::Child(to),
            _ => {
                let tail = std::mem::take(&mut lead.tail);
                lead.text = format!("{} {tail}", lead.text).trim().to_string();
                lead.remarks.clear();
                lead.goes = Goes::Child(to);
            }
        }
    }
}

/// The letters and digits of some pieces.
pub fn letters_of(frags: &[Frag]) -> String {
    frags.iter().flat_map(|f| f.text.chars()).filter(|c| c.is_alphanumeric()).collect()
}
