//! The ledger: opened, read where it is needed, appended to, never rewritten.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::digest::Words;
use super::disk::{Disk, Listed};
use super::fault::Fault;
use super::index::{self, Known};
use super::record::Placed;
use super::scan::{self, Torn};
use super::settings::{self, Settings};
use super::stream::Chunk;

/// Where the records lie in a notebook's folder.
pub const RECORDS: &str = "records";
/// Where half-written tails and rows that were not understood are kept.
pub const ASIDE: &str = "aside";
/// What belongs to this machine only: its settings, the lock, the index.
pub const HERE: &str = "here";

/// More than this many bytes not yet in the stored index, and it is stored anew.
const STALE: u64 = 1 << 20;

/// Why a notebook cannot be opened or written.
#[derive(Debug, thiserror::Error)]
pub enum LedgerError {
    #[error("{} is no notebook: it has no file notebook.yaml and no records", .0.display())]
    NotANotebook(PathBuf),
    #[error("{} is a notebook already", .0.display())]
    IsANotebook(PathBuf),
    #[error("{} cannot be read: {source}", .path.display())]
    Read { path: PathBuf, source: io::Error },
    #[error("nothing was recorded: {} cannot be written: {source}", .path.display())]
    Write { path: PathBuf, source: io::Error },
    #[error("{} is larger than a notebook's file may be (4 GiB)", .0.display())]
    TooLarge(PathBuf),
}

impl LedgerError {
    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            LedgerError::NotANotebook(_) => "Name the notebook's folder, or begin one there.",
            LedgerError::IsANotebook(_) => "Use it, or name another folder.",
            LedgerError::Read { .. } => "See that the folder is there and may be read.",
            LedgerError::Write { source, .. } => match source.kind() {
                io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                    "The disk is full: make room and enter it again."
                }
                io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
                    "The folder may not be written: open it for writing, or copy it elsewhere."
                }
                _ => "See to the disk and enter it again.",
            },
            LedgerError::TooLarge(_) => "Part the file in two; any *.yaml in the folder is read.",
        }
    }
}

/// One file of the ledger.
#[derive(Debug, Default)]
pub struct LedgerFile {
    pub known: Known,
    pub torn: Option<Torn>,
}

/// An open notebook.
pub struct Ledger {
    pub(super) folder: PathBuf,
    pub(super) disk: Arc<dyn Disk>,
    pub(super) files: Vec<LedgerFile>,
    words: Words,
    /// Bytes read since the index was stored.
    stale: u64,
    /// Whether the stored index, as far as it goes, still holds.
    index_holds: bool,
    pub(super) changed: bool,
}

impl std::fmt::Debug for Ledger {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.debug_struct("Ledger").field("folder", &self.folder).finish_non_exhaustive()
    }
}

impl Ledger {
    /// Begins a notebook in a folder, which is made where it is missing. Whatever else lies in the
    /// folder is left alone.
    ///
    /// # Errors
    /// Where one is there already, or the folder cannot be written.
    pub fn begin(
        folder: &Path,
        disk: Arc<dyn Disk>,
        settings: &Settings,
    ) -> Result<Ledger, LedgerError> {
        let write = |source| LedgerError::Write { path: folder.to_path_buf(), source };
        if disk.list(folder).map_err(write)?.iter().any(|l| l.name == settings::FILE) {
            return Err(LedgerError::IsANotebook(folder.to_path_buf()));
        }
        disk.make_folder(&folder.join(RECORDS)).map_err(write)?;
        make_here(disk.as_ref(), folder).map_err(write)?;
        // Last, so that a notebook begun only half is begun again.
        disk.replace(&folder.join(settings::FILE), settings.text().as_bytes()).map_err(write)?;
        disk.sync_folder(folder).map_err(write)?;
        if let Some(above) = folder.parent().filter(|p| !p.as_os_str().is_empty()) {
            // The folder's own entry; above it may be a place that this program may not open.
            let _ = disk.sync_folder(above);
        }
        Ledger::open(folder, disk)
    }

    /// Opens a notebook. What is wrong in its files is no error: see [`Ledger::faults`].
    ///
    /// # Errors
    /// Where there is no notebook, or its files cannot be read.
    pub fn open(folder: &Path, disk: Arc<dyn Disk>) -> Result<Ledger, LedgerError> {
        let read = |source| LedgerError::Read { path: folder.to_path_buf(), source };
        let top = disk.list(folder).map_err(read)?;
        let listed = disk.list(&folder.join(RECORDS)).map_err(read)?;
        if listed.is_empty() && !top.iter().any(|l| l.name == settings::FILE) {
            return Err(LedgerError::NotANotebook(folder.to_path_buf()));
        }
        let stored = index::load(disk.as_ref(), folder);
        let index_holds = stored.is_some();
        let (known, words) = stored.unwrap_or_default();
        let files = known.into_iter().map(|known| LedgerFile { known, torn: None }).collect();
        let mut ledger = Ledger {
            folder: folder.to_path_buf(),
            disk,
            files,
            words,
            stale: 0,
            index_holds,
            changed: false,
        };
        // Where no lock can be had (a folder that may only be read) no one writes either.
        let _held = ledger.disk.lock(&ledger.lock(), false).ok();
        ledger.refresh()?;
        Ok(ledger)
    }

    pub fn folder(&self) -> &Path {
        &self.folder
    }

    pub fn disk(&self) -> &Arc<dyn Disk> {
        &self.disk
    }

    pub fn files(&self) -> &[LedgerFile] {
        &self.files
    }

    pub fn words(&self) -> &Words {
        &self.words
    }

    pub(super) fn path(&self, name: &str) -> PathBuf {
        self.folder.join(RECORDS).join(name)
    }

    pub(super) fn lock(&self) -> PathBuf {
        self.folder.join(HERE).join("lock")
    }

    /// Reads what has changed on the disk since it was last read.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn refresh(&mut self) -> Result<(), LedgerError> {
        let folder = self.folder.join(RECORDS);
        let read = |source| LedgerError::Read { path: folder.clone(), source };
        let mut listed = self.disk.list(&folder).map_err(read)?;
        listed.retain(|l| {
            (l.name.ends_with(".yaml") || l.name.ends_with(".yml")) && !l.name.starts_with('.')
        });
        if self.files.iter().any(|f| !listed.iter().any(|l| l.name == f.known.name)) {
            self.index_holds = false;
        }
        let mut old = std::mem::take(&mut self.files);
        for file in listed {
            let at = old.iter().position(|f| f.known.name == file.name);
            let known = at.map(|at| old.swap_remove(at));
            let read = self.read_file(&file, known)?;
            self.files.push(read);
        }
        Ok(())
    }

    /// Reads a file, or only its end where the beginning is known and unchanged.
    pub(super) fn read_file(
        &mut self,
        file: &Listed,
        known: Option<LedgerFile>,
    ) -> Result<LedgerFile, LedgerError> {
        let path = self.path(&file.name);
        if file.len > u64::from(u32::MAX) {
            return Err(LedgerError::TooLarge(path));
        }
        let trusted = known.as_ref().is_some_and(|k| {
            (k.known.len, k.known.modified) == (file.len, file.modified)
                && k.known.finished.0 <= file.len
        });
        let mut old = Vec::new();
        let mut known = match known {
            Some(k) if trusted && k.torn.is_none() && k.known.finished.0 == file.len => {
                return Ok(k);
            }
            Some(k) if trusted => k.known,
            other => {
                self.index_holds = false;
                self.changed = true;
                old = other.map(|k| k.known.digests).unwrap_or_default();
                Known { name: file.name.clone(), finished: (0, 1), ..Known::default() }
            }
        };
        let (start, line) = known.finished;
        // What lies behind the finished part may have been read once already.
        known.digests.retain(|d| d.start < start);
        let bytes = self
            .disk
            .read(&path, start, file.len - start)
            .map_err(|source| LedgerError::Read { path: path.clone(), source })?;
        let scan = scan::scan(&bytes, start, line, &old, &mut self.words);
        self.stale += scan.finished.0 - start;
        if known.digests.is_empty() {
            known.digests = scan.digests;
        } else {
            known.digests.extend(scan.digests);
        }
        known.finished = scan.finished;
        (known.len, known.modified) = (file.len, file.modified);
        Ok(LedgerFile { known, torn: scan.torn })
    }

    /// Reads one record back from its file.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn fetch(
        &self,
        file: usize,
        digest: usize,
        faults: &mut Vec<Fault>,
    ) -> Result<Option<Placed>, LedgerError> {
        let Some(known) = self.files.get(file).map(|f| &f.known) else { return Ok(None) };
        let Some(d) = known.digests.get(digest) else { return Ok(None) };
        let path = self.path(&known.name);
        let bytes = self
            .disk
            .read(&path, d.start, d.len.into())
            .map_err(|source| LedgerError::Read { path, source })?;
        let start = d.start as usize;
        let chunk = Chunk { start, line: d.line as usize, bytes: &bytes, ended: true };
        let name = format!("{RECORDS}/{}", known.name);
        let record = scan::record(&chunk, &name, faults);
        Ok(record.map(|record| Placed { record, file: name, line: chunk.head() }))
    }

    /// Every record, file by file and in the order written. Torn tails are left out, and told.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn everything(&self, faults: &mut Vec<Fault>) -> Result<Vec<Placed>, LedgerError> {
        let mut out = Vec::new();
        for file in &self.files {
            let path = self.path(&file.known.name);
            let bytes = self
                .disk
                .read(&path, 0, file.known.len)
                .map_err(|source| LedgerError::Read { path, source })?;
            let name = format!("{RECORDS}/{}", file.known.name);
            out.extend(scan::read_documents(&bytes, &name, faults));
        }
        Ok(out)
    }

    /// Makes the next reading read the file whole.
    pub(super) fn forget(&mut self, name: &str) {
        self.index_holds = false;
        if let Some(file) = self.files.iter_mut().find(|f| f.known.name == name) {
            file.known.len = u64::MAX;
        }
    }

    /// Stores the index where it pays, at the very end; its failure harms nothing.
    fn store(&mut self) {
        if !self.changed && self.stale == 0 {
            return;
        }
        let disk = self.disk.clone();
        if self.index_holds && self.stale < STALE {
            let known = self.files.iter().map(|f| &f.known);
            let _ = index::save_marks(disk.as_ref(), &self.folder, known);
        } else if make_here(disk.as_ref(), &self.folder).is_ok() {
            // Nothing is asked of them after this.
            let files = self.files.iter_mut().map(|f| std::mem::take(&mut f.known)).collect();
            let _ = index::save(disk.as_ref(), &self.folder, files, &mut self.words);
        }
    }
}

/// Makes the folder of what belongs to this machine, where it is missing (a fresh clone has none),
/// and tells git to leave it alone.
pub(super) fn make_here(disk: &dyn Disk, notebook: &Path) -> io::Result<()> {
    let here = notebook.join(HERE);
    disk.make_folder(&here)?;
    if disk.list(&here)?.iter().any(|l| l.name == ".gitignore") {
        return Ok(());
    }
    disk.replace(&here.join(".gitignore"), b"*\n")
}

impl Drop for Ledger {
    fn drop(&mut self) {
        self.store();
    }
}
