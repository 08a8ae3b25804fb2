//! Recorded specimens run through both issues: which would now end elsewhere.

use std::collections::BTreeSet;

use anyhow::Result;
use serde::Serialize;

use crate::cli::batch::{self, Brought};
use crate::cli::specimen;
use crate::craft::compare::Comparison;
use crate::key::{ConditionId, Key, Library, Outcome, TaxonId};
use crate::notebook::desk::Ready;
use crate::notebook::desk::leads::{End, Leads, Route, follow};
use crate::sift::Verdict;
use crate::sift::report::{Options, VerdictSaid, report};
use crate::sift::{Observation, Specimen, read_observation};

/// The most names that are told of a short list.
const MOST_NAMES: usize = 3;

/// One specimen in both issues.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Held {
    pub line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<serde_json::Value>,
    pub same: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_couplets: Option<Both>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_characters: Option<Both>,
    /// Observations that the old issue reads and the new one does not.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub error: Option<String>,
}

/// What the two issues say, in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Both {
    pub same: bool,
    pub was: String,
    pub now: String,
}

/// An issue made ready.
struct Issue<'k> {
    library: &'k Library,
    ready: Vec<Ready<'k>>,
    leads: Vec<Leads>,
}

impl<'k> Issue<'k> {
    fn of(library: &'k Library) -> Issue<'k> {
        Issue {
            library,
            ready: library.keys.iter().map(Ready::of).collect(),
            leads: library.keys.iter().map(Leads::of).collect(),
        }
    }

    fn main(&self) -> &'k Key {
        self.library.main()
    }
}

/// Runs every specimen of a file through both.
///
/// # Errors
/// Where the file cannot be read. A line that cannot be read has its own error.
pub fn run(file: &str, old: &Library, new: &Library, same: &Comparison) -> Result<Vec<Held>> {
    let (old, new) = (Issue::of(old), Issue::of(new));
    let mut out = Vec::new();
    for line in batch::lines(file, None)? {
        let (line, brought) = line?;
        out.push(match brought {
            Ok(brought) => one(line, brought, &old, &new, same),
            Err(e) => wrong(line, e.id, e.error),
        });
    }
    Ok(out)
}

fn wrong(line: usize, id: Option<serde_json::Value>, error: String) -> Held {
    Held {
        line,
        id,
        same: true,
        by_couplets: None,
        by_characters: None,
        unread: Vec::new(),
        error: Some(error),
    }
}

fn one(line: usize, brought: Brought, old: &Issue, new: &Issue, same: &Comparison) -> Held {
    let (before, after) = (read(old, &brought), read(new, &brought));
    let ((before, lost), (after, unread)) = match (before, after) {
        (Ok(before), Ok(after)) => (before, after),
        (Err(e), _) | (_, Err(e)) => return wrong(line, brought.id, format!("{e:#}")),
    };
    if before[0].is_empty() && after[0].is_empty() {
        return wrong(line, brought.id, "neither issue reads any of its observations".to_string());
    }
    let unread: Vec<String> = unread.into_iter().filter(|u| !lost.contains(u)).collect();
    let couplets = by_couplets(old, new, &before, &after, same);
    let characters = by_characters(old, new, &before, &after, same);
    Held {
        line,
        id: brought.id,
        same: couplets.same && characters.same,
        by_couplets: Some(couplets),
        by_characters: Some(characters),
        unread,
        error: None,
    }
}

/// The observations as each file of an issue reads them, and what its main key does not read.
fn read(issue: &Issue, brought: &Brought) -> Result<(Vec<Vec<Observation>>, Vec<String>)> {
    let mut out = Vec::new();
    let mut unread = Vec::new();
    for (i, ready) in issue.ready.iter().enumerate() {
        let condition = match &brought.condition {
            Some(name) => specimen::condition(ready.key, name)?,
            None => ConditionId::FRESH,
        };
        let mut observations = Vec::new();
        for text in &brought.observations {
            match read_observation(ready.key, &ready.lexicon, text, condition) {
                Ok(read) => observations.extend(read),
                Err(_) if i == 0 => unread.push(text.clone()),
                Err(_) => {}
            }
        }
        out.push(observations);
    }
    Ok((out, unread))
}

fn by_couplets(
    old: &Issue,
    new: &Issue,
    before: &[Vec<Observation>],
    after: &[Vec<Observation>],
    same: &Comparison,
) -> Both {
    let was = follow(old.library, &old.leads, before, &[]);
    let now = follow(new.library, &new.leads, after, &[]);
    Both {
        same: ends_alike(old, new, &was, &now, same),
        was: end_in_words(old, &was),
        now: end_in_words(new, &now),
    }
}

fn ends_alike(old: &Issue, new: &Issue, was: &Route, now: &Route, same: &Comparison) -> bool {
    match (&was.end, &now.end) {
        (End::Names(a), End::Names(b)) => {
            let taxa = |issue: &Issue, route: &Route| -> Option<Vec<TaxonId>> {
                let (0, lead) = *route.steps.last()? else { return None };
                match &issue.main().lead(lead).outcome {
                    Outcome::Taxa(taxa) => Some(taxa.clone()),
                    _ => None,
                }
            };
            match (taxa(old, was), taxa(new, now)) {
                (Some(a), Some(b)) => {
                    let a: BTreeSet<Option<TaxonId>> = a.iter().map(|t| same.taxon(*t)).collect();
                    a == b.into_iter().map(Some).collect()
                }
                _ => a == b,
            }
        }
        (End::Stop(a), End::Stop(b)) => a == b,
        (End::Open { stand: a, .. }, End::Open { stand: b, .. })
        | (End::Contradicted(a), End::Contradicted(b)) => match (a.key, b.key) {
            (0, 0) => same.couplet(a.couplet) == Some(b.couplet),
            (a_key, b_key) => (a_key, a.couplet) == (b_key, b.couplet),
        },
        _ => false,
    }
}

fn end_in_words(issue: &Issue, route: &Route) -> String {
    let couplet = |key: usize, id| issue.library.keys[key].couplet(id).name();
    match &route.end {
        End::Names(names) => names.join(" or "),
        End::Stop(why) => format!("stop: {why}"),
        End::Open { stand, .. } => {
            format!("not decided at couplet {}", couplet(stand.key, stand.couplet))
        }
        End::Contradicted(stand) => {
            format!("no lead of couplet {} fits", couplet(stand.key, stand.couplet))
        }
    }
}

fn by_characters(
    old: &Issue,
    new: &Issue,
    before: &[Vec<Observation>],
    after: &[Vec<Observation>],
    same: &Comparison,
) -> Both {
    let said = |issue: &Issue, observations: &[Vec<Observation>]| {
        let ready = &issue.ready[0];
        let specimen = Specimen::default();
        report(ready.key, &ready.table, &observations[0], &specimen, &Options::default()).verdict
    };
    let (was, now) = (said(old, before), said(new, after));
    // Names that changed are the same taxa.
    let renamed = |name: &String| -> String {
        let (a, b) = (old.main(), new.main());
        let at = a.taxon_ids().find(|t| {
            let taxon = a.taxon(*t);
            taxon.name == *name || taxon.full_name() == *name
        });
        match at.map(|t| (t, same.taxon(t))) {
            Some((t, Some(n))) if a.taxon(t).name == *name => b.taxon(n).name.clone(),
            Some((_, Some(n))) => b.taxon(n).full_name(),
            _ => name.clone(),
        }
    };
    let alike = std::mem::discriminant(&was.verdict) == std::mem::discriminant(&now.verdict);
    // The first name of a short list is chance where several are as likely: it must still be in it.
    let held = match was.verdict {
        Verdict::Settled { .. } => was.taxa.iter().map(renamed).eq(now.taxa.iter().cloned()),
        _ => was.taxa.first().is_none_or(|first| now.taxa.contains(&renamed(first))),
    };
    let in_words = |said: &VerdictSaid| {
        let names: Vec<&str> = said.taxa.iter().take(MOST_NAMES).map(String::as_str).collect();
        let more = said.taxa.len().saturating_sub(MOST_NAMES);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        format!("{} ({}{more})", said.verdict.word(), names.join(", "))
    };
    Both { same: alike && held, was: in_words(&was), now: in_words(&now) }
}
