//! What the notebook reads of the disk, counted in bytes, and what it says when the disk refuses.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};

use hilum::notebook::disk::{Disk, Held, Listed};
use hilum::notebook::ledger::{Ledger, LedgerError};
use hilum::notebook::record::Record;
use hilum::notebook::settings::Settings;

use super::ledger::{WHO, at, begin, cite, gathering, named, note, open, specimen, state_of};
use super::plug::Plug;

/// A disk that counts the bytes read of records, and refuses one call in the way it is told to.
#[derive(Clone)]
struct Counting {
    disk: Plug,
    read: Arc<AtomicU64>,
    refuse: Arc<Mutex<Option<(&'static str, io::ErrorKind)>>>,
}

impl Counting {
    fn on(disk: &Plug) -> Counting {
        Counting { disk: disk.clone(), read: Arc::default(), refuse: Arc::default() }
    }

    fn open(&self) -> Ledger {
        Ledger::open(Path::new("/oren"), Arc::new(self.clone())).unwrap()
    }

    /// Bytes of records read since it was last asked.
    fn bytes(&self) -> u64 {
        self.read.swap(0, Ordering::SeqCst)
    }

    fn may(&self, call: &str) -> io::Result<()> {
        match *self.refuse.lock().unwrap() {
            Some((refused, kind)) if refused == call => Err(kind.into()),
            _ => Ok(()),
        }
    }
}

impl Disk for Counting {
    fn make_folder(&self, folder: &Path) -> io::Result<()> {
        self.may("make_folder")?;
        self.disk.make_folder(folder)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<Listed>> {
        self.disk.list(folder)
    }

    fn read(&self, path: &Path, start: u64, len: u64) -> io::Result<Vec<u8>> {
        let bytes = self.disk.read(path, start, len)?;
        if path.starts_with("/oren/records") {
            self.read.fetch_add(bytes.len() as u64, Ordering::SeqCst);
        }
        Ok(bytes)
    }

    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.may("append")?;
        self.disk.append(path, bytes)
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        self.may("truncate")?;
        self.disk.truncate(path, len)
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        self.may("replace")?;
        self.disk.replace(path, bytes)
    }

    fn sync(&self, path: &Path) -> io::Result<()> {
        self.may("sync")?;
        self.disk.sync(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.may("sync_folder")?;
        self.disk.sync_folder(folder)
    }

    fn lock(&self, path: &Path, alone: bool) -> io::Result<Box<dyn Held>> {
        self.may("lock")?;
        self.disk.lock(path, alone)
    }
}

/// A season in two files.
fn season() -> Plug {
    let plug = Plug::new(1);
    let disk: Arc<dyn Disk> = Arc::new(plug.clone());
    let settings = Settings::new("Oren".into());
    let mut ledger = Ledger::begin(Path::new("/oren"), disk, &settings).unwrap();
    let all = |from: u64| -> Vec<Record> {
        (from..from + 200)
            .flat_map(|n| [gathering(n, n as u32), named(n, "Rosa L.", "2026-05-02", n as u32)])
            .collect()
    };
    ledger.append(&all(1), "ashdown", &at(0)).unwrap();
    ledger.append(&all(201), "holt", &at(0)).unwrap();
    plug
}

fn size(plug: &Plug, name: &str) -> u64 {
    plug.contents()[&PathBuf::from("/oren/records").join(name)].len() as u64
}

#[test]
fn with_an_index_only_what_is_asked_for_is_read() {
    let plug = season();
    let counting = Counting::on(&plug);
    let mut ledger = counting.open();
    assert_eq!(counting.bytes(), 0, "opening reads records");
    let catalogue = ledger.catalogue();
    catalogue.numbering().unwrap();
    assert_eq!(catalogue.summaries().unwrap().len(), 400);
    assert_eq!(counting.bytes(), 0, "lists read records");
    let s = catalogue.specimen(&cite(7).key(), &mut Vec::new()).unwrap().unwrap();
    let of_seven: usize = s.standing().iter().map(|r| r.document().len()).sum();
    assert_eq!(counting.bytes(), of_seven as u64);
    // an append reads what it wrote, and the byte before
    let next = note(7, "seen again", 900);
    ledger.append(std::slice::from_ref(&next), "ashdown", &at(0)).unwrap();
    let written = next.document().len() as u64;
    assert_eq!(counting.bytes(), written + 1);
    drop(ledger);
    drop(counting.open());
    assert_eq!(counting.bytes(), written, "opening reads what the index lacks, and no more");
}

#[test]
fn of_what_others_changed_only_that_file_is_read_and_once() {
    let plug = season();
    let counting = Counting::on(&plug);
    let path = Path::new("/oren/records/holt-2026.yaml");
    plug.append(path, note(250, "from elsewhere", 1).document().as_bytes()).unwrap();
    let ledger = counting.open();
    assert_eq!(counting.bytes(), size(&plug, "holt-2026.yaml"));
    assert_eq!(specimen(&ledger, 250).notes.len(), 1);
    drop(ledger);
    counting.bytes();
    drop(counting.open());
    assert_eq!(counting.bytes(), 0);
    // an edit in the middle, which moves all that follows, gives what reading all anew gives
    let text = String::from_utf8(plug.contents()[path].clone()).unwrap();
    let edited = text
        .replacen("place: terrace 300 below", "habitat: fallow\nplace: terrace 300 far below", 1)
        .replacen("name: Rosa L.", "name: Rosa canina L.", 1);
    assert_ne!(edited, text);
    plug.replace(path, edited.as_bytes()).unwrap();
    let ledger = counting.open();
    assert_eq!(counting.bytes(), edited.len() as u64);
    assert_eq!(
        specimen(&ledger, 300).gathering().unwrap().place.as_deref(),
        Some("terrace 300 far below the spring")
    );
    let (state, faults) = (state_of(&ledger), ledger.faults().unwrap());
    drop(ledger);
    // the index again, and without it
    assert_eq!((state_of(&counting.open()), counting.open().faults().unwrap()), (state, faults));
    let before = counting.open();
    let lines: Vec<(u64, u32)> = digests(&before);
    drop(before);
    plug.replace(Path::new("/oren/here/index"), b"").unwrap();
    let anew = counting.open();
    assert_eq!(digests(&anew), lines, "places of records differ");
    // a record taken out by hand is gone
    let cut = text.replacen(&gathering(205, 205).document(), "", 1);
    assert!(cut.len() < text.len());
    drop(anew);
    plug.replace(path, cut.as_bytes()).unwrap();
    assert!(specimen(&counting.open(), 205).gatherings.is_empty());
}

/// Where the index says that records stand, and on which line.
fn digests(ledger: &Ledger) -> Vec<(u64, u32)> {
    let files = ledger.files().iter();
    files.flat_map(|f| f.known.digests.iter().map(|d| (d.start, d.line))).collect()
}

#[test]
fn a_disk_that_refuses_leaves_all_as_it_was_and_says_what_to_do() {
    let full = "disk is full";
    let closed = "may not be written";
    for (kind, words) in [
        (io::ErrorKind::StorageFull, full),
        (io::ErrorKind::QuotaExceeded, full),
        (io::ErrorKind::PermissionDenied, closed),
        (io::ErrorKind::ReadOnlyFilesystem, closed),
        (io::ErrorKind::Other, "See to the disk"),
    ] {
        for call in ["make_folder", "lock", "append", "sync", "sync_folder"] {
            let plug = season();
            let counting = Counting::on(&plug);
            let mut ledger = counting.open();
            let state = state_of(&ledger);
            *counting.refuse.lock().unwrap() = Some((call, kind));
            // a file of its own, so that the folder's list has to be written too
            let refused = ledger.append(&[note(1, "x", 1)], "oren", &at(0)).unwrap_err();
            assert!(refused.to_string().starts_with("nothing was recorded"), "{call}: {refused}");
            assert!(refused.remedy().contains(words), "{call}: {}", refused.remedy());
            assert!(matches!(refused, LedgerError::Write { .. }));
            assert_eq!(state_of(&ledger), state, "{call}");
            *counting.refuse.lock().unwrap() = None;
            assert_eq!(state_of(&counting.open()), state, "{call}");
            // entered again, it is there once
            ledger.append(&[note(1, "x", 1)], "oren", &at(0)).unwrap();
            assert_eq!(specimen(&ledger, 1).notes.len(), 1, "{call}");
            drop(ledger);
            assert_eq!(counting.open().faults().unwrap(), [], "{call}");
        }
    }
}

/// The system's own device that is always full.
#[test]
fn the_systems_full_device_refuses() {
    if !Path::new("/dev/full").exists() {
        eprintln!("NOT TESTED: a full device: this system has no /dev/full");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    ledger.append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    let file = folder.path().join("records/oren-2026.yaml");
    std::os::unix::fs::symlink("/dev/full", &file).unwrap();
    let refused = ledger.append(&[note(1, "x", 1)], "oren", &at(0)).unwrap_err();
    assert!(refused.to_string().starts_with("nothing was recorded"), "{refused}");
    assert!(refused.remedy().contains("disk is full"), "{refused:?}");
    drop(ledger);
    let mut ledger = open(folder.path());
    assert_eq!(specimen(&ledger, 1).notes.len(), 0);
    std::fs::remove_file(&file).unwrap();
    ledger.append(&[note(1, "x", 1)], "oren", &at(0)).unwrap();
    assert_eq!(specimen(&open(folder.path()), 1).notes.len(), 1);
}
