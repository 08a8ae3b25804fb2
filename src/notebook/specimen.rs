//! A specimen as it stands: folded from every record of it, whatever order they came in.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use serde::Serialize;

use super::date::When;
use super::fault::Fault;
use super::number::{Citation, Key};
use super::record::part::USUAL;
use super::record::{
    Body, Correction, Determination, Gathering, Id, Note, Observation, Part, Placed, Record,
    Subject, Written,
};
use super::value::Value;
use crate::text::finding::Severity;

/// A record's content as corrected, with its place in the ledger.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Kept<T> {
    pub id: Id,
    pub written: Option<Written>,
    pub body: T,
    /// The corrections that changed it, earliest first.
    pub corrected_by: Vec<Id>,
    #[serde(skip)]
    pub file: String,
    #[serde(skip)]
    pub line: usize,
}

/// All that is known under one collector's number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Specimen {
    pub citation: Citation,
    /// One; none where only its parts or names are here; more where the number was given twice.
    pub gatherings: Vec<Kept<Gathering>>,
    pub parts: Vec<Kept<Part>>,
    /// In the order of their dates.
    pub observations: Vec<Kept<Observation>>,
    /// The latest first.
    pub determinations: Vec<Kept<Determination>>,
    pub notes: Vec<Kept<Note>>,
    /// With the id of what each corrects.
    pub corrections: Vec<(Id, Kept<Correction>)>,
    /// Records that a correction withdrew, as they were written.
    pub withdrawn: Vec<Record>,
    /// Of each determination, the one that it confirms in the end.
    #[serde(skip)]
    roots: Vec<usize>,
}

/// The name that holds now.
#[derive(Clone, Copy, Debug)]
pub struct Current<'a> {
    /// The determination that gave it.
    pub named: &'a Kept<Determination>,
    /// The latest determination: the same, or one that confirms it.
    pub latest: &'a Kept<Determination>,
}

/// The date by which records are ordered: their own, else the day they were written down.
pub fn order_date(date: Option<&When>, written: Option<&Written>) -> (i16, i8, i8) {
    match (date, written) {
        (Some(date), _) => date.sort_key(),
        (None, Some(written)) => written.date(),
        (None, None) => (0, 0, 0),
    }
}

impl Specimen {
    fn new(citation: Citation) -> Specimen {
        Specimen {
            citation,
            gatherings: Vec::new(),
            parts: Vec::new(),
            observations: Vec::new(),
            determinations: Vec::new(),
            notes: Vec::new(),
            corrections: Vec::new(),
            withdrawn: Vec::new(),
            roots: Vec::new(),
        }
    }

    pub fn key(&self) -> Key {
        self.citation.key()
    }

    /// The gathering; where the number was given twice, the one written first.
    pub fn gathering(&self) -> Option<&Gathering> {
        self.gatherings.first().map(|k| &k.body)
    }

    pub fn determination(&self, id: &str) -> Option<&Kept<Determination>> {
        self.determinations.iter().find(|d| d.id.as_str() == id)
    }

    /// The name that holds now: the latest, or the one that the latest confirms.
    pub fn current(&self) -> Option<Current<'_>> {
        let latest = self.determinations.first()?;
        let named = self.determinations.get(*self.roots.first()?)?;
        Some(Current { named, latest })
    }

    /// Who confirmed a determination, the latest first.
    pub fn confirmations<'a>(
        &'a self,
        named: &'a Kept<Determination>,
    ) -> impl Iterator<Item = &'a Kept<Determination>> {
        let root = self.determinations.iter().position(|d| d.id == named.id);
        self.determinations
            .iter()
            .zip(&self.roots)
            .filter(move |(d, at)| {
                d.body.is_confirmation() && d.id != named.id && Some(**at) == root
            })
            .map(|(d, _)| d)
    }
}

/// Of each determination the one that it confirms in the end, by their places: itself for one that
/// confirms nothing that is here. Within a ring, which only an edited ledger can hold, nothing
/// confirms anything. Every link is followed once, however long the chains are.
pub(super) fn roots<I: std::hash::Hash + Eq>(ids: &[I], confirms: &[Option<I>]) -> Vec<usize> {
    let places: HashMap<&I, usize> = ids.iter().enumerate().map(|(i, id)| (id, i)).rev().collect();
    let next = |at: usize| {
        let id = confirms.get(at)?.as_ref()?;
        places.get(id).copied().filter(|to| *to != at)
    };
    let mut out: Vec<Option<usize>> = vec![None; ids.len()];
    let mut on_the_way = vec![false; ids.len()];
    for start in 0..ids.len() {
        let mut way = Vec::new();
        let mut at = start;
        let root = loop {
            if out[at].is_some() || on_the_way[at] {
                break out[at];
            }
            on_the_way[at] = true;
            way.push(at);
            match next(at) {
                Some(to) => at = to,
                None => break Some(at),
            }
        };
        if root.is_none() {
            // The way came back to itself: from there on it is a ring.
            let ring = way.iter().position(|w| *w == at).unwrap_or(0);
            for w in way.drain(ring..) {
                out[w] = Some(w);
            }
        }
        let root = root.or(out[at]);
        for w in way {
            out[w] = root;
        }
    }
    out.into_iter().enumerate().map(|(i, root)| root.unwrap_or(i)).collect()
}

/// Folds records into specimens, in the order of their keys. Any order of the records gives the
/// same; a record that stands there twice counts once.
pub fn fold(records: Vec<Placed>, faults: &mut Vec<Fault>) -> Vec<Specimen> {
    let records = each_once(records);
    let corrections: Vec<&Placed> =
        records.values().filter(|p| matches!(p.record.body, Body::Correction(_))).collect();
    let active = Active::of(&corrections);
    let mut out: BTreeMap<Key, Specimen> = BTreeMap::new();
    let mut subjects: BTreeMap<&Id, Option<Key>> = BTreeMap::new();
    for placed in records.values() {
        let Some(citation) = placed.record.specimen() else { continue };
        let key = citation.key();
        subjects.insert(&placed.record.id, Some(key.clone()));
        let specimen = out.entry(key).or_insert_with(|| Specimen::new(citation.clone()));
        // Of several ways to write the collector, the gathering's, else the first by spelling.
        let is_gathering = matches!(placed.record.body, Body::Gathering(_));
        if is_gathering && specimen.gatherings.is_empty()
            || specimen.gatherings.is_empty()
                && citation.to_string() < specimen.citation.to_string()
        {
            specimen.citation = citation.clone();
        }
        if active.withdraws(&placed.record.id) {
            specimen.withdrawn.push(placed.record.clone());
            continue;
        }
        let (record, corrected_by) = active.apply(placed, faults);
        specimen.take(record, corrected_by, placed);
    }
    for placed in corrections {
        let (Body::Correction(c), Subject::Record(target)) =
            (&placed.record.body, &placed.record.subject)
        else {
            continue;
        };
        let mut at = target;
        let of_correction = records.get(at).is_some_and(|p| p.record.specimen().is_none());
        if of_correction && !(c.withdraw && c.set.is_empty() && c.remove.is_empty()) {
            faults.push(
                Fault::new(
                    "correction-idle",
                    Severity::Error,
                    &placed.file,
                    placed.line,
                    "a correction can be withdrawn, but not corrected",
                )
                .remedy("Withdraw it, and correct the record itself once more."),
            );
        }
        // A correction of a correction belongs where the first one does.
        let mut way = Vec::new();
        let key = loop {
            if let Some(key) = subjects.get(at) {
                break key.clone();
            }
            match records.get(at).map(|p| (&p.record.id, &p.record.subject)) {
                Some((id, Subject::Record(next))) if way.len() <= records.len() => {
                    way.push(id);
                    at = next;
                }
                _ => break None,
            }
        };
        // What was followed once is known for those behind.
        for id in way {
            subjects.insert(id, key.clone());
        }
        if let Some(specimen) = key.and_then(|key| out.get_mut(&key)) {
            let kept = keep(c.clone(), placed, Vec::new());
            specimen.corrections.push((target.clone(), kept));
        }
    }
    let mut out: Vec<Specimen> = out.into_values().collect();
    out.iter_mut().for_each(Specimen::order);
    out
}

/// Every record once. Of two versions of one (edited by hand on one side of a merge) the one whose
/// text sorts last is taken, whichever came first.
fn each_once(records: Vec<Placed>) -> BTreeMap<Id, Placed> {
    let mut out: BTreeMap<Id, Placed> = BTreeMap::new();
    for placed in records {
        match out.get(&placed.record.id) {
            Some(other) if other.record.document() >= placed.record.document() => {}
            _ => {
                out.insert(placed.record.id.clone(), placed);
            }
        }
    }
    out
}

fn keep<T>(body: T, placed: &Placed, corrected_by: Vec<Id>) -> Kept<T> {
    Kept {
        id: placed.record.id.clone(),
        written: placed.record.written.clone(),
        body,
        corrected_by,
        file: placed.file.clone(),
        line: placed.line,
    }
}

impl Specimen {
    fn take(&mut self, record: Record, by: Vec<Id>, placed: &Placed) {
        match record.body {
            Body::Gathering(b) => self.gatherings.push(keep(b, placed, by)),
            Body::Part(b) => self.parts.push(keep(b, placed, by)),
            Body::Observation(b) => self.observations.push(keep(b, placed, by)),
            Body::Determination(b) => self.determinations.push(keep(b, placed, by)),
            Body::Note(b) => self.notes.push(keep(b, placed, by)),
            Body::Correction(_) => {}
        }
    }

    fn order(&mut self) {
        fn by<T>(list: &mut [Kept<T>], date: impl Fn(&T) -> Option<&When>) {
            list.sort_by_cached_key(|k| {
                let day = order_date(date(&k.body), k.written.as_ref());
                (day, k.written.as_ref().map(Written::instant), k.id.clone())
            });
        }
        by(&mut self.gatherings, |_| None);
        // The sheet first, as a page and a label have it.
        self.parts.sort_by_cached_key(|k| {
            let usual = USUAL.iter().position(|u| *u == k.body.what).unwrap_or(USUAL.len());
            (usual, k.written.as_ref().map(Written::instant), k.id.clone())
        });
        by(&mut self.observations, |o| o.date.as_ref());
        by(&mut self.determinations, |d| d.date.as_ref());
        self.determinations.reverse();
        let ids: Vec<&str> = self.determinations.iter().map(|d| d.id.as_str()).collect();
        let confirms: Vec<Option<&str>> =
            self.determinations.iter().map(|d| d.body.confirms.as_deref()).collect();
        self.roots = roots(&ids, &confirms);
        by(&mut self.notes, |n| n.date.as_ref());
        self.corrections.sort_by_cached_key(|(target, k)| {
            (k.written.as_ref().map(Written::instant), k.id.clone(), target.clone())
        });
        self.withdrawn.sort_by_cached_key(|r| (r.kind(), r.id.clone()));
    }
}

/// The corrections that hold, by what they correct.
struct Active<'a> {
    by_target: BTreeMap<&'a Id, Vec<(&'a Placed, &'a Correction)>>,
}

impl<'a> Active<'a> {
    fn of(corrections: &[&'a Placed]) -> Active<'a> {
        let mut all: BTreeMap<&Id, Vec<(&Placed, &Correction)>> = BTreeMap::new();
        for placed in corrections {
            if let (Body::Correction(c), Subject::Record(target)) =
                (&placed.record.body, &placed.record.subject)
            {
                all.entry(target).or_default().push((*placed, c));
            }
        }
        let holds = |id: &'a Id| !withdrawn(id, &all, &mut BTreeSet::new());
        let mut by_target = all.clone();
        for list in by_target.values_mut() {
            list.retain(|(p, _)| holds(&p.record.id));
            list.sort_by_cached_key(|(p, _)| {
                let written = p.record.written.as_ref().map(Written::instant);
                (written, p.record.id.clone())
            });
        }
        Active { by_target }
    }

    fn withdraws(&self, id: &Id) -> bool {
        self.by_target.get(id).is_some_and(|list| list.iter().any(|(_, c)| c.withdraw))
    }

    /// The record as corrected. Its number cannot be corrected, or it would have to be looked for
    /// under two.
    fn apply(&self, placed: &Placed, faults: &mut Vec<Fault>) -> (Record, Vec<Id>) {
        let Some(list) = self.by_target.get(&placed.record.id) else {
            return (placed.record.clone(), Vec::new());
        };
        let fixed = ["id", "written", "collector", placed.record.kind().word()];
        let mut fields = placed.record.fields();
        for (by, correction) in list {
            let names = correction.set.keys().chain(&correction.remove);
            if let Some(name) = names.clone().find(|n| fixed.contains(&n.as_str())) {
                let what = format!("a correction cannot change \"{name}\"");
                faults.push(
                    Fault::new("correction-idle", Severity::Error, &by.file, by.line, what)
                        .why("Number and collector say which specimen a record is of.")
                        .remedy("Withdraw the record and write it anew under the right number."),
                );
            }
            for name in correction.remove.iter().filter(|n| !fixed.contains(&n.as_str())) {
                fields.shift_remove(name);
            }
            for (name, value) in &correction.set {
                if !fixed.contains(&name.as_str()) {
                    fields.insert(name.clone(), value.clone());
                }
            }
        }
        let (file, line) = list.last().map_or(("", 1), |(p, _)| (p.file.as_str(), p.line));
        let before = faults.len();
        let record = Record::reread(fields, file, line, faults);
        if faults.len() > before {
            // What was wrong with it before is told where it is written.
            let mut own = Vec::new();
            Record::reread(placed.record.fields(), file, line, &mut own);
            let mut at = before;
            while at < faults.len() {
                if own.iter().any(|f| f.finding.what == faults[at].finding.what) {
                    faults.remove(at);
                } else {
                    faults[at].finding.why = "The correction leaves the record so.".to_string();
                    at += 1;
                }
            }
        }
        let ids = list.iter().map(|(p, _)| p.record.id.clone()).collect();
        (record.unwrap_or_else(|| placed.record.clone()), ids)
    }
}

/// Corrections of corrections of corrections: no one means more of them than this.
const DEEPEST: usize = 100;

/// Whether a correction that itself holds withdraws `id`. `above` guards against rings, which only
/// an edited ledger can hold: within one nothing is withdrawn.
fn withdrawn<'a>(
    id: &'a Id,
    all: &BTreeMap<&'a Id, Vec<(&'a Placed, &'a Correction)>>,
    above: &mut BTreeSet<&'a Id>,
) -> bool {
    if above.len() > DEEPEST || !above.insert(id) {
        return false;
    }
    let out = all.get(id).is_some_and(|list| {
        list.iter().any(|(p, c)| c.withdraw && !withdrawn(&p.record.id, all, above))
    });
    above.remove(id);
    out
}

/// A value for a correction's `set`, from what a person typed.
pub fn typed(text: &str) -> Value {
    match text.split_once('|') {
        Some(_) => {
            let parts = text.split('|').map(str::trim).filter(|t| !t.is_empty());
            Value::List(parts.map(Value::text).collect())
        }
        None => Value::text(text.trim()),
    }
}
