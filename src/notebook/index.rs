//! The index beside a ledger: derived, never needed, deleted without loss.
//!
//! Two files under `here/`. `index` holds every record in short and how far into each ledger file it reaches;
//! `marks` holds length and time of the ledger files when this program last wrote them, so that an
//! append need not rewrite the first. A file that anyone else touched has another time, and is
//! read anew.

use std::io;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::digest::{Digest, StoredWords, Words, short};
use super::disk::{Disk, Listed};

/// Changes when what is stored changes; an index of another version is not read.
const VERSION: u32 = 3;

/// One ledger file as the index knows it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Known {
    pub name: String,
    /// Length and time at which what the index says of it was true.
    pub len: u64,
    pub modified: i128,
    /// How far the digests reach, and the number of the next line.
    pub finished: (u64, u32),
    pub digests: Vec<Digest>,
}

#[derive(Serialize, Deserialize)]
struct Stored {
    version: u32,
    files: Vec<Known>,
    words: StoredWords,
}

/// What `marks` holds.
#[derive(Serialize, Deserialize)]
struct Marks {
    /// Length and time of the `index` that it belongs to.
    index: (u64, i128),
    files: Vec<(String, u64, i128)>,
}

fn folder(notebook: &Path) -> PathBuf {
    notebook.join(super::ledger::HERE)
}

/// What was stored; nothing where it is missing, damaged or of another version.
pub fn load(disk: &dyn Disk, notebook: &Path) -> Option<(Vec<Known>, Words)> {
    let folder = folder(notebook);
    let listed = disk.list(&folder).ok()?;
    let records = listed.iter().find(|l| l.name == "index")?;
    let bytes = disk.read(&folder.join("index"), 0, u64::MAX).ok()?;
    let (body, sum) = bytes.split_at_checked(bytes.len().checked_sub(8)?)?;
    if checksum(body).to_le_bytes() != sum {
        return None;
    }
    let stored: Stored = postcard::from_bytes(body).ok()?;
    if stored.version != VERSION {
        return None;
    }
    let mut files = stored.files;
    if let Some(marks) = load_marks(disk, &folder)
        && marks.index == (records.len, records.modified)
    {
        for (name, len, modified) in marks.files {
            if let Some(known) = files.iter_mut().find(|k| k.name == name) {
                (known.len, known.modified) = (len, modified);
            }
        }
    }
    Some((files, Words::of(stored.words)?))
}

fn load_marks(disk: &dyn Disk, folder: &Path) -> Option<Marks> {
    let bytes = disk.read(&folder.join("marks"), 0, u64::MAX).ok()?;
    serde_json::from_slice(&bytes).ok()
}

/// Stores everything.
pub fn save(
    disk: &dyn Disk,
    notebook: &Path,
    files: Vec<Known>,
    words: &mut Words,
) -> io::Result<()> {
    let folder = folder(notebook);
    let stored = Stored { version: VERSION, files, words: words.stored() };
    let mut bytes = postcard::to_stdvec(&stored).map_err(io::Error::other)?;
    let sum = checksum(&bytes);
    bytes.extend(sum.to_le_bytes());
    disk.replace(&folder.join("index"), &bytes)
}

/// Stores only length and time of the files, for the `index` that are there.
pub fn save_marks<'a>(
    disk: &dyn Disk,
    notebook: &Path,
    files: impl Iterator<Item = &'a Known>,
) -> io::Result<()> {
    let folder = folder(notebook);
    let listed = disk.list(&folder)?;
    let Some(Listed { len, modified, .. }) = listed.iter().find(|l| l.name == "index") else {
        return Ok(());
    };
    let files = files.map(|k| (k.name.clone(), k.len, k.modified)).collect();
    let bytes = serde_json::to_vec(&Marks { index: (*len, *modified), files })?;
    disk.replace(&folder.join("marks"), &bytes)
}

fn checksum(bytes: &[u8]) -> u64 {
    // Against torn writes, not against malice: FNV-1a over words of eight bytes.
    let mut sum = short(b"") ^ bytes.len() as u64;
    let mut words = bytes.chunks_exact(8);
    for word in &mut words {
        let word = word.iter().fold(0_u64, |n, b| n << 8 | u64::from(*b));
        sum = (sum ^ word).wrapping_mul(0x0100_0000_01b3);
    }
    words.remainder().iter().fold(sum, |s, b| (s ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3))
}
