//! A list of names that the user gives, and how a name stands to it.

use indexmap::IndexMap;
use serde::Serialize;

use super::{ScientificName, read};

/// One line of a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// As written, with authors where they are given.
    pub name: String,
    /// Where the name is a synonym: the accepted name as written.
    pub accepted: Option<String>,
    pub family: Option<String>,
}

/// Names by their folded form.
#[derive(Clone, Debug, Default)]
pub struct NameList {
    entries: Vec<Entry>,
    folded: IndexMap<String, Vec<usize>>,
}

/// A line that could not be used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unread {
    /// Counted from 1.
    pub line: usize,
    pub text: String,
    pub why: String,
}

/// How a name stands to a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub enum Standing {
    /// It stands there, with the same authors or none to compare.
    Accepted(Entry),
    /// It stands there as a synonym; the accepted name is in the entry.
    Synonym(Entry),
    /// The same words, but other authors: perhaps another plant's name.
    OtherAuthors(Entry),
    /// It does not stand there; the nearest names by spelling, nearest first, at most three.
    Absent { near: Vec<String> },
}

impl NameList {
    /// Reads a list: one name a line, `synonym = accepted name`, `#` before a remark; or CSV whose
    /// first line names the columns `name` (or `scientificName`), and perhaps `accepted` (or
    /// `acceptedNameUsage`) and `family`. Lines that hold no name are handed back.
    pub fn read(text: &str) -> (NameList, Vec<Unread>) {
        let mut list = NameList::default();
        let mut unread = Vec::new();
        let head = text.lines().next().unwrap_or("").trim_start_matches('\u{feff}');
        let columns: Vec<String> = head.split(',').map(|c| c.trim().to_lowercase()).collect();
        let column = |names: &[&str]| columns.iter().position(|c| names.contains(&c.as_str()));
        match column(&["name", "scientificname"]) {
            Some(name) => {
                let accepted = column(&["accepted", "acceptednameusage"]);
                let family = column(&["family"]);
                let mut rows =
                    csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
                for row in rows.records() {
                    let row = match row {
                        Ok(row) => row,
                        Err(e) => {
                            let line = e.position().map_or(0, |p| p.line() as usize);
                            unread.push(Unread { line, text: String::new(), why: e.to_string() });
                            continue;
                        }
                    };
                    let line = row.position().map_or(0, |p| p.line() as usize);
                    let cell = |at: Option<usize>| {
                        at.and_then(|i| row.get(i)).map(str::trim).filter(|c| !c.is_empty())
                    };
                    let Some(name) = cell(Some(name)) else { continue };
                    let entry = Entry {
                        name: name.to_string(),
                        accepted: cell(accepted).filter(|a| *a != name).map(str::to_string),
                        family: cell(family).map(str::to_string),
                    };
                    list.add(entry, line, &mut unread);
                }
            }
            None => {
                for (i, line) in text.lines().enumerate() {
                    let line = line.trim_start_matches('\u{feff}');
                    let words = line.split('#').next().unwrap_or("").trim();
                    if words.is_empty() {
                        continue;
                    }
                    let (name, accepted) = match words.split_once('=') {
                        Some((a, b)) => (a.trim(), Some(b.trim().to_string())),
                        None => (words, None),
                    };
                    let entry = Entry { name: name.to_string(), accepted, family: None };
                    list.add(entry, i + 1, &mut unread);
                }
            }
        }
        (list, unread)
    }

    fn add(&mut self, entry: Entry, line: usize, unread: &mut Vec<Unread>) {
        match read(&entry.name) {
            Ok(name) => {
                self.folded.entry(name.folded()).or_default().push(self.entries.len());
                self.entries.push(entry);
            }
            Err(e) => unread.push(Unread { line, text: entry.name, why: e.what }),
        }
    }

    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Whether the name, its species, or for a formula one of its parents stands in the list.
    pub fn covers(&self, name: &ScientificName) -> bool {
        if !name.formula.is_empty() {
            return name.formula.iter().any(|n| self.covers(n));
        }
        let mut above = name.clone();
        loop {
            if self.folded.contains_key(&above.folded()) {
                return true;
            }
            if above.cultivar.take().is_none()
                && above.below_species.pop().is_none()
                && above.species.take().is_none()
            {
                return false;
            }
        }
    }

    /// Compares a name with the list.
    pub fn standing(&self, name: &ScientificName) -> Standing {
        let folded = name.folded();
        let Some(found) = self.folded.get(&folded) else {
            return Standing::Absent { near: self.near(&folded) };
        };
        let same = |at: &&usize| same_authors(name, &self.entries[**at].name);
        match found.iter().find(same) {
            Some(&at) if self.entries[at].accepted.is_some() => {
                Standing::Synonym(self.entries[at].clone())
            }
            Some(&at) => Standing::Accepted(self.entries[at].clone()),
            None => match found.first() {
                Some(&at) => Standing::OtherAuthors(self.entries[at].clone()),
                None => Standing::Absent { near: Vec::new() },
            },
        }
    }

    fn near(&self, folded: &str) -> Vec<String> {
        let mut near: Vec<(usize, usize)> = self
            .folded
            .iter()
            .filter(|(other, _)| other.len().abs_diff(folded.len()) <= 2)
            .map(|(other, at)| (strsim::osa_distance(folded, other), at[0]))
            .filter(|(distance, _)| *distance <= 2)
            .collect();
        near.sort_unstable();
        near.into_iter().take(3).map(|(_, at)| self.entries[at].name.clone()).collect()
    }
}

/// Whether the authors agree, blanks aside; a name without authors agrees with any.
fn same_authors(name: &ScientificName, other: &str) -> bool {
    let cited = |n: &ScientificName| {
        let authors = if n.is_autonym() { &n.species_authorship } else { &n.authorship };
        authors.cited().replace(' ', "")
    };
    let Ok(other) = read(other) else { return false };
    let (a, b) = (cited(name), cited(&other));
    a.is_empty() || b.is_empty() || a == b
}
