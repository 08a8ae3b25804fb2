//! A ledger file read through once: every document in short, and a half-written tail told apart.

use std::collections::HashMap;

use rayon::prelude::*;

use super::digest::{Digest, Words, short};
use super::fault::Fault;
use super::record::{Placed, Record};
use super::stream::{Chunk, chunks, merge_mark};
use super::yaml;
use crate::text::finding::Severity;

/// What a file, or the end of one, holds.
#[derive(Debug, Default)]
pub struct Scan {
    pub digests: Vec<Digest>,
    /// Up to here every document is finished: bytes, and the number of the next line.
    pub finished: (u64, u32),
    pub torn: Option<Torn>,
}

/// A document at the end of a file that was never written to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Torn {
    pub start: u64,
    pub len: u64,
    pub line: u32,
}

/// How many documents are held in memory at a time.
const AT_A_TIME: usize = 4096;
/// How many of them one core reads before it hands over.
const IN_ONE_GO: usize = 256;

/// Reads `bytes`, which stand in their file from `start`, line `line`. What stood in the file
/// before (`old`) and stands there still, wherever, is not read anew.
pub fn scan(bytes: &[u8], start: u64, line: u32, old: &[Digest], words: &mut Words) -> Scan {
    let parts = chunks(bytes, line as usize);
    let lines = bytes.iter().filter(|b| **b == b'\n').count() as u32;
    let mut out = Scan { finished: (start + bytes.len() as u64, line + lines), ..Scan::default() };
    let old: HashMap<u64, &Digest> = old.iter().map(|d| (d.bytes, d)).collect();
    for group in parts.chunks(AT_A_TIME) {
        let read: Vec<_> =
            group.par_chunks(IN_ONE_GO).map(|docs| Read::of(docs, start, &old)).collect();
        for (docs, read) in group.chunks(IN_ONE_GO).zip(read) {
            let numbers = words.absorb(read.words);
            out.digests.extend(read.digests.into_iter().map(|d| match d {
                Short::New(d) => d.renumbered(&numbers),
                Short::Old(d) => d,
            }));
            if let Some(chunk) = docs.last().filter(|c| !c.ended) {
                let (start, len, line) = place(chunk, start);
                out.finished = (start, line);
                out.torn = read.torn.then_some(Torn { start, len: len.into(), line });
            }
        }
    }
    out
}

/// Where a document stands in its file, how long it is, and its line.
fn place(chunk: &Chunk, start: u64) -> (u64, u32, u32) {
    (start + chunk.start as u64, chunk.bytes.len() as u32, chunk.line as u32)
}

/// A document in short.
enum Short {
    /// Its texts are numbered by those it was read with.
    New(Digest),
    /// Its texts have the numbers that they had.
    Old(Digest),
}

/// Some documents in short, with texts numbered by themselves, so that many are read at once.
#[derive(Default)]
struct Read {
    digests: Vec<Short>,
    words: Words,
    /// The last one was cut off, and is not among the digests.
    torn: bool,
}

impl Read {
    fn of(docs: &[Chunk], file_start: u64, old: &HashMap<u64, &Digest>) -> Read {
        let mut out = Read::default();
        for chunk in docs {
            let (start, len, line) = place(chunk, file_start);
            let bytes = short(chunk.bytes);
            // Whether one without an end was cut off, only a reading can tell.
            let known = old.get(&bytes).filter(|d| chunk.ended && d.len == len);
            if let Some(known) = known {
                out.digests.push(Short::Old(Digest { start, line, ..(*known).clone() }));
                continue;
            }
            let mut faults = Vec::new();
            let record = record(chunk, "", &mut faults);
            if !chunk.ended && is_torn(chunk, record.as_ref()) {
                out.torn = true;
                continue;
            }
            let faulty = !faults.is_empty();
            let digest = match record {
                Some(record) => {
                    let says = Digest::says_of(&record);
                    Digest { faulty, ..Digest::of(&record, says, &mut out.words) }
                }
                None if faulty => Digest::unusable(),
                None => continue,
            };
            out.digests.push(Short::New(Digest { start, len, line, bytes, ..digest }));
        }
        out
    }
}

/// Reads one document; `None` where it holds only comments or cannot be used.
pub fn record(chunk: &Chunk, file: &str, faults: &mut Vec<Fault>) -> Option<Record> {
    let fault = |line: usize, rule, what: String, remedy: &str| {
        Fault::new(rule, Severity::Error, file, chunk.line + line, what).remedy(remedy)
    };
    if let Some(line) = merge_mark(chunk.bytes) {
        faults.push(
            fault(
                line,
                "merge-unfinished",
                "a merge was left unfinished here".to_string(),
                "Keep the records of both sides, each whole and once, and delete the lines with \
                 <<<<<<<, ======= and >>>>>>>.",
            )
            .why("Until then the record is not used."),
        );
        return None;
    }
    let text = match std::str::from_utf8(chunk.bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}'),
        Err(e) => {
            let before = &chunk.bytes[..e.valid_up_to()];
            let line = before.iter().filter(|b| **b == b'\n').count();
            let what = "this line is not UTF-8 text".to_string();
            faults.push(fault(line, "not-utf8", what, "Save the file as UTF-8."));
            return None;
        }
    };
    match yaml::read(text) {
        Ok(None) => None,
        Ok(Some(fields)) => Record::read(fields, file, chunk.line, faults),
        Err(e) => {
            // Where the end is wrong the reader may name the line behind it.
            let line = (e.line - 1).min(text.trim_end().matches('\n').count());
            faults.push(
                fault(line, "not-yaml", e.what, &e.remedy)
                    .why("The record is not used until this is mended; all others are."),
            );
            None
        }
    }
}

/// Of how many documents of a file the faults are told one by one. A file with more is no ledger,
/// and its faults would take many times its size in memory.
pub(super) const MOST_FAULTS: usize = 1000;

/// Says that there are more documents with faults, from a line on.
pub(super) fn more_faults(file: &str, line: usize, count: usize) -> Fault {
    let what = format!("from here on {count} more documents have faults, too many to tell");
    Fault::new("more-faults", Severity::Error, file, line, what)
        .why("The file may be no ledger.")
        .remedy("Mend those above and look again; a file that is no ledger goes elsewhere.")
}

/// Reads every document of a text that is no file of the ledger. A last one that was cut off is
/// left out, and told.
pub fn read_documents(bytes: &[u8], file: &str, faults: &mut Vec<Fault>) -> Vec<Placed> {
    let mut out = Vec::new();
    let (mut faulty, mut more, mut from) = (0, 0, 0);
    for chunk in &chunks(bytes, 1) {
        let mut own = Vec::new();
        let mut record = record(chunk, file, &mut own);
        if !chunk.ended && record.is_some() && is_torn(chunk, record.as_ref()) {
            let what = "the last record was not finished".to_string();
            own.push(
                Fault::new("half-written", Severity::Error, file, chunk.head(), what)
                    .why("Its text does not fit its id, and no end mark follows.")
                    .remedy(
                        "Fetch the file again; or finish it and add a line with three full stops.",
                    ),
            );
            record = None;
        }
        faulty += usize::from(!own.is_empty());
        if faulty <= MOST_FAULTS {
            faults.append(&mut own);
        } else if !own.is_empty() {
            more += 1;
            from = if more == 1 { chunk.line } else { from };
        }
        let place = |record| Placed { record, file: file.to_string(), line: chunk.head() };
        out.extend(record.map(place));
    }
    if more > 0 {
        faults.push(more_faults(file, from, more));
    }
    out
}

/// Whether an unended last document was cut off. The notebook ends each of its documents with
/// `...`, and writes first the kind, the collector and an id taken from the whole text; a person
/// may write neither. So the document is whole where it can be used and has no id, or an id that
/// fits its text: no other beginning of a document of the notebook's own can be used.
fn is_torn(chunk: &Chunk, record: Option<&Record>) -> bool {
    match record {
        Some(record) => has_id(chunk.bytes) && record.id != record.own_id(),
        // Of comments or a lone mark nothing is lost, and nothing is to be set aside.
        None => chunk
            .bytes
            .split(|b| *b == b'\n')
            .map(|l| l.trim_ascii())
            .any(|l| !l.is_empty() && !l.starts_with(b"#") && l != b"---"),
    }
}

fn has_id(bytes: &[u8]) -> bool {
    bytes.split(|b| *b == b'\n').any(|l| l.starts_with(b"id:"))
}
