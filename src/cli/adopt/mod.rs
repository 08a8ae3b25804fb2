//! `adopt`: a printed or typed key becomes a key file.

mod ask;
mod save;
mod text;

use std::io::{IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use clap::Args;
use serde::Serialize;

use crate::craft::adopt::characters::{Proposal, Readable, declare, proposals};
use crate::craft::adopt::input::{LARGEST, Reading};
use crate::craft::adopt::report::Report;
use crate::craft::adopt::{self, Adopted, Kind, Options};
use crate::key::Key;
use crate::text::finding::Severity;
use crate::text::source::Source;

use super::{Outcome, Terminal};

/// Make a key file of a manuscript: printed or typed, text, Markdown, HTML or Word
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum adopt oaks.txt
        writes oaks.key and reports what the manuscript has wrong
  hilum adopt oaks.docx -o quercus.key
  hilum adopt oaks.txt -o - | hilum check -
  hilum adopt --encoding latin1 --genus Quercus oaks.txt
  hilum adopt --propose oaks.yaml oaks.txt
        also what could be declared as characters ...
  hilum adopt --with oaks.yaml oaks.txt
        ... and the same file again, once it was looked through

Layouts
  number-letter (1a, 1b), number-prime (1, 1'), number-twice (1, 1), number-dash
  (1, –), number-first (1, unmarked), doubled-letters (a, aa), group-letters (A,
  A), roman-numbers (I, I'), outline (I, A, 1, a), indented. The layout is
  recognised from the text; where two fit, you are asked on a terminal, and the
  question stands in the report otherwise.

Nothing of the wording is changed but that wrapped lines are joined. Every word
is in the key or in the report's list of what was left out; every repair is
told.

Exit status
  0  a key was made, and the manuscript has no error
  1  a key was made, and the manuscript has errors
  2  no key was made; the reason is told

With --json
  {\"format\":1, \"report\", \"written\": the key file, \"key\": its text, \"proposals\",
  \"readable\", \"status\"}")]
pub struct Adopt {
    /// The manuscript, or `-` for standard input
    #[arg(value_name = "MANUSCRIPT")]
    manuscript: String,

    /// Where the key is written: by default beside the manuscript, ending in .key; `-` for
    /// standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<String>,

    /// Write over a file that exists
    #[arg(long)]
    force: bool,

    /// The layout, where you know it
    #[arg(long, value_name = "NAME")]
    layout: Option<String>,

    /// How the file is encoded, where it is not UTF-8: latin1, windows-1252
    #[arg(long, value_name = "NAME")]
    encoding: Option<String>,

    /// What kind of file it is: text, markdown, html, word
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,

    /// The language of the key, where it has a table: en, de, fr
    #[arg(long, value_name = "CODE")]
    language: Option<String>,

    /// The genus that names abbreviate (`Q. alba`) or leave out
    #[arg(long, value_name = "GENUS")]
    genus: Option<String>,

    /// Write what could be declared as characters to a file, to be looked through
    #[arg(long, value_name = "FILE")]
    propose: Option<PathBuf>,

    /// Declare the characters that a file of proposals accepts
    #[arg(long, value_name = "FILE", conflicts_with = "propose")]
    with: Option<PathBuf>,

    /// Go through the proposed characters one by one
    #[arg(long, conflicts_with_all = ["propose", "with"])]
    characters: bool,

    /// Show all that was left out and every repair
    #[arg(long)]
    all: bool,
}

/// The JSON of `adopt`. Fields may be added under the same `format`.
#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    report: &'a Report,
    /// The file that was written; null where the key went to standard output.
    written: Option<String>,
    key: &'a str,
    proposals: &'a [Proposal],
    readable: Readable,
    status: u8,
}

impl Adopt {
    pub(super) fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
        let bytes = self.read()?;
        let output = self.target()?;
        if let Some(path) = &output
            && path.exists()
            && !self.force
        {
            bail!(
                "{} exists already, and nothing is written over it; name another file with -o, or say --force",
                path.display()
            );
        }
        let mut options = self.options()?;
        let name = if self.manuscript == "-" { "manuscript" } else { &self.manuscript };
        let mut found = adopt::adopt(name, &bytes, &options)?;
        let asks = !terminal.json
            && self.manuscript != "-"
            && output.is_some()
            && std::io::stdin().is_terminal()
            && std::io::stdout().is_terminal();
        if asks && ask::questions(&found.report.questions, &mut options, terminal)? {
            found = adopt::adopt(name, &bytes, &options)?;
        }
        let (offered, readable) = self.characters(&mut found, asks, terminal)?;
        match &output {
            Some(path) => save::save(path, &found.key_text, self.force)?,
            None if !terminal.json => terminal.write_all(found.key_text.as_bytes())?,
            None => {}
        }
        // With --characters or --with the proposals were answered.
        let shown = (self.characters || self.with.is_some(), self.all);
        let errors = found.report.faults.iter().any(|f| f.severity == Severity::Error);
        let outcome = if errors { Outcome::Found } else { Outcome::Well };
        let written = output.as_ref().map(|p| p.display().to_string());
        if terminal.json {
            terminal.print_json(&Document {
                format: 1,
                report: &found.report,
                written,
                key: &found.key_text,
                proposals: &offered,
                readable,
                status: outcome as u8,
            })?;
        } else if output.is_some() {
            let page = text::report(
                &found.report,
                &offered,
                readable,
                written.as_deref(),
                shown,
                terminal,
            );
            terminal.write_all(page.as_bytes())?;
        } else {
            // The key goes to standard output: the report must not mix with it.
            terminal.flush()?;
            let page = text::report(&found.report, &offered, readable, None, shown, terminal);
            eprint!("{}", anstream::adapter::strip_str(&page));
        }
        Ok(outcome)
    }

    fn read(&self) -> anyhow::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        // One byte more than is taken tells that the file is too large.
        let most = LARGEST as u64 + 1;
        if self.manuscript == "-" {
            std::io::stdin()
                .lock()
                .take(most)
                .read_to_end(&mut bytes)
                .context("cannot read standard input")?;
            return Ok(bytes);
        }
        let path = Path::new(&self.manuscript);
        let file =
            std::fs::File::open(path).with_context(|| format!("cannot read {}", path.display()))?;
        if file.metadata()?.is_dir() {
            bail!("{} is a folder; name a manuscript in it", path.display());
        }
        file.take(most)
            .read_to_end(&mut bytes)
            .with_context(|| format!("cannot read {}", path.display()))?;
        Ok(bytes)
    }

    /// The file that is to be written; `None` for standard output.
    fn target(&self) -> anyhow::Result<Option<PathBuf>> {
        Ok(match self.output.as_deref() {
            Some("-") => None,
            Some(file) => Some(PathBuf::from(file)),
            None if self.manuscript == "-" => None,
            None => {
                let path = Path::new(&self.manuscript).with_extension("key");
                if path == Path::new(&self.manuscript) {
                    bail!(
                        "{} is called like a key already; say with -o where the key is to be written",
                        path.display()
                    );
                }
                Some(path)
            }
        })
    }

    fn options(&self) -> anyhow::Result<Options> {
        let kind = match self.kind.as_deref() {
            Some(word) => Some(Kind::of(word).with_context(|| {
                let all: Vec<&str> = Kind::ALL.iter().map(|k| k.word()).collect();
                format!("no kind of manuscript is called `{word}`; there are {}", all.join(", "))
            })?),
            None => None,
        };
        Ok(Options {
            reading: Reading { kind, encoding: self.encoding.clone() },
            layout: self.layout.clone(),
            language: self.language.clone(),
            genus: self.genus.clone(),
        })
    }

    /// What could be declared, and what is: by the file of proposals, or answer by answer.
    fn characters(
        &self,
        found: &mut Adopted,
        asks: bool,
        terminal: &mut Terminal,
    ) -> anyhow::Result<(Vec<Proposal>, Readable)> {
        let name = found.report.manuscript.clone();
        let key = Key::read(Source::new(name.as_str(), found.key_text.as_str()));
        let mut offered = proposals(&key);
        let mut apply = false;
        if let Some(path) = &self.with {
            let yaml = std::fs::read_to_string(path)
                .with_context(|| format!("cannot read {}", path.display()))?;
            offered = serde_yaml::from_str(&yaml)
                .with_context(|| format!("{} is no file of proposals", path.display()))?;
            apply = true;
        } else if self.characters {
            if !asks {
                bail!(
                    "--characters asks you, and this is no terminal; write the proposals with --propose and take them with --with"
                );
            }
            ask::characters(&mut offered, terminal)?;
            apply = true;
        }
        let declared = declare(&name, &found.key_text, &offered);
        if apply {
            for (character, why) in &declared.dropped {
                terminal.complain(&anyhow::anyhow!("`{character}` was not declared: {why}"));
            }
            found.key_text = declared.key_text;
        }
        if let Some(path) = &self.propose {
            let yaml =
                serde_yaml::to_string(&offered).context("the proposals cannot be written")?;
            let head = "# What the leads suggest as characters. Set `accept: false` on what is none, mend the\n\
                        # sentences, the names and the states, then give this file to `hilum adopt --with`.\n";
            save::save(path, &format!("{head}{yaml}"), self.force)?;
        }
        Ok((offered, declared.readable))
    }
}
