//! The record of a session: one JSON object a line, appended and synced as things are said, so
//! that a session cut off at any moment can be taken up again.

use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use serde::{Deserialize, Serialize};

use crate::walk::Event;

/// The first line of a record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Head {
    pub hilum_session: u32,
    /// The key files as they were named on the command line.
    pub keys: Vec<String>,
    pub title: String,
    pub issue: Option<String>,
    /// The number of letters of every key file, to tell a key that has changed.
    pub print: String,
    pub language: String,
    pub begun: String,
    /// The specimen of a notebook that was being named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub specimen: Option<OnSpecimen>,
}

/// A specimen of a notebook, so that a session that was cut off goes on with it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OnSpecimen {
    /// Collector and number.
    pub citation: String,
    /// The notebook's folder.
    pub notebook: PathBuf,
}

/// One line after the first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
enum Entry {
    Say { event: Event },
    Undo,
    Redo,
}

/// A record that is being written.
pub struct Record {
    file: File,
    path: PathBuf,
}

/// A record read back.
pub struct Kept {
    pub head: Head,
    pub events: Vec<Event>,
    pub path: PathBuf,
    /// A half-written last line was set aside.
    pub torn: bool,
}

/// Where records are kept when no file is named: the state folder of the system's user.
pub fn folder() -> Option<PathBuf> {
    let set = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    let base = set("HILUM_STATE").or_else(|| set("XDG_STATE_HOME").map(|p| p.join("hilum")));
    base.or_else(|| set("HOME").map(|h| h.join(".local/state/hilum")))
        .or_else(|| set("LOCALAPPDATA").map(|p| p.join("hilum")))
}

impl Record {
    /// Begins a record in `path`, or in the state folder.
    pub fn begin(path: Option<&Path>, head: &Head) -> Result<Record> {
        let path = match path {
            Some(p) => p.to_path_buf(),
            None => {
                let folder =
                    folder().context("no home folder is known; name a file with --record")?;
                std::fs::create_dir_all(&folder)
                    .with_context(|| format!("{} cannot be made", folder.display()))?;
                folder.join(format!("session-{}.jsonl", head.begun.replace([':', '.'], "-")))
            }
        };
        let file =
            OpenOptions::new().create_new(true).append(true).open(&path).with_context(|| {
                format!("{} cannot be begun (a record is never written over)", path.display())
            })?;
        let mut record = Record { file, path };
        record.line(&serde_json::to_string(head)?)?;
        Ok(record)
    }

    /// Goes on with a record that was read back.
    pub fn go_on(kept: &Kept) -> Result<Record> {
        let mut file = OpenOptions::new()
            .append(true)
            .open(&kept.path)
            .with_context(|| kept.path.display().to_string())?;
        if kept.torn {
            // The torn line stays; a fresh line is begun after it.
            file.write_all(b"\n")?;
        }
        Ok(Record { file, path: kept.path.clone() })
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn say(&mut self, event: &Event) -> Result<()> {
        self.line(&serde_json::to_string(&Entry::Say { event: event.clone() })?)
    }

    pub fn undo(&mut self) -> Result<()> {
        self.line(&serde_json::to_string(&Entry::Undo)?)
    }

    pub fn redo(&mut self) -> Result<()> {
        self.line(&serde_json::to_string(&Entry::Redo)?)
    }

    fn line(&mut self, text: &str) -> Result<()> {
        self.file
            .write_all(format!("{text}\n").as_bytes())
            .and_then(|()| self.file.sync_data())
            .with_context(|| format!("{}: the record cannot be written", self.path.display()))
    }
}

impl Kept {
    /// Reads a record.
    ///
    /// # Errors
    /// The file cannot be read, or its first line is no head of a session.
    pub fn read(path: &Path) -> Result<Kept> {
        let file =
            File::open(path).with_context(|| format!("{} cannot be opened", path.display()))?;
        let mut lines = BufReader::new(file).split(b'\n');
        let first = lines.next().transpose()?.unwrap_or_default();
        let head: Head = serde_json::from_slice(&first)
            .with_context(|| format!("{}: line 1 is no head of a hilum session", path.display()))?;
        if head.hilum_session != 1 {
            bail!(
                "{}: written by a later hilum (session format {})",
                path.display(),
                head.hilum_session
            );
        }
        let (mut events, mut done): (Vec<Event>, usize) = (Vec::new(), 0);
        let mut torn = false;
        for line in lines {
            let line = line?;
            torn = false;
            match serde_json::from_slice::<Entry>(&line) {
                Ok(Entry::Say { event }) => {
                    events.truncate(done);
                    events.push(event);
                    done += 1;
                }
                Ok(Entry::Undo) => done = done.saturating_sub(1),
                Ok(Entry::Redo) => done = (done + 1).min(events.len()),
                // Only the last line can be torn; a torn line further up was set aside before.
                Err(_) => torn = !line.is_empty(),
            }
        }
        let whole = std::fs::read(path)?.ends_with(b"\n");
        events.truncate(done);
        Ok(Kept { head, events, path: path.to_path_buf(), torn: torn && !whole })
    }

    /// The record begun last in the state folder.
    pub fn latest() -> Result<Kept> {
        let folder = folder().context("no home folder is known; name the record: --resume FILE")?;
        let mut names: Vec<PathBuf> = std::fs::read_dir(&folder)
            .with_context(|| {
                format!("there is no session to take up: {} does not exist", folder.display())
            })?
            .filter_map(|e| Some(e.ok()?.path()))
            .filter(|p| p.extension().is_some_and(|e| e == "jsonl"))
            .collect();
        // Names begin with the time.
        names.sort();
        let last = names
            .pop()
            .with_context(|| format!("there is no session to take up in {}", folder.display()))?;
        Kept::read(&last)
    }
}
