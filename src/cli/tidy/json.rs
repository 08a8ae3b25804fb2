//! The JSON of `tidy`.
//!
//! ```json
//! {
//!   "format": 1,
//!   "files": [{
//!     "file": "weeds.key",
//!     "changed": true,
//!     "written": true,
//!     "renumbered": 12,
//!     "back_references": 3,
//!     "remarks": [{"kind": "number-in-prose", "line": 9, "column": 14, "words": "..."}],
//!     "text": null
//!   }],
//!   "status": 0
//! }
//! ```
//!
//! `written` says that the file was replaced; it is not with `--check`. `renumbered` and
//! `back_references` count couplets and back-references that changed. `text` is the tidy form
//! where it could not be written to a file: of standard input, and of keys inside the program.
//! A file that could not be read or written is not among `files`; why is said on standard error.
//! Fields may be added under the same `format`; none is taken away or changes its meaning.

use serde::Serialize;

use crate::cli::{Outcome, Terminal};
use crate::text::tidy::RemarkKind;

use super::{Done, Tidy};

#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    files: Vec<File<'a>>,
    status: u8,
}

#[derive(Serialize)]
struct File<'a> {
    file: &'a str,
    changed: bool,
    written: bool,
    renumbered: usize,
    back_references: usize,
    remarks: Vec<Said<'a>>,
    text: Option<&'a str>,
}

#[derive(Serialize)]
struct Said<'a> {
    kind: RemarkKind,
    line: usize,
    column: usize,
    words: &'a str,
}

pub fn print(
    command: &Tidy,
    all: &[Done],
    outcome: Outcome,
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    let files = all.iter().map(|done| File {
        file: done.before.name(),
        changed: done.changed(),
        written: done.in_place && done.changed() && !command.check,
        renumbered: done.after.renumbered,
        back_references: done.after.back_references,
        remarks: done
            .after
            .remarks
            .iter()
            .map(|r| {
                let at = done.before.line_column(r.span.start as usize);
                Said { kind: r.kind, line: at.line, column: at.column, words: &r.words }
            })
            .collect(),
        text: (!done.in_place && !command.check).then_some(done.after.text.as_str()),
    });
    terminal.print_json(&Document { format: 1, files: files.collect(), status: outcome as u8 })
}
