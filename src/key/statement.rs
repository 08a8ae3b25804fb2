//! Statements: what a lead, an account or an observer says, and how much of it was read.

use smallvec::SmallVec;

use crate::text::amount::Amount;
use crate::text::frequency::Frequency;
use crate::text::span::Span;

use super::character::{CharacterId, StateId};

/// A set of states of one character (at most 65,535; most have fewer than 64).
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct StateSet {
    words: SmallVec<[u64; 2]>,
}

/// A statement that was read: a character and what the gap holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    pub character: CharacterId,
    pub value: Value,
    /// The words that were read, opening included where it was written out.
    pub span: Span,
}

/// What fills a gap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Alternatives as written, in order; each word's states and its frequency. The first
    /// component is what a statement naming that word *accepts*; `named` is the state itself where
    /// the word is a state and not a group.
    States(Vec<Choice>),
    /// In the character's unit; counts and ratios as plain numbers.
    Number(Amount),
}

/// One alternative of a statement about states.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    pub accepts: StateSet,
    pub named: Option<StateId>,
    pub frequency: Frequency,
    /// The words, as written.
    pub span: Span,
}

/// What stands between two semicolons: what was read of it, and what is left as prose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    pub span: Span,
    pub statements: Vec<Statement>,
    /// From the first item that could not be read to the end; `None` where all was read.
    pub prose: Option<Span>,
}

/// How far a part was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    Whole,
    ToAPoint,
    Prose,
}

impl Part {
    pub fn extent(&self) -> Extent {
        match (self.statements.is_empty(), self.prose) {
            (_, None) => Extent::Whole,
            (false, Some(_)) => Extent::ToAPoint,
            (true, Some(_)) => Extent::Prose,
        }
    }
}

impl Value {
    /// Every state that satisfies the statement, for states; `None` for numbers.
    pub fn accepts(&self) -> Option<StateSet> {
        match self {
            Value::States(choices) => {
                let mut set = StateSet::default();
                for c in choices {
                    set.extend(&c.accepts);
                }
                Some(set)
            }
            Value::Number(_) => None,
        }
    }
}

impl StateSet {
    pub fn of(states: impl IntoIterator<Item = StateId>) -> StateSet {
        let mut set = StateSet::default();
        for s in states {
            set.insert(s);
        }
        set
    }

    /// The first `n` states.
    pub fn first(n: usize) -> StateSet {
        StateSet::of((0..n).map(|i| StateId(i as u16)))
    }

    pub fn insert(&mut self, s: StateId) {
        let (word, bit) = (s.0 as usize / 64, s.0 % 64);
        if self.words.len() <= word {
            self.words.resize(word + 1, 0);
        }
        self.words[word] |= 1 << bit;
    }

    pub fn contains(&self, s: StateId) -> bool {
        self.words.get(s.0 as usize / 64).is_some_and(|w| w >> (s.0 % 64) & 1 == 1)
    }

    /// Adds every state of `other`.
    pub fn extend(&mut self, other: &StateSet) {
        if self.words.len() < other.words.len() {
            self.words.resize(other.words.len(), 0);
        }
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a |= b;
        }
    }

    /// Takes every state of `other` away.
    pub fn remove(&mut self, other: &StateSet) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= !b;
        }
        self.trim();
    }

    /// The states in both.
    pub fn meet(&self, other: &StateSet) -> StateSet {
        let words = self.words.iter().zip(&other.words).map(|(a, b)| a & b).collect();
        let mut set = StateSet { words };
        set.trim();
        set
    }

    pub fn overlaps(&self, other: &StateSet) -> bool {
        self.words.iter().zip(&other.words).any(|(a, b)| a & b != 0)
    }

    pub fn is_subset(&self, other: &StateSet) -> bool {
        self.words.iter().enumerate().all(|(i, w)| w & !other.words.get(i).unwrap_or(&0) == 0)
    }

    pub fn is_empty(&self) -> bool {
        self.words.iter().all(|w| *w == 0)
    }

    pub fn len(&self) -> usize {
        self.words.iter().map(|w| w.count_ones() as usize).sum()
    }

    pub fn iter(&self) -> impl Iterator<Item = StateId> + '_ {
        self.words.iter().enumerate().flat_map(|(i, w)| {
            (0..64).filter(move |b| w >> b & 1 == 1).map(move |b| StateId((i * 64 + b) as u16))
        })
    }

    // Equal sets have equal words.
    fn trim(&mut self) {
        while self.words.last() == Some(&0) {
            self.words.pop();
        }
    }
}
