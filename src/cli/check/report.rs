//! `check --report`: the page for an editor, written whole or not at all.

use std::io::Read;
use std::path::Path;

use anyhow::{Context, bail};

use crate::check::Report;
use crate::check::study::Study;
use crate::key::Key;
use crate::publish::report::{Examined, is_report, page};
use crate::text::file::replace;

/// Looks before the work begins whether the file may be written: it is not there, or is such a
/// report, or `over` says that it may be written over.
///
/// # Errors
/// Where it may not.
pub fn may_write(path: &Path, over: bool) -> anyhow::Result<()> {
    if path.is_dir() {
        bail!("{} is a folder; name a file in it for the report", path.display());
    }
    if over || !path.exists() {
        return Ok(());
    }
    let mut beginning = Vec::new();
    let file = std::fs::File::open(path);
    let read = file.and_then(|f| f.take(400).read_to_end(&mut beginning));
    read.with_context(|| format!("cannot read {}", path.display()))?;
    if !beginning.is_empty() && !is_report(&beginning) {
        bail!(
            "{} exists and is no report of this program, so it is not written over; name another \
             file, or say --force to replace it",
            path.display()
        );
    }
    Ok(())
}

/// Writes the report of all keys.
///
/// # Errors
/// Where the folder cannot be written to.
pub fn write(path: &Path, reports: &[(&Key, Report)], studies: &[Study]) -> anyhow::Result<()> {
    let keys: Vec<Examined> = reports
        .iter()
        .enumerate()
        .map(|(i, (key, report))| Examined { key, report, study: studies.get(i) })
        .collect();
    replace(path, page(&keys).as_bytes())
        .with_context(|| format!("cannot write {}", path.display()))
}
