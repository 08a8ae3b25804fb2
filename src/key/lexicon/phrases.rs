//! A language's small words as numbers, ready to be met in a text.

use super::tokens::{Token, Vocabulary, Word};
use crate::text::frequency::Frequency;
use crate::text::language::Language;

/// The phrases that join and qualify what fills a gap.
#[derive(Clone, Debug)]
pub(crate) struct Phrases {
    pub or: Set,
    pub and: Set,
    pub to: Set,
    pub not: Set,
    pub binding: Set,
    pub many: Set,
    frequency: Vec<(Vec<Word>, Frequency)>,
}

/// Phrases that mean the same, longest first.
#[derive(Clone, Debug)]
pub(crate) struct Set(Vec<Vec<Word>>);

impl Set {
    fn new(phrases: &[&str], language: &Language, vocabulary: &mut Vocabulary) -> Set {
        let mut all: Vec<_> = phrases
            .iter()
            .map(|p| vocabulary.learn(p, language))
            .filter(|p| !p.is_empty())
            .collect();
        all.sort_by_key(|p| std::cmp::Reverse(p.len()));
        Set(all)
    }

    /// How many words of `tokens` the longest phrase takes; 0 where none begins there.
    pub fn met(&self, tokens: &[Token]) -> usize {
        self.0.iter().find(|p| begins(tokens, p)).map_or(0, Vec::len)
    }
}

impl Phrases {
    pub fn new(language: &Language, vocabulary: &mut Vocabulary) -> Phrases {
        let mut frequency: Vec<_> = language
            .frequency
            .iter()
            .map(|(w, f)| (vocabulary.learn(w, language), *f))
            .filter(|(w, _)| !w.is_empty())
            .collect();
        frequency.sort_by_key(|(w, _)| std::cmp::Reverse(w.len()));
        let mut set = |phrases: &[&str]| Set::new(phrases, language, vocabulary);
        Phrases {
            or: set(language.or),
            and: set(language.and),
            to: set(language.to),
            not: set(language.not),
            binding: set(language.binding),
            many: set(language.many),
            frequency,
        }
    }

    /// The word of frequency that begins `tokens`, with its length.
    pub fn frequency(&self, tokens: &[Token]) -> Option<(usize, Frequency)> {
        self.frequency.iter().find(|(p, _)| begins(tokens, p)).map(|(p, f)| (p.len(), *f))
    }
}

fn begins(tokens: &[Token], phrase: &[Word]) -> bool {
    tokens.len() >= phrase.len() && phrase.iter().zip(tokens).all(|(w, t)| *w == t.word)
}

/// Whether `tokens` begin with `words`.
pub(crate) fn follows(tokens: &[Token], words: &[Word]) -> bool {
    begins(tokens, words)
}
