//! Why a taxon agrees or not, observation by observation, every correction named.

use serde::Serialize;

use super::account::Known;
use super::cut::Interval;
use super::meta::Factors;
use super::observation::{Doubt, Observation, Seen};
use super::query::{Query, Silent};
use super::table::Table;
use super::words;
use crate::key::statement::StateSet;
use crate::key::{Key, StateId, TaxonId};
use crate::text::amount::Unit;

/// How an observation stands to an account.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// The account says so.
    Agrees,
    /// The account allows it, but what was seen is wider than what it says.
    Open,
    /// The account allows it only as an exception: rarely, or beyond the usual range.
    Exception,
    /// The account says nothing of it.
    Unknown,
    /// The account contradicts it.
    Misfit,
    /// The character does not apply to the taxon, and yet something was seen of it.
    DoesNotApply,
    /// The observation says nothing that could be compared.
    NotCompared,
}

/// A share of plants up to which something is an exception: the highest that `rarely` stands for.
const EXCEPTION: f64 = 0.15;

/// One observation held against one account.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judgement {
    /// The place of the observation in the list.
    pub observation: usize,
    pub character: String,
    /// In the observer's words.
    pub observed: String,
    pub condition: String,
    pub doubt: Doubt,
    pub fit: Fit,
    /// What the account says, as a sentence; `null` where it says nothing.
    pub account: Option<String>,
    /// Where the account says it.
    pub origin: Option<String>,
    /// What a condition changed on the way from the account to what was seen.
    pub correction: Option<Correction>,
    /// Why nothing was compared.
    pub silent: Option<Silent>,
}

/// A correction that was applied.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// In words.
    pub what: String,
    /// Whether the judgement would be another without it.
    pub decided: bool,
}

/// Everything that speaks for and against a taxon.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    #[serde(skip)]
    pub id: TaxonId,
    pub taxon: String,
    #[serde(rename = "for")]
    pub in_favour: Vec<Judgement>,
    pub against: Vec<Judgement>,
    /// Observations of characters that the account says nothing of.
    pub unknown: Vec<Judgement>,
    pub not_compared: Vec<Judgement>,
}

/// What speaks for and against the taxon in a row of the table.
pub fn explain(key: &Key, table: &Table, observations: &[Observation], row: usize) -> Explanation {
    let id = table.taxon(row);
    let mut out = Explanation {
        id,
        taxon: key.taxon(id).name.clone(),
        in_favour: Vec::new(),
        against: Vec::new(),
        unknown: Vec::new(),
        not_compared: Vec::new(),
    };
    for (i, o) in observations.iter().enumerate() {
        let judgement = judge(key, table, i, o, row);
        match judgement.fit {
            Fit::Agrees | Fit::Open | Fit::Exception => out.in_favour.push(judgement),
            Fit::Misfit | Fit::DoesNotApply => out.against.push(judgement),
            Fit::Unknown => out.unknown.push(judgement),
            Fit::NotCompared => out.not_compared.push(judgement),
        }
    }
    out
}

/// Holds one observation against the taxon in a row.
pub fn judge(key: &Key, table: &Table, index: usize, o: &Observation, row: usize) -> Judgement {
    let character = key.character(o.character);
    let language = key.heading.language;
    let entry = table.accounts.entry(row, o.character);
    let said = entry.and_then(|e| words::entry(key, character, e));
    let account = match entry {
        Some(_) if said.is_none() => Some(format!("`{}` does not apply", character.name)),
        _ => said.map(|s| character.fill_in(&s, language)),
    };
    let query = Query::of(table, o);
    let known = table.column(o.character).known(row);
    let fit = fit(table, o, &query, known.as_ref(), row);
    Judgement {
        observation: index,
        character: character.name.clone(),
        observed: words::observation(key, o, language),
        condition: key.condition(o.condition).name.clone(),
        doubt: o.doubt,
        fit,
        account,
        origin: entry.map(|e| words::origin(key, e.origin)),
        correction: correction(key, table, o, &query, known.as_ref(), fit, row),
        silent: match query {
            Query::Silent(why) => Some(why),
            _ => None,
        },
    }
}

/// How an observation stands to what is known of a row.
pub fn fit(
    table: &Table,
    o: &Observation,
    query: &Query,
    known: Option<&Known>,
    row: usize,
) -> Fit {
    let column = table.column(o.character);
    match (query, known) {
        (Query::Silent(_), _) => Fit::NotCompared,
        (Query::Lacks, _) if !column.may_lack(row) => Fit::Misfit,
        (Query::Lacks, Some(Known::Lacking)) => Fit::Agrees,
        (Query::Lacks, Some(_)) => Fit::Open,
        (_, None) => Fit::Unknown,
        (_, Some(Known::Lacking)) => Fit::DoesNotApply,
        (Query::States(fitting), Some(Known::States(shown))) => {
            let seen = match &o.seen {
                Seen::States(seen) => seen,
                _ => return Fit::NotCompared,
            };
            let looks = |s: &StateId| column.meta.seen_as(*s, table.described, o.condition);
            of_states(seen, fitting, shown, looks)
        }
        (Query::Numbers { readings, factors }, Some(Known::Numbers(reaches))) => {
            let within = |f: fn(&super::about::Reach) -> Interval| {
                readings
                    .iter()
                    .all(|any| any.iter().any(|i| reaches.iter().any(|r| factors.meet(&f(r), i))))
            };
            if !within(|r| r.extreme) {
                return Fit::Misfit;
            }
            let rare = readings.iter().any(|any| {
                let met = reaches
                    .iter()
                    .filter(|r| any.iter().any(|i| factors.meet(&r.extreme, i)))
                    .map(|r| r.share);
                met.sum::<f64>() <= EXCEPTION
            });
            if rare || !within(|r| r.usual) {
                Fit::Exception
            } else if readings.iter().flatten().any(|i| is_wider(i, reaches, factors)) {
                Fit::Open
            } else {
                Fit::Agrees
            }
        }
        _ => Fit::NotCompared,
    }
}

fn of_states(
    seen: &StateSet,
    fitting: &StateSet,
    shown: &[(StateId, f64)],
    looks: impl Fn(&StateId) -> StateSet,
) -> Fit {
    let met: Vec<&(StateId, f64)> = shown.iter().filter(|(s, _)| fitting.contains(*s)).collect();
    if met.is_empty() {
        return Fit::Misfit;
    }
    let uneven = shown.iter().any(|(_, share)| (share - shown[0].1).abs() > 1e-9);
    if uneven && met.iter().map(|(_, share)| share).sum::<f64>() <= EXCEPTION {
        return Fit::Exception;
    }
    let mut possible = StateSet::default();
    shown.iter().for_each(|(s, _)| possible.extend(&looks(s)));
    if seen.is_subset(&possible) { Fit::Agrees } else { Fit::Open }
}

/// Whether what was seen reaches further, on a side without a limit, than any account could.
fn is_wider(seen: &Interval, reaches: &[super::about::Reach], factors: &Factors) -> bool {
    use super::cut::Cut;
    let low = seen.low == Cut::Below && reaches.iter().all(|r| r.extreme.low != Cut::Below);
    let high = seen.high == Cut::Above && reaches.iter().all(|r| r.extreme.high != Cut::Above);
    let covers = |r: &super::about::Reach| {
        seen.low.compare(factors.low.1, r.extreme.low, factors.low.0).is_le()
            && seen.high.compare(factors.high.1, r.extreme.high, factors.high.0).is_ge()
    };
    (low || high) && !reaches.iter().all(covers)
}

/// What the condition changed, and whether that decided.
fn correction(
    key: &Key,
    table: &Table,
    o: &Observation,
    query: &Query,
    known: Option<&Known>,
    fit: Fit,
    row: usize,
) -> Option<Correction> {
    let character = key.character(o.character);
    let condition = &key.condition(o.condition).name;
    let described = &key.condition(table.described).name;
    let plain = |q: &Query| self::fit(table, o, q, known, row);
    let differs = |other: Fit| is_misfit(other) != is_misfit(fit);
    match (query, &o.seen) {
        (Query::Silent(Silent::CannotBeSeen), _) => Some(Correction {
            what: format!("`{}` cannot be seen {condition}; it was not compared", character.name),
            decided: false,
        }),
        (Query::States(fitting), Seen::States(seen)) if fitting != seen => {
            let language = key.heading.language;
            // A look that is no state only an account of dried plants could name.
            let states = fitting.meet(&StateSet::first(character.declared()));
            let fitting = if states.is_empty() { fitting } else { &states };
            let what = format!(
                "seen {condition}, `{}` may be {} {described}; the account was held against that",
                character.set_in_words(seen, language),
                character.set_in_words(fitting, language),
            );
            Some(Correction { what, decided: differs(plain(&Query::States(seen.clone()))) })
        }
        (Query::Numbers { readings, factors }, _) if *factors != Factors::NONE => {
            let (low, high) = factors.shares();
            let unit = character.unit().unwrap_or(Unit::Count);
            let limits = match known {
                Some(Known::Numbers(reaches)) => reaches
                    .iter()
                    .map(|r| corrected(&r.extreme, factors))
                    .map(|i| words::interval(&i, unit))
                    .collect::<Vec<_>>()
                    .join(" or "),
                _ => String::new(),
            };
            let became = if limits.is_empty() {
                String::new()
            } else {
                format!(": the account's limits became {limits}")
            };
            let what = format!(
                "{condition}, `{}` is {low} to {high} of what it is {described}{became}",
                character.name
            );
            let without = Query::Numbers { readings: readings.clone(), factors: Factors::NONE };
            Some(Correction { what, decided: differs(plain(&without)) })
        }
        _ => None,
    }
}

fn is_misfit(fit: Fit) -> bool {
    matches!(fit, Fit::Misfit | Fit::DoesNotApply)
}

/// An account's interval after a correction, for showing: comparing is done without rounding.
pub fn corrected(interval: &Interval, factors: &Factors) -> Interval {
    use super::cut::Cut;
    let (low, high) = factors.shares();
    let end = |cut: Cut, share: rust_decimal::Decimal| match cut {
        Cut::At { value, after } => {
            Cut::At { value: value.checked_mul(share).map_or(value, |v| v.normalize()), after }
        }
        other => other,
    };
    Interval { low: end(interval.low, low), high: end(interval.high, high) }
}
