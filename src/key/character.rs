//! Characters: sentences with a gap, and what may fill it.

use rust_decimal::Decimal;

use crate::text::amount::{Amount, Unit};
use crate::text::span::Span;

use super::statement::{StateSet, Statement};

/// Index of a character in its key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CharacterId(pub u32);

/// Index of a state in its character.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StateId(pub u16);

/// Index of a condition in its key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConditionId(pub u16);

impl ConditionId {
    /// Conditions 0 and 1 are in every key.
    pub const FRESH: ConditionId = ConditionId(0);
    pub const PRESSED: ConditionId = ConditionId(1);
}

/// A condition in which a specimen is looked at: `fresh`, `pressed`, or one that the key declares.
#[derive(Clone, Debug)]
pub struct Condition {
    pub name: String,
    pub means: String,
    /// Where it is declared; empty for the built-in two.
    pub span: Span,
}

/// A character as its key declares it.
#[derive(Clone, Debug)]
pub struct Character {
    /// The short name before the colon, unique in the key.
    pub name: String,
    pub name_span: Span,
    /// The sentence as written, with `_` for the gap.
    pub sentence: String,
    pub sentence_span: Span,
    /// Further sentences (`also Leaves _ long`), as written.
    pub also: Vec<(String, Span)>,
    pub kind: Kind,
    /// The organ it is seen on (`flower`), in the writer's word, lower case.
    pub part: Option<String>,
    pub tool: Tool,
    pub ease: Ease,
    /// A better question than the sentence.
    pub ask: Option<String>,
    /// Statements that must hold for the character to apply; all of them.
    pub applies: Vec<Statement>,
    /// What the character looks like under a condition.
    pub readings: Vec<(ConditionId, Reading, Span)>,
    /// What `many` stands for in this character.
    pub many: Option<Amount>,
    pub means: Option<String>,
    pub pictures: Vec<Picture>,
    pub remarks: Vec<String>,
    /// Translations: language code, sentence, states in order.
    pub translations: Vec<Translation>,
}

/// What fills the gap.
#[derive(Clone, Debug)]
pub enum Kind {
    /// One of several words. `ordered` (`steps`): `to` takes in what lies between.
    States { ordered: bool, states: Vec<State>, groups: Vec<Group> },
    /// A measure, kept in `unit`; written values in other units of the same kind are converted.
    Measure { unit: Unit },
    /// A number of things.
    Count,
    /// How one thing compares with another along a dimension (`length`): the value is a ratio.
    Ratio { dimension: String },
}

/// A state as declared.
#[derive(Clone, Debug)]
pub struct State {
    pub word: String,
    pub span: Span,
    /// Other words for it.
    pub also: Vec<String>,
    pub means: Option<String>,
    pub pictures: Vec<Picture>,
    /// The states that a statement naming this one accepts: itself and what it `includes`.
    pub accepts: StateSet,
    /// Not declared as a state: only what another looks like under a condition (`red looks
    /// purple`). No fresh plant shows it; such states follow the declared ones.
    pub only_a_look: bool,
}

/// A general word that is no state itself (`hairy: sparsely hairy, densely hairy`).
#[derive(Clone, Debug)]
pub struct Group {
    pub word: String,
    pub accepts: StateSet,
    pub span: Span,
}

/// What becomes of a character under a condition.
#[derive(Clone, Debug)]
pub enum Reading {
    CannotBeSeen,
    /// For each state, in order, what it may look like (itself where nothing is said, also for
    /// states beyond the end of the list).
    Looks(Vec<StateSet>),
    /// A measure's share of the fresh one, from low to high.
    Factor(Decimal, Decimal),
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tool {
    #[default]
    Eye,
    Lens,
    Dissection,
    Microscope,
}

impl Tool {
    pub const ALL: [(Tool, &'static str); 4] = [
        (Tool::Eye, "eye"),
        (Tool::Lens, "lens"),
        (Tool::Dissection, "dissection"),
        (Tool::Microscope, "microscope"),
    ];

    pub fn word(self) -> &'static str {
        Tool::ALL[self as usize].1
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ease {
    Easy,
    #[default]
    Fair,
    Hard,
}

impl Ease {
    pub const ALL: [(Ease, &'static str); 3] =
        [(Ease::Easy, "easy"), (Ease::Fair, "fair"), (Ease::Hard, "hard")];

    pub fn word(self) -> &'static str {
        Ease::ALL[self as usize].1
    }
}

/// A picture by its path as written; the program never opens it on its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    pub path: String,
    pub caption: Option<String>,
    pub credit: Option<String>,
    pub span: Span,
}

/// A character in another language.
#[derive(Clone, Debug)]
pub struct Translation {
    pub language: &'static str,
    pub sentence: String,
    /// As many as the character has states, in the same order; empty for numbers.
    pub states: Vec<String>,
    pub span: Span,
}

impl Character {
    /// The states, empty for numbers.
    pub fn states(&self) -> &[State] {
        match &self.kind {
            Kind::States { states, .. } => states,
            _ => &[],
        }
    }

    /// How many states are declared; looks follow them.
    pub fn declared(&self) -> usize {
        self.states().iter().take_while(|s| !s.only_a_look).count()
    }

    /// The unit of its values; `None` for states.
    pub fn unit(&self) -> Option<Unit> {
        match self.kind {
            Kind::States { .. } => None,
            Kind::Measure { unit } => Some(unit),
            Kind::Count | Kind::Ratio { .. } => Some(Unit::Count),
        }
    }

    /// The sentence with `filling` in the gap.
    pub fn fill(&self, filling: &str) -> String {
        self.sentence.replacen('_', filling, 1)
    }

    /// Its own question, or the sentence with its gap, for lists; a person is asked with
    /// [`Character::asked`].
    pub fn question(&self) -> &str {
        self.ask.as_deref().unwrap_or(&self.sentence)
    }
}
