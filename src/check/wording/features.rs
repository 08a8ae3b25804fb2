//! What a lead says, feature by feature: each statement that was read is one, and so is each clause
//! of prose.

use std::ops::Range;

use crate::check::lists::{Kinds, Lists, Organ};
use crate::key::character::Character;
use crate::key::{CharacterId, Key, Lead, Part};
use crate::text::span::Span;

use super::words::{Vocabulary, Word, WordId};

/// How many words may stand before the part that a clause is about.
const HEAD: usize = 2;

/// After these the clause is about something else.
const NO_SUBJECT_AFTER: Kinds = Kinds::PREPOSITION.and(Kinds::OPENER);

/// One thing that a lead says of the plant.
#[derive(Clone, Debug)]
pub(in crate::check) struct Feature {
    pub span: Span,
    /// Its words among those of the lead.
    words: Range<u32>,
    /// Which part of the lead, and which statement of the part; `None` for prose.
    pub statement: Option<(u32, u32)>,
    pub character: Option<CharacterId>,
    /// Where on the plant it is seen.
    pub organ: Option<Organ>,
    /// The words among [`Feature::words`] that name its subject.
    subject: Range<u32>,
    /// Another lead of the couplet speaks of the same.
    pub contrasted: bool,
    /// No other lead of the couplet speaks of the same, as far as can be seen.
    pub alone: bool,
}

impl Feature {
    pub fn is_prose(&self) -> bool {
        self.statement.is_none()
    }

    /// Its words, remarks among them.
    pub fn words<'s>(&self, said: &'s Said) -> &'s [Word] {
        &said.words[self.words.start as usize..self.words.end as usize]
    }

    /// The words of its subject, for prose.
    pub fn subject<'s>(&self, said: &'s Said) -> &'s [Word] {
        &said.words[self.subject.start as usize..self.subject.end as usize]
    }
}

/// What one lead says.
#[derive(Clone, Debug, Default)]
pub(in crate::check) struct Said {
    pub words: Vec<Word>,
    /// In the order of the text.
    pub features: Vec<Feature>,
}

/// What declared characters are about.
#[derive(Debug)]
pub(in crate::check) struct Subject {
    /// Where on the plant it is seen: as `part` says, else by the words of its sentence.
    pub organ: Option<Organ>,
    /// The plant parts that its sentences name.
    pub nouns: Vec<WordId>,
}

impl Subject {
    pub(super) fn of(
        character: &Character,
        key: &Key,
        lists: Option<&Lists>,
        vocabulary: &mut Vocabulary,
    ) -> Subject {
        let language = key.heading.language;
        let sentences = std::iter::once(&character.sentence)
            .chain(character.also.iter().map(|(sentence, _)| sentence));
        let mut nouns = Vec::new();
        for sentence in sentences {
            let words = vocabulary.learn(sentence, language, lists);
            nouns.extend(words.into_iter().filter(|w| vocabulary.kinds(*w).has(Kinds::PART)));
        }
        let organ = match &character.part {
            Some(part) => vocabulary
                .learn(part, language, lists)
                .into_iter()
                .find_map(|w| vocabulary.organ(w)),
            None => nouns.iter().find_map(|w| vocabulary.organ(*w)),
        };
        Subject { organ, nouns }
    }
}

impl Said {
    pub(super) fn of(
        lead: &Lead,
        key: &Key,
        lists: Option<&Lists>,
        subjects: &[Subject],
        vocabulary: &mut Vocabulary,
    ) -> Said {
        let words = vocabulary.read(&lead.body, key.source.text(), key.heading.language, lists);
        let mut said = Said { words, features: Vec::new() };
        for (p, part) in lead.parts.iter().enumerate() {
            for (s, statement) in part.statements.iter().enumerate() {
                let words = said.within(statement.span);
                said.features.push(Feature {
                    span: statement.span,
                    subject: words.start..words.start,
                    words,
                    statement: Some((p as u32, s as u32)),
                    character: Some(statement.character),
                    organ: subjects[statement.character.0 as usize].organ,
                    contrasted: false,
                    alone: false,
                });
            }
            said.prose(part, vocabulary);
        }
        said
    }

    fn within(&self, span: Span) -> Range<u32> {
        let from = self.words.partition_point(|w| w.span.start < span.start);
        let to = self.words.partition_point(|w| w.span.start < span.end);
        from as u32..to as u32
    }

    // Prose is cut into clauses at the commas after which a part of the plant is named.
    fn prose(&mut self, part: &Part, vocabulary: &Vocabulary) {
        let Some(span) = part.prose else { return };
        let all = self.within(span);
        let mut from = all.start;
        for i in all.clone() {
            let word = self.words[i as usize];
            let begins = word.after_comma
                && !word.in_remark
                && i > from
                && vocabulary.kinds(word.id).has(Kinds::PART);
            if begins {
                self.clause(from..i, vocabulary);
                from = i;
            }
        }
        self.clause(from..all.end, vocabulary);
    }

    fn clause(&mut self, words: Range<u32>, vocabulary: &Vocabulary) {
        let own = &self.words[words.start as usize..words.end as usize];
        let (Some(first), Some(last)) = (own.first(), own.last()) else { return };
        if own.iter().all(|w| w.in_remark) {
            return;
        }
        let kinds = |w: &Word| vocabulary.kinds(w.id);
        let is_part = |w: &Word| !w.in_remark && kinds(w).has(Kinds::PART);
        let first_part = own.iter().position(is_part).unwrap_or(own.len());
        let run = own[first_part..].iter().take_while(|w| is_part(w)).count();
        // The subject stands at the beginning: `attached to the stem` is not about the stem.
        let before = own[..first_part].iter().filter(|w| !w.in_remark);
        let heads = before.clone().count() <= HEAD
            && !before.clone().any(|w| kinds(w).has(NO_SUBJECT_AFTER));
        let organ = |words: &[Word]| words.iter().find_map(|w| vocabulary.organ(w.id));
        // `edge of the leaf`: the organ comes behind a preposition.
        let behind = || {
            let mut open = false;
            own[first_part + run..].iter().find_map(|w| {
                if open && is_part(w) {
                    return vocabulary.organ(w.id);
                }
                open =
                    kinds(w).has(Kinds::PREPOSITION) || (open && kinds(w).has(Kinds::UNSTRESSED));
                None
            })
        };
        let organ = organ(&own[first_part..first_part + run]).or_else(behind);
        let subject = if heads { first_part..first_part + run } else { 0..0 };
        let feature = Feature {
            span: first.span.to(last.span),
            subject: words.start + subject.start as u32..words.start + subject.end as u32,
            words,
            statement: None,
            character: None,
            organ,
            contrasted: false,
            alone: false,
        };
        self.features.push(feature);
    }
}
