//! The tidy writer: a key file laid out anew, with nothing lost and nothing changed in meaning.
//!
//! What it keeps: every word, every comment, every blank line (runs of them become one), lines that
//! belong to nothing, properties that it does not know. What it changes: indentation, line breaks,
//! runs of blanks, the rows of dots; CR LF, a byte order mark and tabs. A comment within a lead, a
//! sentence or a value that goes on over several lines is put before it; a comment at the end of a
//! line stays behind the word that it followed. What cannot be read stays as it is.
//!
//! It works on the tree, so the same tree gives the same page. The couplets' numbers and
//! back-references are changed first, in the text ([`numbers`]); the layout knows nothing of them.

mod flow;
mod joints;
mod lead;
mod numbers;
mod page;
mod prose;
mod sections;

use serde::Serialize;

use super::parse::{Parsed, parse};
use super::source::Source;
use super::span::Span;
use super::tree::Tree;

/// How a file is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TidyOptions {
    /// Columns of the page; [`NARROWEST`] is the least that is used.
    pub width: usize,
    pub back_references: BackReferences,
    /// Number the couplets of every key anew, 1 for the first, with every pointer following.
    pub renumber: bool,
}

/// What becomes of back-references such as `7a (4)`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BackReferences {
    /// They stay as the writer has them.
    #[default]
    Keep,
    /// Every couplet that is not reached from the one above says where from, and what disagrees
    /// with the pointers is corrected.
    Write,
    Drop,
}

/// The least width of a page.
pub const NARROWEST: usize = 48;

impl Default for TidyOptions {
    fn default() -> TidyOptions {
        TidyOptions { width: 88, back_references: BackReferences::default(), renumber: false }
    }
}

/// A file laid out anew, and what its writer should know.
#[derive(Clone, Debug)]
pub struct Tidied {
    pub text: String,
    /// Couplets that have another number than before.
    pub renumbered: usize,
    /// Back-references that were written, corrected or dropped.
    pub back_references: usize,
    /// What was left alone, or needs a look, by place.
    pub remarks: Vec<Remark>,
}

/// Something that the writer of a file should look at, now that it is tidy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    pub kind: RemarkKind,
    /// In the text as it was before.
    pub span: Span,
    /// What was done, or was not, and what to do; one sentence or two.
    pub words: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RemarkKind {
    /// A key keeps its numbers, because one of its pointers would come to point elsewhere.
    NotRenumbered,
    /// A back-reference disagreed with the pointers, which were followed.
    BackReferenceCorrected,
    /// A number in running text looks like a couplet that has another number now.
    NumberInProse,
}

/// The tidy form of a file. Its own tidy form is the same text.
pub fn tidy(parsed: &Parsed, options: &TidyOptions) -> String {
    tidied(parsed, options).text
}

/// The tidy form of a file, with an account of what was done to numbers and back-references.
pub fn tidied(parsed: &Parsed, options: &TidyOptions) -> Tidied {
    let tree = &parsed.tree;
    let width = options.width.max(NARROWEST);
    let mut plan = numbers::plan(tree, options);
    plan.remarks.sort_by_key(|r| (r.span, r.kind));
    let text = if plan.edits.is_empty() {
        laid_out(tree, width)
    } else {
        let edited = numbers::edited(tree.text(), &mut plan.edits);
        laid_out(&parse(Source::new(tree.source.name(), edited)).tree, width)
    };
    Tidied {
        text,
        renumbered: plan.renumbered,
        back_references: plan.back_references,
        remarks: plan.remarks,
    }
}

fn laid_out(tree: &Tree, width: usize) -> String {
    let mut page = page::Page::new(tree, width);
    sections::heading(&mut page, tree);
    sections::sections(&mut page, tree);
    page.finish()
}
