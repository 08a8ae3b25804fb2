//! The words that a key's language lends to the reader: one table a language, one file a table.

mod de;
mod en;
mod fr;
pub(in crate::text) mod lexicon;

use std::borrow::Cow;

use super::amount::Unit;
use super::frequency::Frequency;
use super::tree::SectionKind;

/// Every language that keys can be written in, English first. Adding one is one file here and one
/// line in this list.
pub const ALL: [&Language; 3] = [&en::ENGLISH, &de::GERMAN, &fr::FRENCH];

/// The table of one language. All words are in lower case; phrases have single blanks.
#[non_exhaustive]
pub struct Language {
    /// The code of ISO 639-1.
    pub code: &'static str,
    /// Its name in itself.
    pub name: &'static str,
    /// Words that stand alone on a line to begin a section.
    pub sections: &'static [(&'static str, SectionKind)],
    /// What `key to the grasses` begins with.
    pub key_to: &'static [&'static str],
    /// Parts `key to the poppies` from `2b`.
    pub at: &'static [&'static str],
    /// Parts `key to the grasses` from `grasses.key`.
    pub in_file: &'static [&'static str],
    /// Begins the outcome that names no taxon.
    pub stop: &'static [&'static str],
    /// Slips before a couplet's number: `go to 5`, `see 5`.
    pub go_to: &'static [&'static str],
    pub or: &'static [&'static str],
    pub and: &'static [&'static str],
    pub to: &'static [&'static str],
    pub not: &'static [&'static str],
    /// Words that, beginning what cannot be read, draw the item before them into prose.
    pub binding: &'static [&'static str],
    /// Articles and forms of "to be", which are not compared.
    pub unstressed: &'static [&'static str],
    pub frequency: &'static [(&'static str, Frequency)],
    /// `cannot tell`, `not seen` as an observed value.
    pub cannot_tell: &'static [&'static str],
    pub about: &'static [&'static str],
    /// `up to 5`; after another figure, from there to 5 (`3-5, rarely to 9`).
    pub up_to: &'static [&'static str],
    /// An upper limit wherever it stands: `at most 5`.
    pub at_most: &'static [&'static str],
    pub less_than: &'static [&'static str],
    pub at_least: &'static [&'static str],
    pub more_than: &'static [&'static str],
    /// Before a range of two figures: `from 3 to 5`.
    pub from: &'static [&'static str],
    /// `between 3 and 5`.
    pub between: &'static [&'static str],
    /// `more than 3 but less than 5`.
    pub but: &'static [&'static str],
    /// After the number: `5 or more`, `8 mm or less`.
    pub or_more: &'static [&'static str],
    pub or_less: &'static [&'static str],
    /// Number words and what they count.
    pub numbers: &'static [(&'static str, u32)],
    /// Words read as a number only where the character says what they mean.
    pub many: &'static [&'static str],
    /// Words that measure along a dimension, for "a lone measure means length" and `3-6 × 1-2 cm`.
    pub long: &'static [&'static str],
    pub wide: &'static [&'static str],
    /// Other words that may follow a length (`across`): by them `3 in across` is told from
    /// `3 in a whorl`.
    pub measured: &'static [&'static str],
    /// Units written out. The signs (mm, ft, °) are in the grammar.
    pub units: &'static [(&'static str, Unit)],
    pub compare: Comparing,
    /// In a reading under a condition: `cannot be seen`, `red looks purple`.
    pub cannot_be_seen: &'static [&'static str],
    pub looks: &'static [&'static str],
    /// `not on this specimen` as an observed value: the part is missing from it.
    pub not_here: &'static [&'static str],
    /// `does not apply` as an observed value.
    pub does_not_apply: &'static [&'static str],
    /// The adverb that begins an applicability: `where petals present`.
    pub where_: &'static [&'static str],
    /// Words before a full stop that does not end a statement.
    pub abbreviations: &'static [&'static str],
    /// Folds the plural of a noun onto its singular; leaves other words alone.
    pub singular: fn(&str) -> Cow<'_, str>,
    /// Month names and abbreviations, January first.
    pub months: [&'static [&'static str]; 12],
    /// Whether month names begin with a capital.
    pub months_capital: bool,
    /// `early`, `late` before a month.
    pub month_parts: &'static [&'static str],
    pub all_year: &'static [&'static str],
    /// Words of abundance and a relative weight (`common` = 1). The weights are our choice.
    pub abundance: &'static [(&'static str, f64)],
}

/// How a language compares two sizes. `{}` in no place: the words stand next to each other.
pub struct Comparing {
    /// `(dimension, adjective, more, less)`: `("length", "long", "longer", "shorter")`.
    pub dimensions: &'static [Dimension],
    /// Before the adjective: `as` long ...
    pub as_before: &'static [&'static str],
    /// ... after it: long `as`.
    pub as_after: &'static [&'static str],
    /// longer `than`.
    pub than: &'static [&'static str],
    /// The same size in one word: `equalling`.
    pub equal: &'static [&'static str],
    /// 2-3 `times` as long as.
    pub times: &'static [&'static str],
    /// Whether `2 times longer than` can only mean twice as long as. In English and German some
    /// write it for three times as long.
    pub times_more: bool,
    /// Words that stand for a factor: half, twice; as numerator and denominator.
    pub factors: &'static [(&'static str, u32, u32)],
}

/// The adjectives of one dimension.
pub struct Dimension {
    /// The English name, used by `compare` in key files of every language.
    pub name: &'static str,
    pub plain: &'static [&'static str],
    pub more: &'static [&'static str],
    pub less: &'static [&'static str],
}

impl Language {
    /// The language of a code such as `en` (case does not matter); `None` where there is no table.
    pub fn of(code: &str) -> Option<&'static Language> {
        ALL.into_iter().find(|l| l.code.eq_ignore_ascii_case(code.trim()))
    }

    pub fn english() -> &'static Language {
        &en::ENGLISH
    }

    /// The section that a line begins, where the whole line is a section's word. `key to ...` is
    /// a key of its own.
    pub fn section(&self, line: &str) -> Option<SectionKind> {
        let low = fold(line);
        let low = low.trim_end_matches(':');
        if let Some(&(_, kind)) = self.sections.iter().find(|(w, _)| *w == low) {
            return Some(kind);
        }
        self.after_key_to(low).map(|_| SectionKind::Key)
    }

    /// What follows `key to` in a folded text.
    pub fn after_key_to<'a>(&self, folded: &'a str) -> Option<&'a str> {
        self.key_to
            .iter()
            .filter_map(|w| folded.strip_prefix(w)?.strip_prefix(' '))
            .map(str::trim)
            .find(|rest| !rest.is_empty())
    }
}

impl std::fmt::Debug for Language {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Language({})", self.code)
    }
}

/// Lower case, runs of blanks as one, ends trimmed.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        if word.is_ascii() {
            let at = out.len();
            out.push_str(word);
            out[at..].make_ascii_lowercase();
        } else {
            out.extend(word.chars().flat_map(char::to_lowercase));
        }
    }
    out
}
