//! The last check of a determination: the whole account, statement by statement, against what was
//! seen.

use serde::Serialize;

use super::account::Entry;
use super::explain::{Fit, Judgement, judge};
use super::observation::Observation;
use super::table::Table;
use super::words;
use crate::key::{CharacterId, Key};
use crate::text::span::Span;

/// How one statement of an account stands to what was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    Agrees,
    Disagrees,
    NotSeen,
    /// Prose: it is for the reader to compare.
    NotRead,
}

/// One statement of an account, checked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Checked {
    /// The statement as a sentence, or the prose as written.
    pub statement: String,
    pub character: Option<String>,
    /// Where it is said.
    pub origin: String,
    pub standing: Standing,
    /// The observations of that character.
    pub observations: Vec<Judgement>,
    /// Its place in the key file, where it was written there.
    #[serde(skip)]
    pub span: Option<Span>,
}

/// Everything known of the taxon in a row: its own account in the order of the text, with its
/// prose, then what it inherits, what the leads say, and what does not apply to it though
/// something was seen.
pub fn describe(
    key: &Key,
    table: &Table,
    observations: &[Observation],
    row: usize,
) -> Vec<Checked> {
    let taxon = table.taxon(row);
    let text = key.source.text();
    let mut out = Vec::new();
    let mut done: Vec<CharacterId> = Vec::new();
    for part in &key.taxon(taxon).parts {
        for statement in &part.statements {
            if done.contains(&statement.character) {
                continue;
            }
            if let Some(entry) = table.accounts.entry(row, statement.character) {
                done.push(statement.character);
                let mut checked = check(key, table, observations, row, statement.character, entry);
                checked.span = Some(statement.span);
                out.push(checked);
            }
        }
        if let Some(prose) = part.prose {
            out.push(Checked {
                statement: text[prose.range()].split_whitespace().collect::<Vec<_>>().join(" "),
                character: None,
                origin: words::origin(key, super::Origin::Own),
                standing: Standing::NotRead,
                observations: Vec::new(),
                span: Some(prose),
            });
        }
    }
    for character in key.character_ids().filter(|c| !done.contains(c)) {
        let Some(entry) = table.accounts.entry(row, character) else { continue };
        let was_seen = observations.iter().any(|o| o.character == character && o.is_evidence());
        if entry.value.is_some() || was_seen {
            out.push(check(key, table, observations, row, character, entry));
        }
    }
    out
}

fn check(
    key: &Key,
    table: &Table,
    observations: &[Observation],
    row: usize,
    id: CharacterId,
    entry: &Entry,
) -> Checked {
    let character = key.character(id);
    let statement = match words::entry(key, character, entry) {
        Some(value) => character.fill_in(&value, key.heading.language),
        None => format!("`{}` does not apply", character.name),
    };
    let judged: Vec<Judgement> = observations
        .iter()
        .enumerate()
        .filter(|(_, o)| o.character == id)
        .map(|(i, o)| judge(key, table, i, o, row))
        .collect();
    let any = |wanted: &[Fit]| judged.iter().any(|j| wanted.contains(&j.fit));
    let standing = if any(&[Fit::Misfit, Fit::DoesNotApply]) {
        Standing::Disagrees
    } else if any(&[Fit::Agrees, Fit::Open, Fit::Exception]) {
        Standing::Agrees
    } else {
        Standing::NotSeen
    };
    Checked {
        statement,
        character: Some(character.name.clone()),
        origin: words::origin(key, entry.origin),
        standing,
        observations: judged,
        span: None,
    }
}
