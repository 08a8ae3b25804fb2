//! Declared sentences as a tree of words, each ending in the gap and what must follow it.

use foldhash::HashMap;

use super::tokens::{Vocabulary, Word};
use crate::key::character::{Character, CharacterId, Kind, StateId};
use crate::key::statement::StateSet;
use crate::text::amount::{Amount, Unit};
use crate::text::language::Language;

/// A place in the tree of openings; 0 is its root.
pub(crate) type Node = u32;

/// One sentence of one character.
#[derive(Clone, Debug)]
pub(crate) struct Form {
    pub character: CharacterId,
    /// The words after the gap.
    pub closing: Vec<Word>,
    /// Not written by anyone: `Leaf blade _` from `Leaf blade _ long`.
    pub implied: bool,
}

/// What may fill a character's gap.
#[derive(Clone, Debug)]
pub(crate) enum Filling {
    States { ordered: bool, count: usize, words: StateWords },
    Measure(Unit),
    Count { many: Option<Amount> },
    Ratio { dimension: String, many: Option<Amount> },
}

/// The words of a character's states, longest match first.
#[derive(Clone, Debug, Default)]
pub(crate) struct StateWords {
    children: HashMap<(u32, Word), u32>,
    ends: HashMap<u32, (StateSet, Option<StateId>)>,
    nodes: u32,
}

impl StateWords {
    /// Adds a state's words; `false` where the same words already stand for something else.
    pub fn add(&mut self, words: &[Word], accepts: StateSet, named: Option<StateId>) -> bool {
        let mut at = 0;
        for &w in words {
            let fresh = self.nodes + 1;
            let next = *self.children.entry((at, w)).or_insert(fresh);
            if next == fresh {
                self.nodes = fresh;
            }
            at = next;
        }
        let new = (accepts, named);
        match self.ends.get(&at) {
            Some(old) => *old == new,
            None => {
                self.ends.insert(at, new);
                true
            }
        }
    }

    /// Every length at which `words` begins with a state, longest first.
    pub fn matches(
        &self,
        words: impl Iterator<Item = Word>,
    ) -> Vec<(usize, &StateSet, Option<StateId>)> {
        let mut out = Vec::new();
        let mut at = 0;
        for (i, w) in words.enumerate() {
            match self.children.get(&(at, w)) {
                Some(&next) if w != Word::UNKNOWN => at = next,
                _ => break,
            }
            if let Some((set, named)) = self.ends.get(&at) {
                out.push((i + 1, set, *named));
            }
        }
        out.reverse();
        out
    }
}

/// All sentences of a key in one language.
#[derive(Clone, Debug, Default)]
pub(crate) struct Forms {
    children: HashMap<(Node, Word), Node>,
    parents: Vec<Node>,
    at: Vec<Vec<Form>>,
    /// By character.
    pub fillings: Vec<Filling>,
}

impl Forms {
    pub fn new() -> Forms {
        Forms { parents: vec![0], at: vec![Vec::new()], ..Forms::default() }
    }

    pub fn child(&self, node: Node, word: Word) -> Option<Node> {
        if word == Word::UNKNOWN { None } else { self.children.get(&(node, word)).copied() }
    }

    pub fn parent(&self, node: Node) -> Node {
        self.parents[node as usize]
    }

    /// The sentences whose opening ends at `node`.
    pub fn at(&self, node: Node) -> &[Form] {
        &self.at[node as usize]
    }

    /// The place that an opening leads to, made where it is new.
    pub fn reach(&mut self, opening: &[Word]) -> Node {
        let mut node = 0;
        for &w in opening {
            let fresh = self.parents.len() as Node;
            let next = *self.children.entry((node, w)).or_insert(fresh);
            if next == fresh {
                self.parents.push(node);
                self.at.push(Vec::new());
            }
            node = next;
        }
        node
    }

    /// Adds a sentence; the same opening and closing of one character twice is one.
    pub fn add(&mut self, opening: &[Word], form: Form) {
        let node = self.reach(opening);
        self.add_at(node, form);
    }

    pub fn nodes(&self) -> std::ops::Range<Node> {
        0..self.parents.len() as Node
    }

    /// Adds a sentence whose opening ends at `node`.
    pub fn add_at(&mut self, node: Node, form: Form) {
        let here = &mut self.at[node as usize];
        if !here.iter().any(|f| f.character == form.character && f.closing == form.closing) {
            here.push(form);
        }
    }
}

/// The two sides of a sentence's gap.
pub(crate) fn sides(sentence: &str) -> Option<(&str, &str)> {
    sentence.split_once('_')
}

/// A character's sentences, opening and closing apart.
pub(crate) fn sentences(
    character: &Character,
    translated: Option<&str>,
    language: &Language,
    vocabulary: &mut Vocabulary,
) -> Vec<(Vec<Word>, Vec<Word>)> {
    let written: Vec<&str> = match translated {
        Some(sentence) => vec![sentence],
        None => std::iter::once(character.sentence.as_str())
            .chain(character.also.iter().map(|(s, _)| s.as_str()))
            .collect(),
    };
    written
        .into_iter()
        .filter_map(sides)
        .map(|(a, b)| (vocabulary.learn(a, language), vocabulary.learn(b, language)))
        .collect()
}

/// What fills the gap of a character, its words learnt. `states` replaces the states' words where
/// the character is read in another language.
pub(crate) fn filling(
    character: &Character,
    states: Option<&[String]>,
    language: &Language,
    vocabulary: &mut Vocabulary,
) -> Filling {
    match &character.kind {
        Kind::Measure { unit } => Filling::Measure(*unit),
        Kind::Count => Filling::Count { many: character.many.clone() },
        Kind::Ratio { dimension } => {
            Filling::Ratio { dimension: dimension.clone(), many: character.many.clone() }
        }
        Kind::States { ordered, states: own, groups } => {
            let mut words = StateWords::default();
            for (i, state) in own.iter().enumerate() {
                let id = StateId(i as u16);
                let spelt: Vec<&str> = match states {
                    Some(other) => other.get(i).map(String::as_str).into_iter().collect(),
                    None => std::iter::once(state.word.as_str())
                        .chain(state.also.iter().map(String::as_str))
                        .collect(),
                };
                for s in spelt {
                    let learnt = vocabulary.learn(s, language);
                    if !learnt.is_empty() {
                        words.add(&learnt, state.accepts.clone(), Some(id));
                    }
                }
            }
            if states.is_none() {
                for group in groups {
                    let learnt = vocabulary.learn(&group.word, language);
                    if !learnt.is_empty() {
                        words.add(&learnt, group.accepts.clone(), None);
                    }
                }
            }
            Filling::States { ordered: *ordered, count: own.len(), words }
        }
    }
}
