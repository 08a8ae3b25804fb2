//! The few things that the notebook asks of a disk, so that a test can pull the plug at each.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

/// A file as a folder lists it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Listed {
    pub name: String,
    pub len: u64,
    /// Nanoseconds since 1970; what changes when someone else changes the file.
    pub modified: i128,
}

/// Held as long as the lock is.
pub trait Held: Send {}

/// What the ledger does with files. Every method may fail at any moment; `append` may leave a
/// part of its bytes behind when it does.
pub trait Disk: Send + Sync {
    fn make_folder(&self, folder: &Path) -> io::Result<()>;
    /// The plain files of a folder, by name; none where there is no such folder.
    fn list(&self, folder: &Path) -> io::Result<Vec<Listed>>;
    /// At most `len` bytes from `start`.
    fn read(&self, path: &Path, start: u64, len: u64) -> io::Result<Vec<u8>>;
    /// Adds to the end of a file, which is made where it is missing.
    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    fn truncate(&self, path: &Path, len: u64) -> io::Result<()>;
    /// Puts a whole file in the place of what was there, at once or not at all.
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Returns when the file's bytes are on the disk.
    fn sync(&self, path: &Path) -> io::Result<()>;
    /// Returns when the folder's list of files is on the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// Waits for the lock: alone to write, together with other readers to read.
    fn lock(&self, path: &Path, alone: bool) -> io::Result<Box<dyn Held>>;
}

/// The disk of this machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct ThisDisk;

/// The system's lock is given back when the file is closed.
struct FileLock {
    _file: File,
}

impl Held for FileLock {}

impl Disk for ThisDisk {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<Listed>> {
        let entries = match fs::read_dir(folder) {
            Ok(entries) => entries,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(e),
        };
        let mut out = Vec::new();
        for entry in entries {
            let entry = entry?;
            let Ok(name) = entry.file_name().into_string() else { continue };
            let meta = fs::metadata(entry.path())?;
            if meta.is_file() {
                let modified = match meta.modified()?.duration_since(std::time::UNIX_EPOCH) {
                    Ok(after) => after.as_nanos() as i128,
                    Err(before) => -(before.duration().as_nanos() as i128),
                };
                out.push(Listed { name, len: meta.len(), modified });
            }
        }
        out.sort();
        Ok(out)
    }

    fn read(&self, path: &Path, start: u64, len: u64) -> io::Result<Vec<u8>> {
        let mut file = File::open(path)?;
        file.seek(SeekFrom::Start(start))?;
        let mut out = Vec::new();
        file.take(len).read_to_end(&mut out)?;
        Ok(out)
    }

    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        OpenOptions::new().append(true).create(true).open(path)?.write_all(bytes)
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        OpenOptions::new().write(true).open(path)?.set_len(len)
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let folder = path.parent().unwrap_or(Path::new("."));
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        file.write_all(bytes)?;
        file.as_file().sync_data()?;
        file.persist(path)?;
        Ok(())
    }

    fn sync(&self, path: &Path) -> io::Result<()> {
        OpenOptions::new().append(true).open(path)?.sync_data()
    }

    #[cfg(unix)]
    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        File::open(folder)?.sync_all()
    }

    // Elsewhere a folder cannot be opened as a file; its list is written with the file.
    #[cfg(not(unix))]
    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        Ok(())
    }

    fn lock(&self, path: &Path, alone: bool) -> io::Result<Box<dyn Held>> {
        // git keeps no empty folders, so that of the lock may be gone.
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let file =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        if alone {
            file.lock()?;
        } else {
            file.lock_shared()?;
        }
        Ok(Box::new(FileLock { _file: file }))
    }
}
