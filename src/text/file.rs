//! A file replaced whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Replaces what a file holds. The new text is written beside it, brought to the disk, and takes
/// the file's place in one step: whoever reads, or a loss of power, finds the old text or the new.
/// The file keeps its permissions; where `path` is a symbolic link, the file that it leads to is
/// replaced and the link stays. A file that is not there yet is made. A further hard link to the
/// file keeps the old text.
///
/// # Errors
/// Where the folder cannot be written to, or the file must not be; the old text is then as it was.
pub fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = followed(path)?;
    let folder = match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let permissions = match fs::metadata(&target) {
        Ok(about) if about.permissions().readonly() => {
            let why = format!("{} must not be written to", target.display());
            return Err(io::Error::new(io::ErrorKind::PermissionDenied, why));
        }
        Ok(about) => Some(about.permissions()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => None,
        Err(e) => return Err(e),
    };
    let mut new = tempfile::Builder::new().prefix(".hilum-").tempfile_in(folder)?;
    new.write_all(bytes)?;
    match permissions {
        Some(permissions) => new.as_file().set_permissions(permissions)?,
        None => as_others(new.as_file())?,
    }
    new.as_file().sync_all()?;
    new.persist(&target).map_err(|e| e.error)?;
    // The name is safe when the folder is; where folders cannot be opened, that is all there is.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Where the links of a path end, though nothing be there yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_path_buf();
    // As many as systems follow.
    for _ in 0..40 {
        match fs::read_link(&at) {
            Ok(next) => at = at.parent().unwrap_or(Path::new("")).join(next),
            Err(_) => return Ok(at),
        }
    }
    Err(io::Error::other(format!("{} is a link that leads in a circle", path.display())))
}

/// A temporary file is its maker's alone; a new file is not.
#[cfg(unix)]
fn as_others(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn as_others(_: &File) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut out: Vec<String> =
            entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        out.sort();
        out
    }

    #[test]
    fn a_file_is_replaced_and_nothing_is_left_behind() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.key");
        replace(&path, b"one").unwrap();
        replace(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["a.key"]);
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_stay() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("real")).unwrap();
        let real = folder.path().join("real/a.key");
        fs::write(&real, "one").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        let link = folder.path().join("link.key");
        symlink("real/a.key", &link).unwrap();
        let second = folder.path().join("second.key");
        symlink("link.key", &second).unwrap();
        replace(&second, b"two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert!(fs::symlink_metadata(&second).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"two");
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(names(folder.path()), ["link.key", "real", "second.key"]);
    }

    #[cfg(unix)]
    #[test]
    fn what_must_not_be_written_to_is_left_alone() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.key");
        fs::write(&path, "one").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        assert!(replace(&path, b"two").is_err());
        assert_eq!(fs::read(&path).unwrap(), b"one");
        let ring = folder.path().join("ring");
        symlink("ring", &ring).unwrap();
        assert!(replace(&ring, b"two").is_err());
        assert!(replace(&folder.path().join("none/a.key"), b"two").is_err());
    }
}
