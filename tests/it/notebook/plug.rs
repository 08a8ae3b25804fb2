//! A disk in memory whose plug can be pulled at any write, with what a real one may then hold.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use hilum::notebook::disk::{Disk, Held, Listed};

/// What happens at the chosen write.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fate {
    /// The power goes: from then on nothing answers.
    PowerCut,
    /// This write and the following fail until room is made; the first leaves a part behind.
    DiskFull,
    /// This write alone fails.
    Hiccup,
}

#[derive(Clone, Debug, Default)]
struct File {
    live: Vec<u8>,
    synced: Vec<u8>,
    /// What the name led to when the folder was last synced; nothing for a new file.
    before: Option<Option<Vec<u8>>>,
    modified: i128,
}

#[derive(Debug, Default)]
struct State {
    files: BTreeMap<PathBuf, File>,
    clock: i128,
    writes: u64,
    fate: Option<(u64, Fate)>,
    dead: bool,
    full: bool,
    random: u64,
}

#[derive(Clone, Debug, Default)]
pub struct Plug(Arc<Mutex<State>>);

struct Free;
impl Held for Free {}

impl State {
    fn roll(&mut self, below: usize) -> usize {
        // xorshift64*
        self.random ^= self.random >> 12;
        self.random ^= self.random << 25;
        self.random ^= self.random >> 27;
        (self.random.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % below.max(1)
    }

    /// Counts a write; says how it ends.
    fn write(&mut self) -> Result<(), Fate> {
        if self.dead {
            return Err(Fate::PowerCut);
        }
        self.writes += 1;
        match self.fate {
            Some((at, fate)) if at == self.writes => {
                self.dead = fate == Fate::PowerCut;
                self.full = fate == Fate::DiskFull;
                Err(fate)
            }
            _ if self.full => Err(Fate::DiskFull),
            _ => Ok(()),
        }
    }

    fn tick(&mut self) -> i128 {
        self.clock += 1;
        self.clock
    }
}

fn error(fate: Fate) -> io::Error {
    match fate {
        Fate::PowerCut => io::Error::other("the power is gone"),
        Fate::DiskFull => io::Error::new(io::ErrorKind::StorageFull, "no space left on device"),
        Fate::Hiccup => io::Error::other("input/output error"),
    }
}

impl Plug {
    pub fn new(seed: u64) -> Plug {
        let random = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        Plug(Arc::new(Mutex::new(State { random, ..State::default() })))
    }

    pub fn roll(&self, below: usize) -> usize {
        self.0.lock().unwrap().roll(below)
    }

    pub fn fate(&self, after: u64, fate: Fate) {
        let mut s = self.0.lock().unwrap();
        s.fate = Some((s.writes + after, fate));
    }

    pub fn is_dead(&self) -> bool {
        self.0.lock().unwrap().dead
    }

    pub fn make_room(&self) {
        let mut s = self.0.lock().unwrap();
        (s.full, s.fate) = (false, None);
    }

    /// Every file's bytes, for looking at.
    pub fn contents(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let s = self.0.lock().unwrap();
        s.files.iter().map(|(p, f)| (p.clone(), f.live.clone())).collect()
    }

    /// The disk after the power came back: what was synced is there; of the rest anything may be,
    /// nothing, a part, or a part that reads as zeros.
    pub fn restart(&self) -> Plug {
        let mut s = self.0.lock().unwrap();
        let mut files = BTreeMap::new();
        for (path, file) in s.files.clone() {
            let mut live = if file.live.starts_with(&file.synced) {
                let added = file.live.len() - file.synced.len();
                let kept = s.roll(added + 1);
                let mut live = file.synced.clone();
                live.extend(&file.live[file.synced.len()..][..kept]);
                if kept > 0 && s.roll(4) == 0 {
                    let zeros = s.roll(kept + 1);
                    let len = live.len();
                    live[len - zeros..].fill(0);
                }
                Some(live)
            } else if s.roll(2) == 0 {
                Some(file.live.clone())
            } else {
                Some(file.synced.clone())
            };
            if let Some(before) = file.before
                && s.roll(2) == 0
            {
                live = before;
            }
            if let Some(live) = live {
                let modified = s.tick();
                files.insert(path, File { synced: live.clone(), live, before: None, modified });
            }
        }
        let random = s.random;
        let state = State { files, clock: s.clock, random, ..State::default() };
        Plug(Arc::new(Mutex::new(state)))
    }
}

impl Disk for Plug {
    fn make_folder(&self, _: &Path) -> io::Result<()> {
        self.0.lock().unwrap().write().map_err(error)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<Listed>> {
        let s = self.0.lock().unwrap();
        if s.dead {
            return Err(error(Fate::PowerCut));
        }
        let here = s.files.iter().filter(|(p, _)| p.parent() == Some(folder));
        Ok(here
            .map(|(p, f)| Listed {
                name: p.file_name().unwrap().to_string_lossy().into_owned(),
                len: f.live.len() as u64,
                modified: f.modified,
            })
            .collect())
    }

    fn read(&self, path: &Path, start: u64, len: u64) -> io::Result<Vec<u8>> {
        let s = self.0.lock().unwrap();
        if s.dead {
            return Err(error(Fate::PowerCut));
        }
        let file = s.files.get(path).ok_or(io::ErrorKind::NotFound)?;
        let bytes = file.live.get(start as usize..).unwrap_or_default();
        Ok(bytes[..bytes.len().min(len as usize)].to_vec())
    }

    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        let result = s.write();
        if s.dead && result == Err(Fate::PowerCut) && s.fate.is_none_or(|f| f.0 != s.writes) {
            return Err(error(Fate::PowerCut));
        }
        let n = match result {
            Ok(()) => bytes.len(),
            Err(_) => s.roll(bytes.len() + 1),
        };
        let modified = s.tick();
        let file = s
            .files
            .entry(path.to_path_buf())
            .or_insert_with(|| File { before: Some(None), ..File::default() });
        file.live.extend(&bytes[..n]);
        file.modified = modified;
        if result.is_err() {
            // the power goes only once
            s.fate = None;
        }
        result.map_err(error)
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        // A full disk still lets a file be cut.
        let full = std::mem::take(&mut s.full);
        let result = s.write();
        s.full |= full;
        result.map_err(error)?;
        let modified = s.tick();
        let file = s.files.get_mut(path).ok_or(io::ErrorKind::NotFound)?;
        file.live.truncate(len as usize);
        file.modified = modified;
        Ok(())
    }

    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.write().map_err(error)?;
        let modified = s.tick();
        let file = s.files.entry(path.to_path_buf()).or_default();
        let before = (!file.live.is_empty()).then(|| file.synced.clone());
        if file.before.is_none() {
            file.before = Some(before);
        }
        (file.live, file.synced, file.modified) = (bytes.to_vec(), bytes.to_vec(), modified);
        Ok(())
    }

    fn sync(&self, path: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        let full = std::mem::take(&mut s.full);
        let result = s.write();
        s.full |= full;
        result.map_err(error)?;
        let file = s.files.get_mut(path).ok_or(io::ErrorKind::NotFound)?;
        file.synced = file.live.clone();
        Ok(())
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        let mut s = self.0.lock().unwrap();
        s.write().map_err(error)?;
        for (path, file) in &mut s.files {
            if path.parent() == Some(folder) {
                file.before = None;
            }
        }
        Ok(())
    }

    fn lock(&self, _: &Path, _: bool) -> io::Result<Box<dyn Held>> {
        if self.is_dead() {
            return Err(error(Fate::PowerCut));
        }
        Ok(Box::new(Free))
    }
}
