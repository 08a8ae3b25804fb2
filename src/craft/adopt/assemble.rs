//! A draft of the key under one layout: leads taken apart, titles found, outcomes understood.

use super::book::{Book, is_heading};
use super::draft::{Draft, DraftCouplet, DraftKey, DraftLead, Frag, Goes, Oddity, Pointer, Repair};
use super::indents::by_indents;
use super::join::join;
use super::layout::{Follow, Id, Layout, Tally};
use super::line::{plain, tidy_blanks};
use super::name;
use super::outcome::{Context, Split};
use super::pieces::{Piece, Pieces, bare_couplet, by_labels, heads};
use super::report::LeftOut;
use super::sequence::{Odd, labels};

/// The words for "or" that part names.
const ORS: [&str; 6] = ["or", "oder", "of", "ou", "od.", "vel"];

/// Everything a layout finds in a manuscript; `None` where it finds no two leads.
pub fn draft(book: &Book, layout: &dyn Layout, tally: &Tally, midline: bool) -> Option<Draft> {
    let follow = layout.follow();
    let mut context = Context {
        book,
        ids: Vec::new(),
        lettered: layout.lettered(),
        nested: follow != Follow::Numbers,
        heads: titles_of(book),
    };
    if follow == Follow::Indents {
        let pieces = by_indents(book, &context);
        return build(book, pieces, &[context]);
    }
    let taken = labels(book, layout, tally, midline);
    if taken.len() < 2 && !layout.unmarked() || taken.is_empty() {
        return None;
    }
    let keys = taken.last().map_or(0, |t| t.key) + 1;
    let ids = |key: usize| -> Vec<Id> {
        let mut ids: Vec<Id> = taken.iter().filter(|t| t.key == key).map(|t| t.id).collect();
        ids.dedup();
        ids
    };
    let contexts = |nested: bool| -> Vec<Context> {
        (0..keys)
            .map(|k| Context {
                book,
                ids: ids(k),
                lettered: context.lettered,
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
                let from = if i == 0 { piece.mark.as_ref().map_or(0, |m| m.rest) } else { 0 };
                let text = line.text.get(from.min(line.text.len())..)?.trim().to_string();
                Some(Frag { line: l, text, indent: line.indent, apart: line.apart && i > 0 })
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
                let mut lead = 0;
                for &end in &ends {
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
                    lead += 1;
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

struct Builder<'a> {
    book: &'a Book,
    draft: Draft,
    /// Statements that have a number but are no couplet, by their number.
    lone: Vec<(usize, Pointer, Vec<Frag>)>,
}

fn build(book: &Book, mut pieces: Pieces, contexts: &[Context]) -> Option<Draft> {
    if pieces.leads.len() < 2 {
        return None;
    }
    let mut b = Builder { book, draft: Draft::default(), lone: Vec::new() };
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
    fn number(&self, frag: &Frag) -> u32 {
        self.book.lines.get(frag.line).map_or(0, |l| l.number)
    }

    fn leave(&mut self, paragraph: &[Frag], why: &'static str) {
        for frag in paragraph {
            let number = self.number(frag);
            self.draft.left.push(LeftOut::new(number, &frag.text, why));
        }
    }

    /// The heading among paragraphs that stand before a key; the rest is left out. At the start
    /// of the manuscript its first heading is the title of the whole.
    fn title(&mut self, paragraphs: Vec<Vec<Frag>>, first: bool) -> Option<(String, u32)> {
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
        }
        let found = own.map(|i| (words(&paragraphs[i]), self.number(&paragraphs[i][0])));
        for (i, paragraph) in paragraphs.iter().enumerate() {
            if Some(i) != own && Some(i) != whole {
                let why =
                    if heads(self.book, paragraph) { "a heading" } else { "text before the key" };
                self.leave(paragraph, why);
            }
        }
        found
    }

    fn key(
        &mut self,
        title: Option<(String, u32)>,
        first: Vec<Split>,
        alone: Vec<Split>,
        pieces: &[Piece],
        context: &Context,
    ) {
        let mut key = DraftKey { nested: context.nested, ..DraftKey::default() };
        if let Some((title, line)) = title {
            key.title = Some(title);
            key.title_line = line;
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
        let mut places: Vec<(usize, usize)> = Vec::new();
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
                if goes_on && !heads(self.book, paragraph) {
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
            match places.iter().find(|p| p.0 == piece.couplet) {
                Some(&(_, at)) => key.couplets[at].leads.push(lead),
                None => {
                    places.push((piece.couplet, key.couplets.len()));
                    key.couplets.push(DraftCouplet { id: piece.id, leads: vec![lead] });
                }
            }
        }
        if context.nested {
            nest(&mut key, pieces, &places);
        }
        self.draft.keys.push(key);
    }

    /// Keeps a note under its lead; one as long as a chapter is left out.
    fn remark(&mut self, lead: &mut DraftLead, paragraph: &[Frag], why: &'static str) {
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

    fn odd(&mut self, piece: &Piece, line: u32, label: &str) {
        if let Some(odd) = piece.odd {
            self.draft.odd_labels += 1;
            let (rule, what) = match odd {
                Odd::Gap => (
                    "label-out-of-sequence",
                    format!(
                        "`{label}` does not follow the label before it: something between is missing"
                    ),
                ),
                Odd::Repeated => {
                    ("label-out-of-sequence", format!("`{label}` stands a second time"))
                }
                Odd::Orphan => {
                    ("label-out-of-sequence", format!("`{label}` has no first lead before it"))
                }
            };
            self.draft.oddities.push(Oddity {
                line,
                rule,
                what,
                remedy: "Compare the print: correct the label, or write what is missing.".into(),
            });
        }
        if let Some(mark) = piece.mark.as_ref().filter(|m| m.slip) {
            let what = if matches!(mark.stop, ',' | ';') {
                format!("`{}` was read as a label with a full stop", mark.written)
            } else {
                format!(
                    "`{}` was read as the number {}: the labels around it ask for it",
                    mark.written, mark.ordinal
                )
            };
            self.draft.repairs.push(Repair { line, kind: "slip", what });
        }
    }

    /// Takes out paragraphs that begin with a number but are no lead: `4. The genus ...`.
    fn lone_statements(&mut self, paragraphs: Vec<Vec<Frag>>, key: usize) -> Vec<Vec<Frag>> {
        let mut out = Vec::new();
        for mut paragraph in paragraphs {
            let mark = super::mark::readings(&paragraph[0].text, 0).into_iter().find(|m| {
                m.style == super::mark::Style::Number
                    && m.letter.is_none()
                    && m.primes == 0
                    && m.stop != ' '
            });
            match mark {
                Some(mark) if paragraph[0].apart || paragraph[0].line > 0 => {
                    let rest = paragraph[0].text.split_off(mark.rest);
                    paragraph[0].text = rest;
                    let pointer = Pointer {
                        number: mark.ordinal,
                        capital: mark.capital,
                        lead: None,
                        written: mark.written,
                        slip: false,
                    };
                    self.lone.push((key, pointer, paragraph));
                }
                _ => out.push(paragraph),
            }
        }
        out
    }

    /// Leads that point at a lone statement stop there; statements that nothing points at are
    /// left out.
    fn stops(&mut self) {
        for (key, number, paragraph) in std::mem::take(&mut self.lone) {
            let text = self.joined(&paragraph);
            let line = self.number(&paragraph[0]);
            let letters = format!("{}{}", number.written, letters_of(&paragraph));
            let lines: Vec<u32> = paragraph.iter().map(|f| self.number(f)).collect();
            let known = self.draft.keys.get(key).is_some_and(|k| {
                k.couplets.iter().any(|c| c.id == Some((number.number, number.capital)))
            });
            let mut used = false;
            if let Some(key) = self.draft.keys.get_mut(key).filter(|_| !known) {
                for lead in key.couplets.iter_mut().flat_map(|c| &mut c.leads) {
                    let points = matches!(&lead.goes, Goes::Pointer(p) if p.number == number.number && p.capital == number.capital);
                    if points {
                        lead.goes = Goes::Stop(text.clone());
                        if !used {
                            lead.letters.push_str(&letters);
                            lead.lines.extend(&lines);
                        }
                        used = true;
                    }
                }
            }
            if used {
                self.draft.oddities.push(Oddity {
                    line,
                    rule: "couplet-with-one-lead",
                    what: format!("`{}` is a single statement and no couplet", number.written),
                    remedy: "Its text stands as the reason where the key stops; write a couplet if one is missing.".into(),
                });
            } else {
                let mut paragraph = paragraph;
                paragraph[0].text = format!("{} {}", number.written, paragraph[0].text);
                self.leave(&paragraph, "a numbered statement that no lead points at");
            }
        }
    }

    fn joined(&mut self, frags: &[Frag]) -> String {
        tidy_blanks(&join(frags, self.book, &mut self.draft.repairs))
    }

    fn lead(
        &mut self,
        mark: Option<&super::mark::Mark>,
        split: &Split,
        context: &Context,
    ) -> DraftLead {
        let text = self.joined(&split.body);
        let mut lines: Vec<u32> =
            split.body.iter().chain(&split.tail).map(|f| self.number(f)).collect();
        lines.sort_unstable();
        lines.dedup();
        let label = mark.map(|m| m.written.clone()).unwrap_or_default();
        let back: Vec<String> = mark.map(|m| m.back.clone()).unwrap_or_default();
        let letters = format!(
            "{label}{}{}{}",
            back.concat(),
            letters_of(&split.body),
            letters_of(&split.tail)
        );
        let mut lead = DraftLead {
            label,
            back,
            text,
            goes: Goes::Nowhere,
            tail: split.tail.iter().map(|f| tidy_blanks(&f.text)).collect::<Vec<_>>().join(" "),
            remarks: Vec::new(),
            lines,
            letters,
        };
        let line = lead.lines.last().copied().unwrap_or(0);
        self.goes(&mut lead, split, context, line);
        if split.weak && !matches!(lead.goes, Goes::Nowhere) {
            self.draft.repairs.push(Repair {
                line,
                kind: "outcome",
                what: format!(
                    "`{}` was taken as where the lead goes, though nothing but its place says so",
                    lead.tail
                ),
            });
        }
        lead
    }

    fn goes(&mut self, lead: &mut DraftLead, split: &Split, context: &Context, line: u32) {
        if split.tail.is_empty() {
            return;
        }
        // Several lines: pieces of one name, or several names.
        let mut parts: Vec<Vec<Frag>> = Vec::new();
        for frag in &split.tail {
            let text = plain(&frag.text);
            let low =
                text.trim_start().starts_with(|c: char| c.is_lowercase() || "(&×".contains(c));
            let open = parts.last().is_some_and(|p: &Vec<Frag>| {
                let before = p.iter().map(|f| plain(&f.text)).collect::<Vec<_>>().join(" ");
                let bare = before.trim_end();
                let full =
                    name::likely(&before, self.book) == name::Likely::Yes && bare.contains(' ');
                low || bare.ends_with([',', '-', '('])
                    || before.matches('(').count() > before.matches(')').count()
                    || !(bare.ends_with('.') || full)
            });
            match parts.last_mut() {
                Some(last) if open => last.push(frag.clone()),
                _ => parts.push(vec![frag.clone()]),
            }
        }
        let texts: Vec<String> =
            parts.iter().map(|p| join(p, self.book, &mut self.draft.repairs)).collect();
        if texts.len() == 1 {
            let text = &texts[0];
            if let Some(pointer) = context.pointer(text) {
                if pointer.slip {
                    let what = format!(
                        "`{}` was read as the number {}, which is a couplet here",
                        pointer.written, pointer.number
                    );
                    self.draft.repairs.push(Repair { line, kind: "slip", what });
                }
                lead.goes = Goes::Pointer(pointer);
                return;
            }
            let bare = tidy_blanks(text);
            if let Some(goes) = elsewhere(&bare, context) {
                lead.goes = goes;
                return;
            }
        }
        let named = name::name(&texts, &ORS, self.book);
        let plausible = named.names.iter().all(|n| {
            let core = name::strip_remarks(n);
            let small =
                core.split_whitespace().filter(|w| w.starts_with(char::is_lowercase)).count();
            core.split_whitespace().count() <= 9 && small <= 5 && !core.is_empty()
        });
        if named.names.is_empty() || !plausible {
            let whole: Vec<String> = texts.iter().map(|t| tidy_blanks(t)).collect();
            lead.goes = Goes::Stop(whole.join(" "));
            return;
        }
        if texts.len() > 1 {
            self.draft.oddities.push(Oddity {
                line,
                rule: "several-names",
                what: format!("{} names stand under `{}`: {}", named.names.len(), lead.label, named.names.join("; ")),
                remedy: "Look whether one of them belongs to another lead; both were kept here, parted by `or`.".into(),
            });
        }
        for what in &named.changed {
            self.draft.repairs.push(Repair { line, kind: "name", what: what.clone() });
        }
        lead.remarks.extend(named.remarks);
        lead.goes = Goes::Names(named.names);
    }
}

/// `2b, in FAGACEAE, p. 22`; `Group B`; `Key to the grasses`; `Table II, page 13`; a reason to stop.
fn elsewhere(text: &str, context: &Context) -> Option<Goes> {
    let bare = text.trim().trim_end_matches('.').trim_matches(['(', ')']).trim();
    for sep in [", in ", " in ", " of ", ", ", ", siehe "] {
        if let Some((place, rest)) = bare.split_once(sep)
            && let Some(p) = super::pointer::read(place, false)
        {
            let name = rest.split([',', '(']).next().unwrap_or(rest).trim().to_string();
            if name.starts_with(char::is_uppercase) {
                return Some(Goes::Key { name, at: Some(p.written), words: text.to_string() });
            }
        }
    }
    let low = bare.to_lowercase();
    let keyed = [
        "key",
        "group",
        "subkey",
        "table",
        "tabelle",
        "gruppe",
        "section",
        "schlüssel",
        "tabel",
        "groep",
        "part",
        "see key",
        "go to",
        "see",
    ]
    .iter()
    .any(|w| low.strip_prefix(w).is_some_and(|r| r.starts_with(' ')));
    let head = bare.split([',', '(']).next().unwrap_or(bare).trim();
    if context.head(head) || keyed && head.split_whitespace().count() <= 8 {
        return Some(Goes::Key { name: head.to_string(), at: None, words: text.to_string() });
    }
    let count = bare.split_whitespace().count();
    let small = bare.split_whitespace().filter(|w| w.starts_with(char::is_lowercase)).count();
    (count >= 5 && small * 2 > count && !bare.starts_with(char::is_uppercase))
        .then(|| Goes::Stop(text.to_string()))
}

/// Gives leads that go nowhere the couplet that begins right after them.
fn nest(key: &mut DraftKey, pieces: &[Piece], places: &[(usize, usize)]) {
    let at = |couplet: usize| places.iter().find(|p| p.0 == couplet).map(|p| p.1);
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
