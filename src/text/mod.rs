//! A key as text: places, the syntax tree and its parser, flora notation, the tidy writer.
//!
//! Knows nothing of what a statement means, of graphs, or of a terminal.

pub mod amount;
pub mod excerpt;
pub mod file;
pub mod finding;
pub mod frequency;
pub mod language;
pub mod months;
pub mod name;
pub mod notation;
pub mod parse;
pub mod pointer;
pub mod shown;
pub mod source;
pub mod span;
pub mod tidy;
pub mod tree;
pub mod words;
