//! The words that begin property lines, by where they may stand.

use crate::text::tree::SectionKind;

pub const HEADING_WORDS: [&str; 13] = [
    "place",
    "issue",
    "by",
    "described",
    "language",
    "uses",
    "season",
    "source",
    "licence",
    "profile",
    "caution",
    "remark",
    "intended",
];
pub const CHARACTER_WORDS: [&str; 14] = [
    "states", "steps", "measure", "compare", "part", "tool", "ease", "ask", "means", "includes",
    "also", "applies", "many", "picture",
];
pub const LEAD_WORDS: [&str; 3] = ["intended", "picture", "remark"];
pub const ACCOUNT_WORDS: [&str; 11] = [
    "family", "called", "synonym", "under", "found", "flowers", "fruits", "caution", "remark",
    "picture", "intended",
];
pub const TERM_WORDS: [&str; 3] = ["also", "picture", "remark"];

/// The words that may begin a property line in a section (`None`: under the title).
pub fn words_of(kind: Option<SectionKind>) -> &'static [&'static str] {
    match kind {
        None => &HEADING_WORDS,
        Some(SectionKind::Conditions) => &["remark"],
        Some(SectionKind::Characters) => &CHARACTER_WORDS,
        Some(SectionKind::Key) => &LEAD_WORDS,
        Some(SectionKind::Taxa) => &ACCOUNT_WORDS,
        Some(SectionKind::Glossary) => &TERM_WORDS,
    }
}
