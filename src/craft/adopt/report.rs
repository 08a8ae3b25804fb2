//! What adopting a manuscript has to tell.

use serde::Serialize;

/// Text of the manuscript that is not in the key.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The manuscript's line (paragraph in a Word document); 0 where it has none.
    pub line: u32,
    pub text: String,
    pub why: &'static str,
}

impl LeftOut {
    pub fn new(line: u32, text: &str, why: &'static str) -> LeftOut {
        LeftOut { line, text: super::line::tidy_blanks(text), why }
    }
}
