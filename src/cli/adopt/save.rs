//! Writing a file that is new, or that may be written over.

use std::path::Path;

use anyhow::{Context, bail};

use crate::text::file::replace;

/// Writes `text` whole or not at all. A file that exists is written over only with `over`.
///
/// # Errors
/// Where the file exists and may not be written over, or the folder cannot be written to.
pub(super) fn save(path: &Path, text: &str, over: bool) -> anyhow::Result<()> {
    if path.exists() && !over {
        bail!(
            "{} exists already, and nothing is written over it; say --force to replace it",
            path.display()
        );
    }
    replace(path, text.as_bytes()).with_context(|| format!("cannot write {}", path.display()))
}
