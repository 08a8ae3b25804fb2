//! `tidy`: key files laid out anew, in place.

mod diff;
mod json;

use std::io::Write;
use std::path::Path;

use anyhow::Context;
use clap::{Args, ValueEnum};

use crate::text::file;
use crate::text::parse::parse;
use crate::text::shown::shown;
use crate::text::source::Source;
use crate::text::tidy::{self, NARROWEST, RemarkKind, Tidied, TidyOptions};

use super::terminal::{NOTE, STRONG, WARNING};
use super::{Outcome, Terminal, input};

/// Lay key files out anew: dots aligned, lines wrapped, nothing lost and nothing changed in meaning
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum tidy weeds.key
        in place: the file is replaced in one step
  hilum tidy --check keys/*.key
        change nothing; show what would change, fail if any
  hilum tidy --renumber weeds.key
        couplets numbered 1, 2, 3 ...; every pointer follows
  hilum tidy --back-references write weeds.key
        say where each couplet is reached from: 7a (4)
  cat weeds.key | hilum tidy - | less

What is kept
  Every word and every comment, blank lines (runs of them become one), lines
  that belong to nothing, properties that are not known. A comment between the
  lines of one lead, sentence or value is put before it. Whatever cannot be read
  stays as it is: a file with faults can be tidied too.

What is changed
  Indentation, line breaks, runs of blanks and the rows of dots; CR LF, tabs and
  a byte order mark. Two leads on one line become two lines. `go to 5` gets its
  dots.

Renumbering
  Pointers, back-references and `key to X at 2b` follow. Numbers in running text
  and pointers in other files do not: the first are listed, the second are yours
  to mend. A key in which a pointer leads nowhere keeps its numbers.

Exit status
  0  done; with --check: all files are tidy
  1  with --check: some are not
  2  a file could not be read or written, or could not be renumbered

With --json
  {\"format\":1, \"files\":[{\"file\", \"changed\", \"written\", \"renumbered\",
  \"back_references\", \"remarks\":[{\"kind\", \"line\", \"column\", \"words\"}], \"text\"}],
  \"status\"}; \"text\" is the tidy form where it could not be written to a file")]
pub struct Tidy {
    /// Key files, `-` for standard input; names of keys that come with the program. What is no
    /// file is written to standard output
    #[arg(value_name = "FILE", required = true)]
    files: Vec<String>,

    /// Change nothing: show what would change, and fail if anything would
    #[arg(long)]
    check: bool,

    /// Number the couplets of every key 1, 2, 3 ... in the order of the text
    #[arg(long)]
    renumber: bool,

    /// What becomes of back-references such as `7a (4)`
    #[arg(long, value_name = "WHAT", default_value = "keep")]
    back_references: BackReferences,

    /// Columns of the page
    #[arg(long, value_name = "N", default_value_t = 88,
          value_parser = clap::value_parser!(u16).range(NARROWEST as i64..=400))]
    width: u16,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum BackReferences {
    /// Leave them as they are
    Keep,
    /// On every couplet that is not reached from the one above; wrong ones are corrected
    Write,
    /// Take them away
    Drop,
}

impl From<BackReferences> for tidy::BackReferences {
    fn from(wish: BackReferences) -> tidy::BackReferences {
        match wish {
            BackReferences::Keep => tidy::BackReferences::Keep,
            BackReferences::Write => tidy::BackReferences::Write,
            BackReferences::Drop => tidy::BackReferences::Drop,
        }
    }
}

/// One file, before and after.
struct Done {
    before: Source,
    after: Tidied,
    /// The file was, or would be, replaced; what came from elsewhere is written to standard output.
    in_place: bool,
}

impl Done {
    fn changed(&self) -> bool {
        self.before.text() != self.after.text
    }

    fn not_renumbered(&self) -> bool {
        self.after.remarks.iter().any(|r| r.kind == RemarkKind::NotRenumbered)
    }
}

impl Tidy {
    pub(super) fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
        let options = TidyOptions {
            width: self.width.into(),
            back_references: self.back_references.into(),
            renumber: self.renumber,
        };
        let mut outcome = Outcome::Well;
        let mut all = Vec::new();
        for name in &self.files {
            match self.one(name, &options) {
                Ok(done) => {
                    if done.not_renumbered() {
                        outcome = Outcome::Failed;
                    } else if self.check && done.changed() {
                        outcome = outcome.max(Outcome::Found);
                    }
                    if terminal.json {
                        all.push(done);
                    } else {
                        self.tell(&done, terminal)?;
                    }
                }
                Err(error) => {
                    terminal.complain(&error);
                    outcome = Outcome::Failed;
                }
            }
        }
        if terminal.json {
            json::print(&self, &all, outcome, terminal)?;
        }
        Ok(outcome)
    }

    /// Reads a file, and replaces it where its tidy form differs.
    fn one(&self, name: &str, options: &TidyOptions) -> anyhow::Result<Done> {
        let (before, fault) = input::source(name)?;
        if let Some(fault) = fault {
            // What could not be read would be lost for good.
            anyhow::bail!("{name} is left as it is: {}; {}", fault.what, fault.remedy);
        }
        let after = tidy::tidied(&parse(before.clone()), options);
        let in_place = name != "-" && Path::new(name).exists();
        let done = Done { before, after, in_place };
        if in_place && !self.check && done.changed() {
            file::replace(Path::new(name), done.after.text.as_bytes())
                .with_context(|| format!("{name} is left as it is"))?;
        }
        Ok(done)
    }

    fn tell(&self, done: &Done, terminal: &mut Terminal) -> anyhow::Result<()> {
        let name = done.before.name().to_string();
        if !self.check && !done.in_place {
            // The tidy text alone: what is to be said of it goes beside.
            terminal.write_file(&done.after.text)?;
            let mut beside = Vec::new();
            remarks(done, &name, &mut beside)?;
            return terminal.say_beside(&String::from_utf8_lossy(&beside));
        }
        let name = shown(&name);
        if self.check && done.changed() {
            diff::print(&name, done.before.text(), &done.after.text, terminal)?;
        }
        writeln!(terminal, "{STRONG}{name}{STRONG:#}: {}", self.said(done))?;
        remarks(done, &name, terminal)
    }

    /// What was done, or would be, in one line.
    fn said(&self, done: &Done) -> String {
        if !done.changed() {
            return "is tidy".to_string();
        }
        let mut parts = vec![if self.check { "is not tidy" } else { "laid out anew" }.to_string()];
        let counted = |n: usize, one: &str, many: &str| match n {
            0 => None,
            1 => Some(format!("1 {one}")),
            n => Some(format!("{n} {many}")),
        };
        parts.extend(counted(done.after.renumbered, "couplet renumbered", "couplets renumbered"));
        let references = match self.back_references {
            BackReferences::Drop => ("back-reference dropped", "back-references dropped"),
            _ => ("back-reference written", "back-references written"),
        };
        parts.extend(counted(done.after.back_references, references.0, references.1));
        let text = done.before.text();
        if text.starts_with('\u{FEFF}') {
            parts.push("byte order mark removed".into());
        }
        if text.contains("\r\n") {
            parts.push("line ends made plain".into());
        }
        parts.join("; ")
    }
}

fn remarks(done: &Done, name: &str, out: &mut dyn Write) -> anyhow::Result<()> {
    for remark in &done.after.remarks {
        let (style, word) = match remark.kind {
            RemarkKind::NotRenumbered | RemarkKind::BackReferenceCorrected => (WARNING, "warning"),
            RemarkKind::NumberInProse => (NOTE, "note"),
        };
        let at = done.before.line_column(remark.span.start as usize);
        let words = shown(&remark.words);
        writeln!(out, "{name}:{}:{}: {style}{word}{style:#}: {words}", at.line, at.column)?;
    }
    Ok(())
}
