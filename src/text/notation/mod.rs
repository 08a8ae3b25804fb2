//! Values in flora notation: `(2-)3-5(-7) mm`, `4 or 5`, `5(or 10)`, `up to 5 cm`, `ca. 8`.
//!
//! `grammar/notation.pest` holds what is the same in every language, the language tables lend the
//! words, and `reader` puts them together. Nothing is rounded: figures are exact decimals, and of
//! mixed units the amount is given in one that all convert to exactly.
//!
//! | written | read |
//! | --- | --- |
//! | `(2-)3-5(-7) mm`, `(2)3-5(7) mm` | usual 3 to 5, extremes 2 and 7; any dash, blanks or none |
//! | `5(7)` | 5, extreme 7 |
//! | `5(or 10)`, `(3 or)4`, `5(rarely 6)` | two extents, the one in parentheses rarely |
//! | `3-5(or more)` | usual 3 to 5, no upper extreme |
//! | `4 or 5`, `3, 4 or 5` | as many extents |
//! | `usually 5, rarely 4 or 6` | the word reaches to the next comma |
//! | `up to 5`, `to 5`, `not over 5`, `5 or less` | at most 5 |
//! | `up to 3-5` | at most 5: the outer figure counts |
//! | `more than 12`, `> 12` | 12 itself is excluded |
//! | `more than 3 and up to 5`, `between 3 and 5` | both limits |
//! | `3-5 or more` | 3 or more |
//! | `rarely exceeding 5` | up to 5, rarely more than 5 |
//! | `3-5, rarely to 9` | 3 to 5, rarely 5 to 9 |
//! | `rarely to 5` | at most 5 |
//! | `4-many` | 4 or more, and [`Reading::to_many`] |
//! | `ca. 8`, `about 8`, `up to about 8` | the extent is `about`; the word holds for one extent |
//! | `1-1/2`, `1 1/2`, `1½` | one and a half; `0-1/2` and `1-3/2` are ranges |
//! | `3-6 × 1-2 cm` | two amounts, the unit is both's |
//! | `5 (see plate 3)` | 5; a remark in parentheses is not read |

mod draft;
mod fault;
mod figure;
mod finish;
mod lexer;
mod parens;
mod ratio;
mod reader;
mod writer;

pub use fault::{Fault, FaultKind};
pub use lexer::bare_parse;
pub use ratio::read_ratio;
pub use writer::{write, write_ratio};

use super::amount::{Amount, Unit};
use super::frequency::Frequency;
use super::language::Language;
use super::language::lexicon::Role;
use draft::Mode;
use reader::Reader;

/// An amount as read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// In [`Reading::unit`]. Where one unit is written, figures keep the decimal places written
    /// (`3.0`); of several, all are converted to the smallest metric one, or the smallest.
    pub amount: Amount,
    /// `None` for a number without a unit.
    pub unit: Option<Unit>,
    /// What stands after `×`.
    pub second: Option<(Amount, Option<Unit>)>,
    /// The last range of some extent ends in the word for many (`4-many`): the amount is right only
    /// where the character says what many means.
    pub to_many: bool,
    /// How many bytes of the text the amount takes. The full stop of an abbreviated unit is among
    /// them where the sentence goes on after it; the hyphen of `3-5-lobed` is not.
    pub len: usize,
    pub faults: Vec<Fault>,
}

impl Reading {
    /// Whether something is wrong with the amount, so that nothing may be concluded from it.
    pub fn is_spoilt(&self) -> bool {
        self.faults.iter().any(|f| f.kind.spoils())
    }
}

/// The longest amount at the beginning of `text` (after blanks); `None` where none begins there,
/// or where it goes over into something that is none (`5/6/7`, `3a`).
///
/// `many` and `numerous` alone are not read: the character decides what they mean.
pub fn read(text: &str, language: &Language) -> Option<Reading> {
    measure(text, language, Mode::Measure)
}

/// Like [`read`], for things counted: no unit is read, so that the `in` of `3 in a whorl` is never
/// taken for inches.
pub fn read_count(text: &str, language: &Language) -> Option<Reading> {
    measure(text, language, Mode::Count)
}

fn measure(text: &str, language: &Language, mode: Mode) -> Option<Reading> {
    let mut reader = Reader::new(text, language, mode);
    let first = reader.amount(0, &mut Frequency::Stated, true)?;
    let cross = reader.lexer.skip(first.end);
    let second = match reader.lexer.times(cross) {
        Some(after) => {
            let second = reader.amount(after, &mut Frequency::Stated, true);
            if second.is_none() {
                reader.back(first);
            }
            second
        }
        None => None,
    };
    Some(finish::finish(reader, first, second))
}

/// The words that make a limit of the amount before them although the sentence goes on in between:
/// `5 cm. long or less`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tail {
    OrMore,
    OrLess,
}

/// `or less`, `or more` at the beginning of `text` (after blanks), and how many bytes they take.
pub fn read_tail(text: &str, language: &Language) -> Option<(Tail, usize)> {
    let lexer = lexer::Lexer::new(text, language);
    let at = lexer.skip(0);
    match lexer.word(at, |r| matches!(r, Role::OrMore | Role::OrLess))? {
        (Role::OrMore, end) => Some((Tail::OrMore, end)),
        (_, end) => Some((Tail::OrLess, end)),
    }
}

impl Tail {
    /// The amount with its last extent open upwards or downwards.
    pub fn applied(self, mut amount: Amount) -> Amount {
        if let Some(last) = amount.extents.last_mut() {
            for range in [&mut last.usual, &mut last.extreme] {
                match self {
                    Tail::OrMore => range.high = None,
                    Tail::OrLess => range.low = None,
                }
            }
        }
        amount
    }
}
