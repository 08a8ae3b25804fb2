//! The syntax tree of a key file: every line has its place in it, comments and blanks included.

use super::language::Language;
use super::source::Source;
use super::span::Span;
use super::words::Words;

/// Blank lines (empty spans) and whole-line comments (from the hash to the line's end), in order.
pub type Trivia = Vec<Span>;

/// A whole file.
#[derive(Clone, Debug)]
pub struct Tree {
    pub source: Source,
    pub before: Trivia,
    pub title: Words,
    /// The property lines under the title.
    pub heading: Vec<Below>,
    pub sections: Vec<Section>,
    /// What follows the last entry.
    pub after: Trivia,
    /// Comments at the end of lines that hold something else, by place.
    pub trailing: Vec<Span>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SectionKind {
    Conditions,
    Characters,
    Key,
    Taxa,
    Glossary,
}

/// A section: its word alone on a line, and what stands under it.
#[derive(Clone, Debug)]
pub struct Section {
    pub before: Trivia,
    pub kind: SectionKind,
    /// `characters`, `key`, `key to the grasses`, ...
    pub head: Words,
    /// Notes (and text) between the section's word and its first entry.
    pub below: Vec<Below>,
    pub entries: Vec<Entry>,
}

/// What begins at the margin, with what is indented under it.
#[derive(Clone, Debug)]
pub struct Entry {
    pub before: Trivia,
    pub body: Body,
    pub below: Vec<Below>,
}

#[derive(Clone, Debug)]
pub enum Body {
    /// `charred    burnt through, black`
    Condition { name: Span, means: Words },
    /// `petals: Petals _`
    Character { name: Span, sentence: Words },
    /// `1a (3)  Petals red; stamens 4-6 ........ 2`
    Lead(Lead),
    /// `Papaver rhoeas L.`
    Account { name: Words },
    /// `silicula: a pod less than three times as long as wide`
    Term { term: Span, definition: Words },
    /// A margin line that begins nothing known in its section.
    Stray(Words),
}

#[derive(Clone, Debug)]
pub struct Lead {
    pub label: Label,
    /// The back-reference with its brackets, e.g. `(4)`.
    pub back: Option<Back>,
    /// The statements, up to the leader.
    pub body: Words,
    /// The dots, ellipsis or tab between statements and outcome.
    pub leader: Option<Span>,
    pub outcome: Words,
}

/// `7a`, `84Aa`: a couplet's number, an optional capital, and the lead's letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Label {
    pub number: u32,
    pub capital: Option<char>,
    /// The lead's small letter; absent where the writer forgot it.
    pub letter: Option<char>,
    pub span: Span,
}

/// A back-reference `(4)` or `(9b)`, or several `(1, 5)`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Back {
    pub origins: Vec<Label>,
    pub span: Span,
}

/// Something indented under an entry, the heading or a section's word.
#[derive(Clone, Debug)]
pub enum Below {
    Note(Note),
    /// Text: the statements of an account.
    Text {
        before: Trivia,
        words: Words,
    },
}

/// A property line: one known word, two blanks, a value that may go on deeper.
#[derive(Clone, Debug)]
pub struct Note {
    pub before: Trivia,
    pub word: Span,
    pub value: Words,
}

impl Tree {
    pub fn text(&self) -> &str {
        self.source.text()
    }

    /// The property line that names the file's language; the first, where there are several.
    pub fn language_note(&self) -> Option<&Note> {
        notes(&self.heading).find(|n| self.text()[n.word.range()].eq_ignore_ascii_case("language"))
    }

    /// The language whose words the file uses; English where it names none that is known.
    pub fn language(&self) -> &'static Language {
        self.language_note()
            .and_then(|n| Language::of(&n.value.text(self.text())))
            .unwrap_or(Language::english())
    }
}

impl Entry {
    /// The property lines in order.
    pub fn notes(&self) -> impl Iterator<Item = &Note> {
        notes(&self.below)
    }

    /// The runs of text in order.
    pub fn texts(&self) -> impl Iterator<Item = &Words> {
        self.below.iter().filter_map(|b| match b {
            Below::Text { words, .. } => Some(words),
            Below::Note(_) => None,
        })
    }
}

/// The property lines among `below`, in order.
pub fn notes(below: &[Below]) -> impl Iterator<Item = &Note> {
    below.iter().filter_map(|b| match b {
        Below::Note(n) => Some(n),
        Below::Text { .. } => None,
    })
}
