//! `notebook note`: free words under a number.

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::record::{Body, Note};

/// Add a note under a number
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren note 1042 \"photographs on the blue card\"

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct NoteOn {
    /// The specimen's number
    number: String,
    /// The note
    text: String,
}

impl NoteOn {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let citation = desk.see(&self.number)?.citation;
        let mut note = Note::new(self.text);
        note.date = Some(desk::today());
        note.by = vec![desk.writer()?.to_string()];
        let record = desk.record(&citation, Body::Note(note));
        let ids = desk.keep(&[record])?;
        desk::recorded(terminal, Some(&citation), &ids, &format!("a note on {citation}"))?;
        Ok(Outcome::Well)
    }
}
