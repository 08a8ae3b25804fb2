//! The parser: a source becomes a tree and a list of everything that is wrong with its form.
//!
//! Parsing never fails. What a line means follows from its section; the words of sections come
//! from the language that the heading names.

mod bodies;
mod build;
mod lead;
mod lines;
mod page;
mod properties;
mod slips;

use super::finding::{Finding, settle};
use super::source::Source;
use super::tree::Tree;

pub use lead::{label_of, letters_of_label};
pub(crate) use lines::{back_at, begins_with_label};
pub use lines::{bare_parse, is_blank};
pub use page::is_unseen;
pub use properties::{
    ACCOUNT_WORDS, CHARACTER_WORDS, HEADING_WORDS, LEAD_WORDS, TERM_WORDS, words_of,
};

/// A tree and what was found while it was built, in the order of the text.
#[derive(Clone, Debug)]
pub struct Parsed {
    pub tree: Tree,
    pub findings: Vec<Finding>,
}

/// Parses one key file.
pub fn parse(source: Source) -> Parsed {
    let mut findings = page::look(&source);
    let mut indents = page::Indents::default();
    let lines = lines::lines(source.text()).inspect(|line| indents.look(source.text(), line));
    let tree = build::Builder::new(&source, &mut findings).build(lines);
    findings.extend(indents.mixed());
    settle(&mut findings);
    Parsed { tree, findings }
}
