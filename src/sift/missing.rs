//! What the specimen lacks: which part would separate the remaining taxa best, and what must be
//! noted before the press takes it away.

use std::collections::BTreeMap;

use serde::Serialize;

use super::apart::{MOST, Pairs, groups};
use super::bits::Bits;
use super::next::answered;
use super::observation::Observation;
use super::specimen::{Hidden, Specimen};
use super::split::split;
use super::table::Table;
use super::weights::Weights;
use crate::key::character::{Reading, Tool};
use crate::key::{CharacterId, ConditionId};

/// What the specimen in hand can and cannot settle.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// Whether what can be seen on it tells all remaining taxa apart; `None` where too many are
    /// left to compare every pair.
    pub settles: Option<bool>,
    /// Groups of rows that it cannot part.
    pub together: Vec<Vec<usize>>,
    /// What would help, the most helpful first.
    pub wanted: Vec<Wanted>,
}

/// Something to get hold of.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    pub what: Want,
    /// How many pairs of remaining taxa it would part that cannot be parted now; 0 where pairs
    /// were not compared.
    pub pairs: usize,
    /// Its most telling character, with the bits expected of it.
    pub best: CharacterId,
    pub information: f64,
    /// All its characters that part any of those pairs.
    pub characters: Vec<CharacterId>,
}

/// A part, a fresh plant, or a tool.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "want", rename_all = "kebab-case")]
pub enum Want {
    Part {
        part: String,
    },
    /// The same part, seen fresh.
    Fresh {
        part: String,
    },
    Tool {
        #[serde(serialize_with = "tool_word")]
        tool: Tool,
    },
}

fn tool_word<S: serde::Serializer>(tool: &Tool, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(tool.word())
}

/// What the specimen lacks to part the taxa in `left`.
pub fn missing(
    table: &Table,
    left: &Bits,
    weight: impl Fn(usize) -> f64,
    observations: &[Observation],
    specimen: &Specimen,
) -> Missing {
    let done = seen_already(table, observations);
    let ids = || (0..table.columns.len() as u32).map(CharacterId).filter(|c| !done.contains(c));
    let mut hidden: BTreeMap<Want, Vec<(CharacterId, ConditionId)>> = BTreeMap::new();
    let mut able = Vec::new();
    for id in ids() {
        let meta = &table.column(id).meta;
        let part = || meta.part.clone().unwrap_or_else(|| "plant".to_string());
        match specimen.hides(meta) {
            None => able.push((id, specimen.condition)),
            // What is fetched now is seen fresh.
            Some(Hidden::PartMissing) => hidden
                .entry(Want::Part { part: part() })
                .or_default()
                .push((id, ConditionId::FRESH)),
            Some(Hidden::LostInCondition) => hidden
                .entry(Want::Fresh { part: part() })
                .or_default()
                .push((id, ConditionId::FRESH)),
            Some(Hidden::ToolMissing) => hidden
                .entry(Want::Tool { tool: meta.tool })
                .or_default()
                .push((id, specimen.condition)),
        }
    }
    let rows: Vec<usize> = left.iter().collect();
    let weights = Weights::of(left.clone(), weight);
    let information = |id: CharacterId, condition| {
        split(table, id, &weights, condition).map_or(0.0, |s| s.information)
    };
    let by_pairs = rows.len() <= MOST;
    let now = by_pairs.then(|| Pairs::new(table, &rows, able.iter().copied()).all());
    let mut wanted = Vec::new();
    for (what, characters) in hidden {
        let mut helping: Vec<CharacterId> = characters.iter().map(|(c, _)| *c).collect();
        let mut pairs = 0;
        if let Some(now) = &now {
            let then = Pairs::new(table, &rows, characters.iter().copied());
            let mut new = then.all();
            new.without(now);
            pairs = new.count();
            helping = then
                .by_character
                .iter()
                .filter(|(_, b)| b.overlaps(&new))
                .map(|(c, _)| *c)
                .collect();
        }
        let best = characters
            .iter()
            .map(|(c, condition)| (*c, information(*c, *condition)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        let Some((best, information)) = best else { continue };
        if pairs > 0 || information > 1e-9 {
            wanted.push(Wanted { what, pairs, best, information, characters: helping });
        }
    }
    wanted.sort_by(|a, b| {
        b.pairs
            .cmp(&a.pairs)
            .then(b.information.total_cmp(&a.information))
            .then(a.what.cmp(&b.what))
    });
    let together = now.as_ref().map(|now| groups(rows.len(), now)).unwrap_or_default();
    Missing {
        settles: now.map(|now| now.count() == Pairs::count(rows.len())),
        together: together.into_iter().map(|g| g.iter().map(|i| rows[*i]).collect()).collect(),
        wanted,
    }
}

/// Characters that need not be looked at again: a part that was not there is still wanted.
fn seen_already(
    table: &Table,
    observations: &[Observation],
) -> std::collections::BTreeSet<CharacterId> {
    let seen: Vec<Observation> = observations.iter().filter(|o| o.is_evidence()).cloned().collect();
    answered(table, &seen)
}

/// A character to be noted before the plant goes into the press.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteFresh {
    pub character: CharacterId,
    /// It cannot be seen afterwards at all; else it may be taken for something else.
    pub lost: bool,
    /// How many pairs of the taxa it parts fresh and not pressed; `None` where too many taxa are
    /// compared.
    pub pairs: Option<usize>,
    /// The bits that the press takes away.
    pub information: f64,
}

/// The characters that tell more of the taxa in `left` fresh than under `condition`, the greatest
/// loss first. Those that lose nothing for these taxa are left out.
pub fn before_pressing(
    table: &Table,
    left: &Bits,
    observations: &[Observation],
    condition: ConditionId,
) -> Vec<NoteFresh> {
    let done = seen_already(table, observations);
    let rows: Vec<usize> = left.iter().collect();
    let weights = Weights::equal(left.clone());
    let mut out = Vec::new();
    for i in 0..table.columns.len() as u32 {
        let id = CharacterId(i);
        let meta = &table.column(id).meta;
        let changed = meta.looks.iter().any(|(c, _)| *c == condition);
        if done.contains(&id) || !changed {
            continue;
        }
        let told = |c| split(table, id, &weights, c).map_or(0.0, |s| s.information);
        let lost =
            meta.looks.iter().any(|(c, r)| *c == condition && matches!(r, Reading::CannotBeSeen));
        let left_of_it = if lost { 0.0 } else { told(condition) };
        let information = (told(ConditionId::FRESH) - left_of_it).max(0.0);
        let pairs = (rows.len() <= MOST).then(|| {
            let parted = |c| Pairs::new(table, &rows, [(id, c)]).all();
            let mut fresh = parted(ConditionId::FRESH);
            if !lost {
                fresh.without(&parted(condition));
            }
            fresh.count()
        });
        if information > 1e-9 || pairs.is_some_and(|p| p > 0) {
            out.push(NoteFresh { character: id, lost, pairs, information });
        }
    }
    out.sort_by(|a, b| {
        b.pairs
            .cmp(&a.pairs)
            .then(b.information.total_cmp(&a.information))
            .then(a.character.cmp(&b.character))
    });
    out
}
