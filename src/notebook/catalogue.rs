//! The ledger by specimens: finding one, the list of all, each in a line.

use std::collections::{HashMap, HashSet};

use rayon::prelude::*;
use serde::Serialize;

use super::digest::{Digest, NONE, Words, short_id};
use super::fault::Fault;
use super::ledger::{Ledger, LedgerError};
use super::number::{Citation, Key, fold_person};
use super::record::{Kind, Placed, Record};
use super::specimen::{Specimen, fold, roots};

/// Where a record stands: file and number in it.
pub type At = (usize, usize);

/// The ledger's records by specimen. Made from the index in a moment; reads a record's text only
/// where it is asked for.
pub struct Catalogue<'a> {
    ledger: &'a Ledger,
    /// In the order of the keys.
    groups: Vec<(Key, Vec<At>)>,
    corrections: HashMap<u64, Vec<At>>,
    /// Ids that stand in the ledger in several versions, with all of them: they may be of several
    /// specimens, and only one of them counts.
    versions: HashMap<u64, Vec<At>>,
}

/// Where ids stand that have more than one text.
fn versions(ledger: &Ledger) -> HashMap<u64, Vec<At>> {
    let files = ledger.files().iter().enumerate();
    let mut all: Vec<(u64, u64, At)> = files
        .flat_map(|(f, file)| {
            let digests = file.known.digests.iter().enumerate();
            digests
                .filter(|(_, digest)| digest.kind().is_some())
                .map(move |(d, digest)| (digest.id, digest.says, (f, d)))
        })
        .collect();
    all.par_sort_unstable();
    all.chunk_by(|a, b| a.0 == b.0)
        .filter(|same| same.first().map(|s| s.1) != same.last().map(|s| s.1))
        .map(|same| (same[0].0, same.iter().map(|s| s.2).collect()))
        .collect()
}

/// A specimen in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Summary {
    pub citation: Citation,
    /// Year, month, day; zeros where unknown, or where there is no gathering.
    pub date: (i16, i8, i8),
    pub place: Option<String>,
    pub habitat: Option<String>,
    /// As the determiner wrote it.
    pub name: Option<String>,
    pub family: Option<String>,
    pub determined_by: Option<String>,
    /// The name that holds was confirmed.
    pub confirmed: bool,
    pub parts: Vec<PartLine>,
    /// How many gatherings stand under the number; one is right.
    pub gatherings: usize,
    pub determinations: usize,
    pub observations: usize,
    pub notes: usize,
    /// Its place is not to be given away.
    pub withhold: bool,
}

/// A part in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PartLine {
    pub what: String,
    pub status: String,
    pub store: Option<String>,
    pub count: u32,
    pub individuals: u32,
    pub ripe: bool,
}

impl Ledger {
    /// The records by specimen.
    pub fn catalogue(&self) -> Catalogue<'_> {
        Catalogue::of(self)
    }
}

impl<'a> Catalogue<'a> {
    fn of(ledger: &'a Ledger) -> Catalogue<'a> {
        let words = ledger.words();
        let mut by_citation: Vec<Vec<At>> = vec![Vec::new(); words.citations().len()];
        let mut corrections: HashMap<u64, Vec<At>> = HashMap::new();
        for (f, file) in ledger.files().iter().enumerate() {
            for (d, digest) in file.known.digests.iter().enumerate() {
                match digest.kind() {
                    Some(Kind::Correction) => {
                        corrections.entry(digest.target).or_default().push((f, d));
                    }
                    Some(_) => {
                        if let Some(list) = by_citation.get_mut(digest.subject as usize) {
                            list.push((f, d));
                        }
                    }
                    None => {}
                }
            }
        }
        // A collector's name is folded once, not once a number.
        let mut folded: HashMap<&str, String> = HashMap::new();
        let mut groups: Vec<(Key, Vec<At>)> = words
            .citations()
            .iter()
            .zip(by_citation)
            .filter(|(_, list)| !list.is_empty())
            .map(|(citation, list)| {
                let who = &citation.collector;
                let who = folded.entry(who).or_insert_with(|| fold_person(who));
                (citation.number.key(who.clone()), list)
            })
            .collect();
        groups.sort();
        // One collector written in two ways has two citations under one key.
        groups.dedup_by(|later, first| {
            let same = later.0 == first.0;
            if same {
                first.1.append(&mut later.1);
            }
            same
        });
        Catalogue { ledger, groups, corrections, versions: versions(ledger) }
    }

    pub fn ledger(&self) -> &Ledger {
        self.ledger
    }

    pub fn len(&self) -> usize {
        self.groups.len()
    }

    pub fn is_empty(&self) -> bool {
        self.groups.is_empty()
    }

    pub fn keys(&self) -> impl Iterator<Item = &Key> {
        self.groups.iter().map(|(key, _)| key)
    }

    pub(super) fn digest(&self, at: At) -> &Digest {
        &self.ledger.files()[at.0].known.digests[at.1]
    }

    pub(super) fn groups(&self) -> &[(Key, Vec<At>)] {
        &self.groups
    }

    /// One specimen with everything that was written of it; `None` where the number is unknown.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn specimen(
        &self,
        key: &Key,
        faults: &mut Vec<Fault>,
    ) -> Result<Option<Specimen>, LedgerError> {
        let Ok(found) = self.groups.binary_search_by(|(k, _)| k.cmp(key)) else {
            return Ok(None);
        };
        self.folded(found, faults)
    }

    /// The specimen of a group, corrected; `None` where nothing is left of it.
    pub(super) fn folded(
        &self,
        group: usize,
        faults: &mut Vec<Fault>,
    ) -> Result<Option<Specimen>, LedgerError> {
        let records = self.records(group, faults)?;
        // Of a record that is in another version under another number, both were looked at.
        Ok(fold(records, faults).into_iter().find(|s| s.key() == self.groups[group].0))
    }

    /// The records of a group with the corrections that point at them.
    pub(super) fn records(
        &self,
        group: usize,
        faults: &mut Vec<Fault>,
    ) -> Result<Vec<Placed>, LedgerError> {
        let mut wanted = self.groups[group].1.clone();
        self.with_corrections(&mut wanted);
        let mut out = Vec::with_capacity(wanted.len());
        for at in wanted {
            out.extend(self.ledger.fetch(at.0, at.1, faults)?);
        }
        Ok(out)
    }

    /// The records of a specimen as they were written, every correction among them, in the order of
    /// files and lines; none where the number is unknown.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn as_written(&self, key: &Key) -> Result<Vec<Placed>, LedgerError> {
        let Ok(found) = self.groups.binary_search_by(|(k, _)| k.cmp(key)) else {
            return Ok(Vec::new());
        };
        let mut records = self.records(found, &mut Vec::new())?;
        records.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
        Ok(records)
    }

    /// Adds the corrections of records, the corrections of those, and so on, and every version of
    /// each.
    fn with_corrections(&self, records: &mut Vec<At>) {
        if self.corrections.is_empty() && self.versions.is_empty() {
            return;
        }
        let mut seen = HashSet::new();
        let mut next = 0;
        while next < records.len() {
            let id = self.digest(records[next]).id;
            next += 1;
            if seen.insert(id) {
                records.extend(self.corrections.get(&id).into_iter().flatten());
                records.extend(self.versions.get(&id).into_iter().flatten());
            }
        }
        records.sort_unstable();
        records.dedup();
    }

    fn is_corrected(&self, group: usize) -> bool {
        let ids = self.groups[group].1.iter().map(|at| self.digest(*at).id);
        !self.corrections.is_empty() && ids.into_iter().any(|id| self.corrections.contains_key(&id))
    }

    /// Whether a record stands under the number twice, or anywhere in two versions.
    fn is_doubled(&self, group: usize) -> bool {
        let list = &self.groups[group].1;
        let mut ids: Vec<u64> = list.iter().map(|at| self.digest(*at).id).collect();
        ids.sort_unstable();
        ids.windows(2).any(|w| w[0] == w[1])
            || !self.versions.is_empty() && ids.iter().any(|id| self.versions.contains_key(id))
    }

    /// Whether the order of records hangs on what the index keeps only roughly: gatherings under
    /// one number, and names of one day and moment with ids that someone made by hand.
    fn is_close(&self, group: usize) -> bool {
        let kinds = |kind| {
            let list = self.groups[group].1.iter().map(|at| self.digest(*at));
            list.filter(move |d| d.kind() == Some(kind))
        };
        let mut moments: Vec<_> = kinds(Kind::Determination)
            .map(|d| (d.date, d.written, d.id >> 63 == 1 || d.written == i64::MAX))
            .collect();
        moments.sort_unstable();
        moments.windows(2).any(|w| (w[0].0, w[0].1) == (w[1].0, w[1].1) && (w[0].2 || w[1].2))
            || kinds(Kind::Gathering).nth(1).is_some()
    }

    /// Every specimen in a line, in the order of collectors and numbers.
    ///
    /// # Errors
    /// Where a corrected record cannot be read.
    pub fn summaries(&self) -> Result<Vec<Summary>, LedgerError> {
        (0..self.groups.len()).filter_map(|i| self.summary(i).transpose()).collect()
    }

    /// Whether a group's records are not simply as they were written.
    pub(super) fn is_changed(&self, group: usize) -> bool {
        self.is_corrected(group) || self.is_doubled(group)
    }

    /// How many gatherings stand in a group when corrections and second versions are counted in.
    pub(super) fn settled(&self, group: usize, gatherings: usize) -> Result<usize, LedgerError> {
        if !self.is_changed(group) {
            return Ok(gatherings);
        }
        let specimen = self.folded(group, &mut Vec::new())?;
        Ok(specimen.map_or(0, |s| s.gatherings.len()))
    }

    /// One specimen in a line; `None` where a correction withdrew all that there was.
    fn summary(&self, group: usize) -> Result<Option<Summary>, LedgerError> {
        let (_, list) = &self.groups[group];
        // Most are as they were written: the index knows them. The others are folded.
        if !self.is_changed(group) && !self.is_close(group) {
            let digests = list.iter().map(|at| self.digest(*at).clone()).collect();
            return Ok(Summary::of(digests, self.ledger.words()));
        }
        let Some(specimen) = self.folded(group, &mut Vec::new())? else { return Ok(None) };
        let mut words = Words::default();
        let digests =
            specimen.standing().iter().map(|record| Digest::of(record, 0, &mut words)).collect();
        let summary = Summary::of(digests, &words);
        Ok(summary.map(|summary| Summary {
            citation: specimen.citation.clone(),
            ..summary.with_names(&specimen).with_place(&specimen)
        }))
    }

    /// The numbers of corrections whose record is not in the ledger.
    pub(super) fn dangling(&self) -> Vec<At> {
        if self.corrections.is_empty() {
            return Vec::new();
        }
        let files = self.ledger.files().iter();
        let ids: HashSet<u64> = files.flat_map(|f| &f.known.digests).map(|d| d.id).collect();
        let mut out: Vec<At> = self
            .corrections
            .iter()
            .filter(|(target, _)| !ids.contains(target))
            .flat_map(|(_, list)| list.iter().copied())
            .collect();
        out.sort_unstable();
        out
    }

    /// The id of a record, and the specimen that it is of, from the first letters of the id.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn record(&self, id: &str) -> Result<Vec<Placed>, LedgerError> {
        let mut out = Vec::new();
        let whole = super::record::Id::written(id);
        let short = short_id(&whole);
        for (f, file) in self.ledger.files().iter().enumerate() {
            for (d, digest) in file.known.digests.iter().enumerate() {
                let begins = || {
                    // An id of the notebook's own making, by its first letters.
                    id.len() >= 4
                        && id.len() < 12
                        && super::record::Id::letters(digest.id).starts_with(id)
                };
                if digest.kind().is_some() && (digest.id == short || begins()) {
                    out.extend(self.ledger.fetch(f, d, &mut Vec::new())?);
                }
            }
        }
        out.dedup_by(|a, b| a.record.id == b.record.id);
        Ok(out)
    }
}

impl Specimen {
    /// The records as they stand, corrections applied.
    pub fn standing(&self) -> Vec<Record> {
        use super::record::{Body, Subject, Written};
        let subject = || Subject::Specimen(self.citation.clone());
        let record = |id: &super::record::Id, written: &Option<Written>, body| Record {
            subject: subject(),
            id: id.clone(),
            written: written.clone(),
            body,
        };
        let mut out = Vec::new();
        macro_rules! all {
            ($($list:ident as $kind:ident),*) => { $(
                out.extend(
                    self.$list.iter().map(|k| record(&k.id, &k.written, Body::$kind(k.body.clone()))),
                );
            )* };
        }
        all!(
            gatherings as Gathering,
            parts as Part,
            observations as Observation,
            determinations as Determination,
            notes as Note
        );
        out
    }
}

impl Summary {
    /// The same with the name as the folded specimen has it.
    fn with_names(mut self, s: &Specimen) -> Summary {
        if let Some(current) = s.current() {
            let det = &current.named.body;
            self.name = Some(det.name.clone());
            self.family = det.family.clone();
            self.determined_by = (!det.by.is_empty()).then(|| det.by.join(", "));
            self.confirmed = s.confirmations(current.named).next().is_some();
        }
        self
    }

    /// The same with date and place of the folded specimen's gathering.
    fn with_place(mut self, s: &Specimen) -> Summary {
        if let Some(g) = s.gathering() {
            self.date = g.date.sort_key();
            self.place = g.place.clone();
            self.habitat = g.habitat.clone();
            self.withhold = g.withhold;
        }
        self
    }

    fn of(mut digests: Vec<Digest>, words: &Words) -> Option<Summary> {
        digests.sort_by_key(|d| (d.kind, d.date, d.written, d.id));
        let text = |at: u32| words.text(at).map(str::to_string);
        let first_gathering = digests
            .iter()
            .filter(|d| d.kind() == Some(Kind::Gathering))
            .min_by_key(|d| (d.written, d.id));
        let subject = first_gathering.or(digests.first()).map_or(NONE, |d| d.subject);
        let mut out = Summary {
            citation: words.citation(subject)?.clone(),
            date: first_gathering.map_or((0, 0, 0), |g| g.date),
            place: first_gathering.and_then(|g| text(g.a)),
            habitat: first_gathering.and_then(|g| text(g.b)),
            name: None,
            family: None,
            determined_by: None,
            confirmed: false,
            parts: Vec::new(),
            gatherings: 0,
            determinations: 0,
            observations: 0,
            notes: 0,
            withhold: first_gathering.is_some_and(|g| g.flag),
        };
        for d in &digests {
            match d.kind() {
                Some(Kind::Gathering) => out.gatherings += 1,
                Some(Kind::Part) => out.parts.push(PartLine {
                    what: text(d.a).unwrap_or_default(),
                    status: text(d.b).unwrap_or_default(),
                    store: text(d.c),
                    count: d.count,
                    individuals: d.individuals,
                    ripe: d.flag,
                }),
                Some(Kind::Observation) => out.observations += 1,
                Some(Kind::Determination) => out.determinations += 1,
                Some(Kind::Note) => out.notes += 1,
                Some(Kind::Correction) | None => {}
            }
        }
        out.name_from(&digests, &text);
        Some(out)
    }

    /// The name that holds, as [`Specimen::current`] finds it.
    fn name_from(&mut self, digests: &[Digest], text: &dyn Fn(u32) -> Option<String>) {
        let dets: Vec<&Digest> =
            digests.iter().filter(|d| d.kind() == Some(Kind::Determination)).rev().collect();
        let ids: Vec<u64> = dets.iter().map(|d| d.id).collect();
        let confirms: Vec<Option<u64>> = dets.iter().map(|d| d.flag.then_some(d.target)).collect();
        let roots = roots(&ids, &confirms);
        let Some(named) = roots.first().map(|at| dets[*at]) else { return };
        self.name = text(named.a);
        self.family = text(named.c);
        self.determined_by = text(named.b);
        self.confirmed = dets
            .iter()
            .zip(&roots)
            .any(|(d, root)| d.flag && d.id != named.id && Some(root) == roots.first());
    }
}
