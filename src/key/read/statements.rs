//! The statements of leads and accounts: read part by part, and what is odd about them reported.

use rayon::prelude::*;

use super::{Reader, character_named};
use crate::key::character::Character;
use crate::key::lexicon::{Lexicon, Read, Scratch, unclosed};
use crate::key::statement::{Extent, Part, Statement, Value};
use crate::text::amount;
use crate::text::finding::Finding;
use crate::text::tree::{Body, Entry, Tree};
use crate::text::words::Words;

/// So many texts are read at once, on all cores.
const AT_ONCE: usize = 4096;

/// The texts of all accounts and leads, some of them read before they are asked for.
pub(super) struct Ahead<'a> {
    /// In the order in which they are asked for: those of accounts, then those of leads.
    texts: Vec<&'a Words>,
    next: usize,
    /// The readings of those from `next` on.
    read: std::vec::IntoIter<Reading>,
}

impl<'a> Ahead<'a> {
    pub fn of(tree: &'a Tree) -> Ahead<'a> {
        let entries = || tree.sections.iter().flat_map(|s| &s.entries);
        let accounts = entries().filter(|e| matches!(e.body, Body::Account { .. }));
        let leads = entries().filter_map(|e| match &e.body {
            Body::Lead(lead) => Some(&lead.body),
            _ => None,
        });
        let texts = accounts.flat_map(Entry::texts).chain(leads);
        let texts = texts.filter(|words| !words.is_empty()).collect();
        Ahead { texts, next: 0, read: Vec::new().into_iter() }
    }

    /// The reading of the next text, if it is this one; where it is not there yet, it and those
    /// that follow it are read by `read`.
    fn take(
        &mut self,
        words: &Words,
        read: impl Fn(&Words, &mut Scratch) -> Reading + Sync,
    ) -> Option<Reading> {
        if !self.texts.get(self.next).is_some_and(|next| std::ptr::eq(*next, words)) {
            return None;
        }
        if self.read.len() == 0 {
            let until = self.texts.len().min(self.next + AT_ONCE);
            let all = self.texts[self.next..until].par_iter().with_min_len(8);
            let all: Vec<Reading> =
                all.map_init(Scratch::default, |scratch, words| read(words, scratch)).collect();
            self.read = all.into_iter();
        }
        self.next += 1;
        self.read.next()
    }
}

impl Reader<'_> {
    /// Reads all parts of a text.
    pub(super) fn parts(
        &mut self,
        words: &Words,
        characters: &[Character],
        lexicon: &Lexicon,
    ) -> Vec<Part> {
        let source = self.text;
        let read = |words: &Words, scratch: &mut Scratch| {
            Reading::of(source, words, characters, lexicon, scratch)
        };
        let ahead = self.ahead.take(words, read);
        let reading = ahead.unwrap_or_else(|| read(words, &mut Scratch::default()));
        self.out.extend(reading.findings);
        for part in &reading.parts {
            match part.extent() {
                Extent::Whole => self.share.whole += 1,
                Extent::ToAPoint => self.share.to_a_point += 1,
                Extent::Prose => self.share.prose += 1,
            }
        }
        reading.parts
    }
}

/// The parts of one text, and what there is to say about them.
#[derive(Default)]
pub(super) struct Reading {
    parts: Vec<Part>,
    findings: Vec<Finding>,
}

impl Reading {
    fn of(
        source: &str,
        words: &Words,
        characters: &[Character],
        lexicon: &Lexicon,
        scratch: &mut Scratch,
    ) -> Reading {
        let text = words.text(source);
        let mut out = Reading::default();
        if let Some((from, to)) = unclosed(&text) {
            out.findings.push(
                Finding::warning(
                    "bracket-not-closed",
                    words.locate_span(from, to),
                    "this bracket is never closed",
                )
                .why("What stands in brackets is a remark that nothing reasons with; without its end, all that follows is taken for one.")
                .remedy("Close it where the remark ends."),
            );
        }
        let ranges = lexicon.split(&text);
        out.parts.reserve_exact(ranges.len());
        for range in ranges {
            let read = lexicon.read_with(&text, range, words, scratch);
            out.tell(&text, range, words, &read, characters, lexicon);
            out.parts.push(read.part);
        }
        out
    }

    fn tell(
        &mut self,
        text: &str,
        range: (usize, usize),
        words: &Words,
        read: &Read,
        characters: &[Character],
        lexicon: &Lexicon,
    ) {
        if let Some(a) = &read.ambiguity {
            let (one, two) = a.characters;
            self.findings.push(
                Finding::error(
                    "ambiguous-statement",
                    a.span,
                    format!(
                        "this can be read as `{}` and as `{}`",
                        character_named(characters, one),
                        character_named(characters, two)
                    ),
                )
                .why("Nothing is guessed: it was read as neither.")
                .remedy("Write the sentence out in full, as it is declared.")
                .related(characters[one.0 as usize].sentence_span, "one sentence")
                .related(characters[two.0 as usize].sentence_span, "the other"),
            );
        }
        for (character, span) in &read.units_missing {
            let c = &characters[character.0 as usize];
            let unit = c.unit().map_or("", amount::Unit::sign);
            self.findings.push(
                Finding::warning(
                    "unit-missing",
                    *span,
                    format!("a measure of `{}` without a unit", c.name),
                )
                .why("Nothing is guessed: it was not read.")
                .remedy(format!("Write the unit after the figure, such as `{unit}`.")),
            );
        }
        for (span, kind) in &read.spoilt {
            self.findings.push(
                Finding::warning("figure-not-sure", *span, kind.what())
                    .why("Nothing is guessed: the statement was not read.")
                    .remedy(kind.remedy()),
            );
        }
        for (character, span) in &read.at_once {
            self.findings.push(
                Finding::note(
                    "two-states-at-once",
                    *span,
                    format!("two states of `{}` at once", character_named(characters, *character)),
                )
                .why("A bare comma means that both hold; alternatives take `or`, `to` or a word of frequency.")
                .remedy("Write `or` between them; if both hold at once, they are two characters."),
            );
        }
        if read.part.statements.is_empty()
            && read.ambiguity.is_none()
            && read.units_missing.is_empty()
            && read.spoilt.is_empty()
            && !characters.is_empty()
            && let Some(near) = lexicon.nearby(text, range, words)
        {
            let what = match near.character {
                Some(c) => format!(
                    "`{}` is no state of `{}`",
                    near.written,
                    character_named(characters, c)
                ),
                None => format!("no sentence begins with `{}`", near.written),
            };
            self.findings.push(
                Finding::warning(
                    "near-word",
                    near.span,
                    format!("{what}; did you mean `{}`?", near.meant),
                )
                .why(
                    "The statement was not read: it is shown as prose and nothing reasons with it.",
                )
                .remedy(format!("Write `{}`; or declare the word, if it is meant.", near.meant))
                .mend(near.span, near.meant),
            );
        }
        for statement in &read.part.statements {
            self.low_above_high(statement);
        }
    }

    fn low_above_high(&mut self, statement: &Statement) {
        let Value::Number(amount) = &statement.value else { return };
        let wrong = amount
            .extents
            .iter()
            .any(|e| e.usual.is_void() || e.extreme.is_void() || !e.extreme.covers(&e.usual));
        if wrong {
            self.findings.push(
                Finding::error("low-above-high", statement.span, "these limits are out of order")
                    .why("Limits rise from the lowest extreme to the highest: (2-)3-5(-7).")
                    .remedy("Look at the figures again: a digit slipped, or a unit."),
            );
        }
    }
}
