//! The same full text from two characters: an error of the declarations, found once, at both.

use std::collections::HashMap;

use super::{Reader, character_named};
use crate::key::character::{Character, CharacterId, Kind};
use crate::key::lexicon::forms;
use crate::key::lexicon::tokens::{Vocabulary, Word};
use crate::text::finding::Finding;
use crate::text::language::Language;

impl Reader<'_> {
    /// Every state is written into every sentence of its character; measures meet where opening
    /// and closing are the same.
    pub(super) fn collisions(&mut self, characters: &[Character], language: &'static Language) {
        let mut vocabulary = Vocabulary::default();
        // A number's gap is a word that no text can hold.
        let gap = vocabulary.learn("\u{1}", language);
        let mut texts: HashMap<Vec<Word>, (CharacterId, String)> = HashMap::new();
        let mut told: Vec<(CharacterId, CharacterId)> = Vec::new();
        for (i, c) in characters.iter().enumerate() {
            let id = CharacterId(i as u32);
            let fillings: Vec<(String, Vec<Word>)> = match &c.kind {
                Kind::States { states, groups, .. } => states
                    .iter()
                    .flat_map(|s| std::iter::once(&s.word).chain(&s.also))
                    .chain(groups.iter().map(|g| &g.word))
                    .map(|w| (w.clone(), vocabulary.learn(w, language)))
                    .collect(),
                Kind::Ratio { dimension } => vec![(
                    format!("a comparison of {dimension}"),
                    [gap.clone(), vocabulary.learn(dimension, language)].concat(),
                )],
                _ => vec![("a number".to_string(), gap.clone())],
            };
            let sentences = forms::sentences(c, None, language, &mut vocabulary);
            for (opening, closing) in &sentences {
                for (word, filling) in &fillings {
                    let text = [opening.as_slice(), filling, closing].concat();
                    match texts.get(&text) {
                        None => {
                            texts.insert(text, (id, word.clone()));
                        }
                        Some((other, _)) if *other == id => {}
                        Some((other, _)) if told.contains(&(*other, id)) => {}
                        Some((other, _)) => {
                            let other = *other;
                            told.push((other, id));
                            self.collision(characters, other, id, word);
                        }
                    }
                }
            }
        }
    }

    fn collision(
        &mut self,
        characters: &[Character],
        first: CharacterId,
        second: CharacterId,
        word: &str,
    ) {
        let c = &characters[second.0 as usize];
        self.out.push(
            Finding::error(
                "colliding-sentences",
                c.sentence_span,
                format!(
                    "`{}` and `{}` both say \"{}\"",
                    character_named(characters, first),
                    c.name,
                    c.fill(word)
                ),
            )
            .why("A statement with these words could mean either, so it would be read as neither.")
            .remedy("Write the two sentences differently (`Leaves _`, `Leaf margin _`), or give the state to one of them.")
            .related(characters[first.0 as usize].sentence_span, "the other sentence is here"),
        );
    }
}
