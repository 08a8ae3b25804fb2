//! Writing a file whole or not at all.

use std::io::Write;
use std::path::Path;

use anyhow::Context;

/// Writes `text` to a new file, or with `over` in place of one: first beside it, then by a rename.
///
/// # Errors
/// Where the file exists and may not be written over, or the folder cannot be written to.
pub(super) fn save(path: &Path, text: &str, over: bool) -> anyhow::Result<()> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let wanted = || format!("cannot write {}", path.display());
    let mut file = tempfile::NamedTempFile::new_in(folder).with_context(wanted)?;
    file.write_all(text.as_bytes()).with_context(wanted)?;
    file.as_file().sync_all().with_context(wanted)?;
    #[cfg(unix)]
    {
        // A temporary file is its owner's alone; a key is read by others.
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(path).map_or(0o644, |m| m.permissions().mode());
        file.as_file()
            .set_permissions(std::fs::Permissions::from_mode(mode))
            .with_context(wanted)?;
    }
    if over {
        file.persist(path).map_err(|e| e.error).with_context(wanted)?;
    } else {
        file.persist_noclobber(path).map_err(|e| e.error).with_context(wanted)?;
    }
    Ok(())
}
