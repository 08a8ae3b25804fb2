//! The statements of leads and accounts: read part by part, and what is odd about them reported.

use rayon::prelude::*;

use super::{Reader, character_named};
use crate::key::character::Character;
use crate::key::lexicon::{Lexicon, Read, Scratch, unclosed};
use crate::key::model::Share;
use crate::key::statement::{Extent, Part, Statement, Value};
use crate::text::amount;
use crate::text::finding::Finding;
use crate::text::tree::{Below, Body};
use crate::text::words::Words;

impl Reader<'_> {
    /// Reads the texts of all accounts and leads, on all cores: [`Reader::parts`] gives them out.
    pub(super) fn read_ahead(&mut self, characters: &[Character], lexicon: &Lexicon) {
        let entries = self.tree.sections.iter().flat_map(|s| &s.entries);
        let texts: Vec<&Words> = entries
            .flat_map(|e| {
                let lead = match &e.body {
                    Body::Lead(lead) => Some(&lead.body),
                    _ => None,
                };
                let account = matches!(e.body, Body::Account { .. });
                let below = e.below.iter().filter(move |_| account).filter_map(|b| match b {
                    Below::Text { words, .. } => Some(words),
                    Below::Note(_) => None,
                });
                lead.into_iter().chain(below)
            })
            .filter(|words| !words.is_empty())
            .collect();
        let source = self.text;
        let read: Vec<Reading> = texts
            .par_iter()
            .with_min_len(8)
            .map_init(Scratch::default, |scratch, words| {
                Reading::of(source, words, characters, lexicon, scratch)
            })
            .collect();
        let at = texts.iter().filter_map(|words| words.segments.first());
        self.ahead = at.map(|s| s.start).zip(read).collect();
    }

    /// Reads all parts of a text.
    pub(super) fn parts(
        &mut self,
        words: &Words,
        characters: &[Character],
        lexicon: &Lexicon,
    ) -> Vec<Part> {
        let at = words.segments.first().map(|s| s.start);
        let reading = at.and_then(|at| self.ahead.remove(&at)).unwrap_or_else(|| {
            Reading::of(self.text, words, characters, lexicon, &mut Scratch::default())
        });
        self.out.extend(reading.findings);
        self.share.whole += reading.share.whole;
        self.share.to_a_point += reading.share.to_a_point;
        self.share.prose += reading.share.prose;
        reading.parts
    }
}

/// The parts of one text, and what there is to say about them.
#[derive(Default)]
pub(super) struct Reading {
    parts: Vec<Part>,
    findings: Vec<Finding>,
    share: Share,
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
        for range in lexicon.split(&text) {
            let read = lexicon.read_with(&text, range, words, scratch);
            out.tell(&text, range, words, &read, characters, lexicon);
            match read.part.extent() {
                Extent::Whole => out.share.whole += 1,
                Extent::ToAPoint => out.share.to_a_point += 1,
                Extent::Prose => out.share.prose += 1,
            }
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
