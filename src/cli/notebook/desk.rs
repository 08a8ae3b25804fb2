//! What every action needs: the open notebook, who writes, the clock, a specimen by its number.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Result, anyhow, bail};
use jiff::Timestamp;
use jiff::tz::{Offset, TimeZone};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::Place;
use crate::cli::Terminal;
use crate::cli::paper::Paper;
use crate::notebook::date::{Partial, When};
use crate::notebook::disk::ThisDisk;
use crate::notebook::fault::Fault;
use crate::notebook::ledger::{Ledger, LedgerError};
use crate::notebook::number::{Citation, Key, Number, fold_person};
use crate::notebook::record::{Body, Id, Record, Written};
use crate::notebook::settings::{Here, Settings};
use crate::notebook::specimen::Specimen;
use crate::text::finding::Severity;

/// An open notebook with who writes in it.
pub struct Desk {
    pub ledger: Ledger,
    pub settings: Settings,
    writer: Option<String>,
    last: Option<Written>,
}

/// An error of the ledger with what to do about it.
pub fn told(error: LedgerError) -> anyhow::Error {
    let remedy = error.remedy();
    match &error {
        LedgerError::NotANotebook(folder) => {
            let here = folder.as_path() == Path::new(".");
            let place = if here { String::new() } else { Place::of(folder.clone()).typed() };
            anyhow!(
                "{error}. Name the notebook's folder with --in, or begin one: \
                 hilum notebook{place} begin --collector NAME"
            )
        }
        _ => anyhow!("{error}. {remedy}"),
    }
}

/// This moment, and this machine's offset. `SOURCE_DATE_EPOCH` (seconds since 1970) sets the
/// clock, for output that can be made again.
pub fn now() -> (Timestamp, Offset) {
    let set = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.parse().ok());
    match set.and_then(|s| Timestamp::from_second(s).ok()) {
        Some(moment) => (moment, Offset::UTC),
        None => {
            let moment = Timestamp::now();
            let zone = TimeZone::try_system().unwrap_or(TimeZone::UTC);
            (moment, zone.to_offset(moment))
        }
    }
}

/// The folder that was named, that of `HILUM_NOTEBOOK`, or the one we are in.
pub fn folder(place: &Place) -> PathBuf {
    let named = place.folder.clone();
    named
        .or_else(|| std::env::var_os("HILUM_NOTEBOOK").map(PathBuf::from))
        .unwrap_or_else(|| PathBuf::from("."))
}

/// A date as typed; today where nothing was.
pub fn date(text: Option<&str>) -> Result<When> {
    match text {
        Some("today") | None => Ok(today()),
        Some("yesterday") => Ok(days_ago(1)),
        Some(text) => Ok(When::read(text)?),
    }
}

/// Today on this machine's clock.
pub fn today() -> When {
    days_ago(0)
}

/// A day before today on this machine's clock.
fn days_ago(n: i32) -> When {
    let (moment, offset) = now();
    let today = offset.to_datetime(moment).date();
    let d = today.checked_sub(jiff::Span::new().days(n)).unwrap_or(today);
    let whole = Partial { year: d.year(), month: Some(d.month()), day: Some(d.day()) };
    When::on(whole)
}

/// Says what was recorded: a line, or with `--json` {"format":1, "specimen", "recorded":[ids]}.
pub fn recorded(
    terminal: &mut Terminal,
    specimen: Option<&Citation>,
    ids: &[Id],
    line: &str,
) -> Result<()> {
    if terminal.json {
        let ids: Vec<&str> = ids.iter().map(Id::as_str).collect();
        let said = serde_json::json!({ "format": 1, "specimen": specimen, "recorded": ids });
        terminal.print_json(&said)?;
    } else {
        writeln!(terminal, "Recorded: {line}")?;
    }
    Ok(())
}

impl Desk {
    /// Opens the notebook; what is wrong in its files is told in a line, not in full.
    pub fn open(place: &Place) -> Result<Desk> {
        let folder = folder(place);
        let ledger = Ledger::open(&folder, Arc::new(ThisDisk)).map_err(told)?;
        let mut faults = Vec::new();
        let settings =
            Settings::load(ledger.disk().as_ref(), &folder, &mut faults).map_err(told)?;
        let here = Here::load(ledger.disk().as_ref(), &folder, &mut faults).map_err(told)?;
        for fault in &faults {
            eprintln!("hilum: {fault}");
        }
        if let Some(file) = ledger.files().iter().find(|f| f.torn.is_some()) {
            eprintln!(
                "hilum: the last record of {} is half written; `hilum notebook check` says more.",
                file.known.name
            );
        }
        let writer = place.writer.clone().or(here.collector);
        Ok(Desk { ledger, settings, writer, last: None })
    }

    /// Who writes.
    pub fn writer(&self) -> Result<&str> {
        self.writer.as_deref().ok_or_else(|| {
            anyhow!(
                "it is not known who writes: name yourself with --writer, or once for this machine \
                 with `hilum notebook begin --collector NAME`"
            )
        })
    }

    pub fn writer_or_none(&self) -> Option<&str> {
        self.writer.as_deref()
    }

    /// The moment for the next record: never the same twice.
    pub fn moment(&mut self) -> Written {
        let (moment, offset) = now();
        let now = Written::at(moment, offset);
        let next = match &self.last {
            Some(last) if now.instant() <= last.instant() => last.next(),
            _ => now,
        };
        self.last = Some(next.clone());
        next
    }

    /// Makes a record of a specimen at this moment.
    pub fn record(&mut self, citation: &Citation, body: Body) -> Record {
        Record::of(citation.clone(), Some(self.moment()), body)
    }

    /// Appends records and says when they are safe.
    pub fn keep(&mut self, records: &[Record]) -> Result<Vec<Id>> {
        let at = self.moment();
        // Whoever only adds a note to another's number writes in the own file.
        let hand = match self.writer.clone() {
            Some(writer) => writer,
            None => self.writer()?.to_string(),
        };
        let done = self.ledger.append(records, &hand, &at).map_err(told)?;
        Ok(done.ids)
    }

    /// The specimen that a number stands for: one's own, or another's whose name stands before it.
    ///
    /// # Errors
    /// Where there is none, or several.
    pub fn find(&self, text: &str) -> Result<Key> {
        if let Some(key) = self.known(text)? {
            return Ok(key);
        }
        bail!("there is no {text} in the notebook; `hilum notebook list` shows what there is")
    }

    /// As [`Desk::find`], `None` where there is none.
    pub fn known(&self, text: &str) -> Result<Option<Key>> {
        let catalogue = self.ledger.catalogue();
        let mut found: Vec<Key> = Vec::new();
        for (who, number) in readings(text) {
            let wanted = Citation::new("", number).key();
            let who = unaccented(&fold_person(&who));
            let same = |k: &&Key| {
                // Of what has no number the date alone may be given, or less.
                let suffix = match wanted.unnumbered {
                    true => k.suffix.starts_with(&wanted.suffix),
                    false => k.suffix == wanted.suffix,
                };
                let number = (&k.prefix, k.running, k.unnumbered);
                number == (&wanted.prefix, wanted.running, wanted.unnumbered)
                    && suffix
                    && unaccented(&k.collector).contains(&who)
            };
            found.extend(catalogue.keys().filter(same).cloned());
        }
        found.sort();
        found.dedup();
        // One's own number goes before another's.
        let own = self.writer.as_deref().map(fold_person);
        let mine: Vec<&Key> = found.iter().filter(|k| Some(&k.collector) == own.as_ref()).collect();
        match (&mine[..], &found[..]) {
            ([one], _) => Ok(Some((*one).clone())),
            (_, [one]) => Ok(Some(one.clone())),
            (_, []) => Ok(None),
            _ => {
                let mut names: Vec<String> = Vec::new();
                for key in found.iter().take(5) {
                    names.extend(self.specimen(key)?.map(|s| s.citation.to_string()));
                }
                bail!("{text} may be {}; write the collector before the number", names.join(" or "))
            }
        }
    }

    /// Everything of one specimen.
    pub fn specimen(&self, key: &Key) -> Result<Option<Specimen>> {
        self.ledger.catalogue().specimen(key, &mut Vec::new()).map_err(told)
    }

    /// The specimen of a number that must be there.
    pub fn see(&self, text: &str) -> Result<Specimen> {
        let key = self.find(text)?;
        self.specimen(&key)?.ok_or_else(|| anyhow!("there is no {text} in the notebook"))
    }

    /// Several specimens: numbers, runs such as 1040-1045, or all.
    pub fn several(&self, wanted: &[String]) -> Result<Vec<Specimen>> {
        let catalogue = self.ledger.catalogue();
        let mut keys: Vec<Key> = Vec::new();
        if wanted.is_empty() {
            keys.extend(catalogue.keys().cloned());
        }
        for text in wanted {
            match run(text) {
                Some((from, to)) if self.known(text)?.is_none() => {
                    let who = fold_person(self.writer()?);
                    let own = catalogue.keys().filter(|k| {
                        k.collector == who && !k.unnumbered && (from..=to).contains(&k.running)
                    });
                    keys.extend(own.cloned());
                }
                _ => keys.push(self.find(text)?),
            }
        }
        let mut out = Vec::with_capacity(keys.len());
        for key in keys {
            out.extend(catalogue.specimen(&key, &mut Vec::new()).map_err(told)?);
        }
        Ok(out)
    }
}

/// Whether a specimen is still fresh: on the day on which it was gathered.
pub fn is_fresh(specimen: &Specimen) -> bool {
    specimen.gathering().is_some_and(|g| g.date.sort_key() == today().sort_key())
}

/// Letters without their accents: whoever looks for a name may not have them on the keyboard.
fn unaccented(text: &str) -> String {
    text.nfd().filter(|c| !is_combining_mark(*c)).collect()
}

/// `1040-1045`
pub fn run(text: &str) -> Option<(u64, u64)> {
    let (a, b) = text.split_once(['-', '–'])?;
    let (a, b) = (a.trim().parse().ok()?, b.trim().parse().ok()?);
    (a < b).then_some((a, b))
}

/// The ways to read a text as a collector's words and a number: all of it as a number, or its last
/// words.
fn readings(text: &str) -> Vec<(String, Number)> {
    let mut out = Vec::new();
    let text = text.trim();
    out.extend(Number::read(text).map(|n| (String::new(), n)));
    for (at, _) in text.char_indices().filter(|(_, c)| c.is_whitespace()) {
        let (who, number) = (text[..at].trim(), text[at..].trim());
        out.extend(Number::read(number).map(|n| (who.to_string(), n)));
    }
    out
}

/// A specimen's number as it is typed in a shell.
pub fn quoted(citation: &Citation) -> String {
    let number = citation.number.to_string();
    shlex::try_quote(&number).map(|q| q.into_owned()).unwrap_or(number)
}

/// `1 number`, `2 numbers`.
pub fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// Text for a page.
pub fn paper(terminal: &Terminal) -> Paper {
    Paper { width: terminal.width, colour: terminal.colour }
}

/// Prints faults, and says whether any is an error.
pub fn faults(terminal: &mut Terminal, faults: &[Fault]) -> Result<bool> {
    for fault in faults {
        let text = crate::cli::notebook::desk::lines_shown(&fault.to_string());
        writeln!(terminal, "{text}")?;
    }
    Ok(faults.iter().any(|f| f.finding.severity == Severity::Error))
}

/// Lines made safe to show, one by one.
pub fn lines_shown(text: &str) -> String {
    let lines: Vec<_> = text.lines().map(|l| crate::text::shown::shown(l).into_owned()).collect();
    lines.join("\n")
}

/// Writes a file that was named, all of it or nothing; `-` is standard output.
pub fn write_file(terminal: &mut Terminal, path: &Path, bytes: &[u8]) -> Result<()> {
    use crate::notebook::disk::Disk;
    if path == Path::new("-") {
        return terminal.write_bytes(bytes);
    }
    let path = if path.is_relative() { Path::new(".").join(path) } else { path.to_path_buf() };
    ThisDisk.replace(&path, bytes).map_err(|e| anyhow!("{} cannot be written: {e}", path.display()))
}
