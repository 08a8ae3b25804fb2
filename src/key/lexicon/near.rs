//! What an unread statement was probably meant to say: only within two letters of a declared word.

use std::sync::PoisonError;

use super::Lexicon;
use super::forms;
use super::tokens::{Known, Token, comparable};
use crate::key::character::{Character, CharacterId};
use crate::text::span::Span;
use crate::text::words::Words;

/// A word that is nearly a declared one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nearby {
    pub span: Span,
    pub written: String,
    pub meant: String,
    /// The character whose state is meant; `None` for the first word of a sentence.
    pub character: Option<CharacterId>,
}

impl Lexicon {
    pub(super) fn learn_suggestions(
        &mut self,
        character: &Character,
        sentence: Option<&str>,
        states: Option<&[String]>,
    ) {
        let sentence = sentence.unwrap_or(&character.sentence);
        if let Some(first) = forms::sides(sentence).and_then(|(a, _)| a.split_whitespace().next()) {
            let word: Box<str> = comparable(first, self.language).into();
            if word.chars().count() >= 4 && !self.first_words.contains(&word) {
                self.first_words.push(word);
            }
        }
        let words: Vec<Box<str>> = match states {
            Some(s) => s.iter().map(|w| Box::from(w.as_str())).collect(),
            None => character
                .states()
                .iter()
                .flat_map(|s| std::iter::once(&s.word).chain(&s.also))
                .map(|w| Box::from(w.as_str()))
                .collect(),
        };
        self.state_words.push(words);
    }

    /// Looks at a part of which nothing was read for a word within two letters of a declared one.
    pub fn nearby(&self, text: &str, range: (usize, usize), words: &Words) -> Option<Nearby> {
        let part = &text[range.0..range.1];
        let first = part.split_whitespace().next()?;
        let first_word = comparable(first.trim_matches([',', '.', ':', '(', ')']), self.language);
        if !self.vocabulary.knows(&first_word) {
            let meant = self.suggest(&first_word)?;
            let end = range.0 + first.trim_end_matches([',', '.', ':']).len();
            return Some(Nearby {
                span: words.locate_span(range.0, end),
                written: first.to_string(),
                meant: meant.to_string(),
                character: None,
            });
        }
        self.nearby_state(part, range.0, words)
    }

    fn suggest(&self, word: &str) -> Option<Box<str>> {
        if word.chars().count() < 4 || !word.starts_with(char::is_alphabetic) {
            return None;
        }
        // What another thread found before it failed is right all the same.
        let mut suggestions = self.suggestions.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = suggestions.get(word) {
            return known.clone();
        }
        let found = nearest(word, self.first_words.iter().map(|w| &**w)).map(Box::from);
        suggestions.insert(word.into(), found.clone());
        found
    }

    /// The words of a part, how many of them are the longest opening that it begins with, and the
    /// node of that.
    fn longest_opening(&self, part: &str) -> Option<(Vec<Token>, usize, u32)> {
        let mut tokens = Vec::new();
        self.vocabulary.read(part, self.language, &mut Known::default(), &mut tokens);
        let mut node = 0;
        let mut deepest = None;
        for (i, t) in tokens.iter().enumerate() {
            match self.forms.child(node, t.word) {
                Some(next) => node = next,
                None => break,
            }
            if !self.forms.at(node).is_empty() {
                deepest = Some((i + 1, node));
            }
        }
        let (at, node) = deepest?;
        Some((tokens, at, node))
    }

    /// The longest opening that the part begins with, then the nearest state of its characters.
    fn nearby_state(&self, part: &str, base: usize, words: &Words) -> Option<Nearby> {
        let (tokens, at, node) = self.longest_opening(part)?;
        let rest = tokens.get(at..).filter(|r| !r.is_empty())?;
        for form in self.forms.at(node) {
            let closing = form.closing.len();
            if rest.len() <= closing
                || !super::phrases::follows(&rest[rest.len() - closing..], &form.closing)
            {
                continue;
            }
            let (from, to) = (rest[0].start as usize, rest[rest.len() - closing - 1].end as usize);
            let written = &part[from..to];
            let low = written.to_lowercase();
            let states = self.state_words[form.character.0 as usize].iter().map(|w| &**w);
            if let Some(meant) = nearest(&low, states) {
                return Some(Nearby {
                    span: words.locate_span(base + from, base + to),
                    written: written.to_string(),
                    meant: meant.to_string(),
                    character: Some(form.character),
                });
            }
        }
        None
    }
}

impl Lexicon {
    /// The character whose states a part of which nothing was read speaks of, and what it says of
    /// it: the part begins as one of its sentences, and what follows is made of words of its
    /// states and of words that join them.
    pub fn states_misput(&self, part: &str) -> Option<(CharacterId, String)> {
        let (tokens, at, node) = self.longest_opening(part)?;
        let rest = tokens.get(at..).filter(|r| !r.is_empty())?;
        let [form] = self.forms.at(node) else { return None };
        let closing = form.closing.len();
        if rest.len() <= closing
            || !super::phrases::follows(&rest[rest.len() - closing..], &form.closing)
        {
            return None;
        }
        let (from, to) = (rest[0].start as usize, rest[rest.len() - closing - 1].end as usize);
        let filling = &part[from..to];
        let known: std::collections::BTreeSet<&str> = self.state_words[form.character.0 as usize]
            .iter()
            .flat_map(|w| w.split(|c: char| !c.is_alphanumeric()))
            .filter(|w| w.chars().count() > 2)
            .collect();
        let joins = [self.language.or, self.language.and, self.language.to];
        let low = filling.to_lowercase();
        let mut any = false;
        for word in low.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()) {
            let joined = joins.iter().any(|j| j.contains(&word));
            if !joined && !known.contains(word) {
                return None;
            }
            any |= !joined;
        }
        let filling: Vec<&str> = filling.split_whitespace().collect();
        any.then(|| (form.character, filling.join(" ")))
    }
}

/// The word within two letters of `word` (one where it is short), the first of the nearest.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    let limit = match length {
        0..=2 => return None,
        3..=5 => 1,
        _ => 2,
    };
    known
        .filter(|k| k.len().abs_diff(word.len()) <= 4)
        .map(|k| (strsim::damerau_levenshtein(word, k), k))
        .filter(|(d, k)| (1..=limit).contains(d) && k.chars().count() > 2)
        .min_by_key(|(d, _)| *d)
        .map(|(_, k)| k)
}
