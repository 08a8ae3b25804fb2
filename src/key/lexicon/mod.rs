//! The declared sentences of a key, ready to read statements with.
//!
//! A statement is read left to right, item by item; an item is an opening (its own, or any
//! beginning of the one before), what fills the gap, and the closing, whole or not at all. What
//! remains from the first item that cannot be read is prose.

pub(crate) mod forms;
mod gap;
mod near;
mod parts;
mod phrases;
mod read;
pub(crate) mod tokens;

use std::sync::Mutex;

use foldhash::HashMap;

use super::character::{Character, CharacterId, Kind};
use crate::text::amount::Unit;
use crate::text::language::Language;
use crate::text::notation::Fault;
use forms::{Filling, Form, Forms};
use phrases::Phrases;
use tokens::{Known, Token, Vocabulary, Word};

pub use near::Nearby;
pub(crate) use near::nearest;
pub use parts::split;
pub use read::{Ambiguity, Read};
pub(crate) use tokens::unclosed;

/// Reads statements in one language.
#[derive(Debug)]
pub struct Lexicon {
    pub(crate) language: &'static Language,
    vocabulary: Vocabulary,
    forms: Forms,
    phrases: Phrases,
    /// Closings that say length, and closings that say width.
    dimensions: (Vec<Vec<Word>>, Vec<Vec<Word>>),
    /// First words of sentences, for suggestions, in the order of declaration.
    first_words: Vec<Box<str>>,
    /// The comparable words of each character's states, for suggestions.
    state_words: Vec<Vec<Box<str>>>,
    suggestions: Mutex<HashMap<Box<str>, Option<Box<str>>>>,
}

/// Room to work in, kept from one part to the next.
#[derive(Debug, Default)]
pub struct Scratch {
    tokens: Vec<Token>,
    /// The measures met in the part in hand, by the byte where each begins.
    measures: Vec<(u32, Option<gap::Number>)>,
    spoilt: Vec<Fault>,
    known: Known,
}

impl Lexicon {
    /// The sentences of `characters` as they are written in the key's own language.
    pub fn new(characters: &[Character], language: &'static Language) -> Lexicon {
        Lexicon::build(characters, language, false)
    }

    /// The translation lines of `characters` in `language`; a character without one is read in
    /// the key's own words.
    pub fn translated(characters: &[Character], language: &'static Language) -> Lexicon {
        Lexicon::build(characters, language, true)
    }

    fn build(characters: &[Character], language: &'static Language, translated: bool) -> Lexicon {
        let mut vocabulary = Vocabulary::default();
        let phrases = Phrases::new(language, &mut vocabulary);
        let mut lexicon = Lexicon {
            language,
            vocabulary,
            forms: Forms::new(),
            phrases,
            dimensions: Default::default(),
            first_words: Vec::new(),
            state_words: Vec::new(),
            suggestions: Mutex::default(),
        };
        lexicon.dimensions = (lexicon.closings(language.long), lexicon.closings(language.wide));
        for (i, character) in characters.iter().enumerate() {
            lexicon.add(CharacterId(i as u32), character, translated);
        }
        lexicon.imply(characters);
        lexicon
    }

    fn closings(&mut self, words: &[&str]) -> Vec<Vec<Word>> {
        words.iter().map(|w| self.vocabulary.learn(w, self.language)).collect()
    }

    fn add(&mut self, id: CharacterId, character: &Character, translated: bool) {
        let line = if translated {
            character.translations.iter().find(|t| t.language == self.language.code)
        } else {
            None
        };
        let sentence = line.map(|t| t.sentence.as_str());
        let states = line.map(|t| t.states.as_slice());
        for (opening, closing) in
            forms::sentences(character, sentence, self.language, &mut self.vocabulary)
        {
            self.forms.add(&opening, Form { character: id, closing, implied: false });
        }
        let filling = forms::filling(character, states, self.language, &mut self.vocabulary);
        self.forms.fillings.push(filling);
        self.learn_suggestions(character, sentence, states);
    }

    /// "A lone measurement means length; `long` is not added" (Flora of China guidelines, section
    /// 11): `Leaf blade _ long` is read without its last word too, where no other character
    /// claims that sentence.
    fn imply(&mut self, characters: &[Character]) {
        for node in self.forms.nodes() {
            let here = self.forms.at(node);
            if here.iter().any(|f| {
                f.closing.is_empty()
                    && !matches!(characters[f.character.0 as usize].kind, Kind::States { .. })
            }) {
                continue;
            }
            let lengths: Vec<CharacterId> = here
                .iter()
                .filter(|f| matches!(characters[f.character.0 as usize].kind, Kind::Measure { .. }))
                .filter(|f| self.dimensions.0.contains(&f.closing))
                .map(|f| f.character)
                .collect();
            // Two of them make a lone measure ambiguous, which is told where one is written.
            for character in lengths {
                self.forms.add_at(node, Form { character, closing: Vec::new(), implied: true });
            }
        }
    }

    /// The unit in which a measured character is kept.
    fn unit_of(&self, id: CharacterId) -> Option<Unit> {
        match self.forms.fillings.get(id.0 as usize)? {
            Filling::Measure(unit) => Some(*unit),
            _ => None,
        }
    }
}
