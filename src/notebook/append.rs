//! Appending to a ledger: under the lock, synced before it is acknowledged, nothing half.

use std::collections::HashSet;

use super::digest::{short, short_id};
use super::disk::Held;
use super::ledger::{ASIDE, Ledger, LedgerError, RECORDS, make_here};
use super::record::{Id, Record, Written};

/// What an append did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Appended {
    /// Of the records that were written, in order.
    pub ids: Vec<Id>,
    /// How many were there already.
    pub already: usize,
}

impl Ledger {
    /// Appends records, all or none, and returns their ids when they are safe on the disk. They
    /// go to the file of the hand that writes, one a year, so that two people's ledgers merge
    /// without touching the same file. `at` gives the year.
    ///
    /// A record that is there already, word for word and moment for moment, is not written again:
    /// taking in the same table or the same ledger twice changes nothing.
    ///
    /// # Errors
    /// Where the disk refuses: then nothing was recorded.
    pub fn append(
        &mut self,
        records: &[Record],
        hand: &str,
        at: &Written,
    ) -> Result<Appended, LedgerError> {
        let lock = self.lock();
        make_here(self.disk.as_ref(), &self.folder)
            .map_err(|source| LedgerError::Write { path: lock.clone(), source })?;
        let _held: Box<dyn Held> = self
            .disk
            .lock(&lock, true)
            .map_err(|source| LedgerError::Write { path: lock.clone(), source })?;
        self.refresh()?;
        let new = self.unknown(records);
        let already = records.len() - new.len();
        if new.is_empty() {
            return Ok(Appended { ids: Vec::new(), already });
        }
        let name = format!("{}-{}.yaml", slug(hand), at.year());
        let path = self.path(&name);
        let write = |source| LedgerError::Write { path: path.clone(), source };
        let before = self.mend_tail(&name)?;
        let mut text = String::new();
        if before.is_some_and(|b| !b.ends_in_newline) {
            text.push('\n');
        }
        for record in &new {
            text.push_str(&record.document());
        }
        let old = before.map_or(0, |b| b.len);
        if old + text.len() as u64 > u64::from(u32::MAX) {
            return Err(LedgerError::TooLarge(path));
        }
        let disk = self.disk.clone();
        if before.is_none() {
            // Git keeps no empty folder: a clone of a new notebook lacks it.
            let records = self.folder.join(RECORDS);
            disk.make_folder(&records)
                .and_then(|()| disk.sync_folder(&self.folder))
                .map_err(write)?;
        }
        let written = disk.append(&path, text.as_bytes()).and_then(|()| disk.sync(&path));
        let written = match (written, before) {
            (Ok(()), None) => disk.sync_folder(&self.folder.join(RECORDS)),
            (result, _) => result,
        };
        if let Err(e) = written {
            // What was half written is taken away again; where even that fails, it is set aside
            // when the file is next written to.
            let _ = disk.truncate(&path, old).and_then(|()| disk.sync(&path));
            self.forget(&name);
            return Err(write(e));
        }
        self.take_in(&name, old, text.len() as u64)?;
        Ok(Appended { ids: new.iter().map(|r| r.id.clone()).collect(), already })
    }

    /// The records that are not there yet, each once.
    fn unknown<'r>(&self, records: &'r [Record]) -> Vec<&'r Record> {
        let mark = |r: &Record| (short_id(&r.id), short_id(&r.own_id()));
        let wanted: HashSet<(u64, u64)> = records.iter().map(mark).collect();
        let digests = self.files.iter().flat_map(|f| &f.known.digests);
        let mut seen: HashSet<(u64, u64)> =
            digests.map(|d| (d.id, d.says)).filter(|m| wanted.contains(m)).collect();
        records.iter().filter(|r| seen.insert(mark(r))).collect()
    }

    /// Sets a half-written tail of a file aside and cuts it off, the copy first.
    fn mend_tail(&mut self, name: &str) -> Result<Option<Tail>, LedgerError> {
        let Some(file) = self.files.iter().find(|f| f.known.name == name) else {
            return Ok(None);
        };
        let path = self.path(name);
        let read = |source| LedgerError::Read { path: path.clone(), source };
        let mut len = file.known.len;
        if let Some(torn) = file.torn {
            let bytes = self.disk.read(&path, torn.start, torn.len).map_err(read)?;
            let folder = self.folder.join(ASIDE);
            let mark = short(&bytes);
            // Named by what it holds, so that no later tail takes its place.
            let aside = folder.join(format!("{name}-{}-{mark:016x}.txt", torn.start));
            let kept = (|| {
                self.disk.make_folder(&folder)?;
                self.disk.replace(&aside, &bytes)?;
                self.disk.sync(&aside)?;
                self.disk.sync_folder(&folder)?;
                self.disk.sync_folder(&self.folder)
            })();
            kept.map_err(|source| LedgerError::Write { path: aside, source })?;
            let write = |source| LedgerError::Write { path: path.clone(), source };
            self.disk.truncate(&path, torn.start).map_err(write)?;
            self.disk.sync(&path).map_err(write)?;
            len = torn.start;
            self.forget(name);
        }
        let last = match len.checked_sub(1) {
            Some(at) => self.disk.read(&path, at, 1).map_err(read)?,
            None => Vec::new(),
        };
        Ok(Some(Tail { len, ends_in_newline: last.is_empty() || last == b"\n" }))
    }

    /// Takes what was just appended into what is known.
    fn take_in(&mut self, name: &str, old: u64, added: u64) -> Result<(), LedgerError> {
        let folder = self.folder.join(RECORDS);
        let read = |source| LedgerError::Read { path: folder.clone(), source };
        let listed = self.disk.list(&folder).map_err(read)?;
        let Some(now) = listed.into_iter().find(|l| l.name == name) else { return Ok(()) };
        let at = self.files.iter().position(|f| f.known.name == name);
        let known = at.map(|at| self.files.remove(at)).map(|mut file| {
            // Only where nothing but this append changed it is the rest still known.
            if file.known.len == old && now.len == old + added {
                (file.known.len, file.known.modified) = (now.len, now.modified);
            }
            file
        });
        self.changed = true;
        let file = self.read_file(&now, known)?;
        let at = self.files.partition_point(|f| f.known.name < file.known.name);
        self.files.insert(at, file);
        Ok(())
    }
}

#[derive(Clone, Copy)]
struct Tail {
    len: u64,
    ends_in_newline: bool,
}

/// A name for a file from a person's name: letters and digits, `-` between words.
pub fn slug(person: &str) -> String {
    let mut out = String::new();
    for c in person.chars().flat_map(char::to_lowercase).take(60) {
        if c.is_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "notebook".to_string() } else { out.to_string() }
}
