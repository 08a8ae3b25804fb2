//! What to look at next: the information that a character promises, for what it costs to look.

use std::collections::BTreeSet;

use rayon::prelude::*;
use rust_decimal::Decimal;

use super::bits::Bits;
use super::cost::cost;
use super::observation::{Observation, Seen};
use super::specimen::Specimen;
use super::split::{self, Split};
use super::table::Table;
use super::weights::Weights;
use crate::key::statement::{StateSet, Value};
use crate::key::{CharacterId, StateId};

/// A character worth looking at.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    pub character: CharacterId,
    /// The answers with what each leaves.
    pub answers: Vec<Answer>,
    /// What it is expected to tell, in bits.
    pub information: f64,
    pub cost: f64,
    /// Whether shares were weighed taxon by taxon, or taxa only counted (where very many are
    /// left).
    pub by_shares: bool,
}

/// One answer to a question.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    pub value: AnswerValue,
    /// How many of the remaining taxa it leaves; a variable taxon, or one of which nothing is
    /// said, is left by several answers.
    pub left: usize,
    /// How probable the answer is.
    pub share: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswerValue {
    State(StateId),
    AtMost(Decimal),
    MoreThan(Decimal),
    DoesNotApply,
}

impl Question {
    /// Bits for each unit of cost: what questions are ordered by.
    pub fn worth(&self) -> f64 {
        self.information / self.cost
    }
}

/// Less than this tells nothing: rounding, and questions with one answer.
const NOTHING: f64 = 1e-9;

/// The characters that can be looked at on the specimen and tell something of the taxa in `left`,
/// the most worth first, equal ones in the order of the key.
///
/// `weight` is each row's; pass `|_| 1.0` where all count alike. Characters that `observations`
/// answer, or imply an answer to, are not asked.
pub fn next_questions(
    table: &Table,
    left: &Bits,
    weight: impl Fn(usize) -> f64,
    observations: &[Observation],
    specimen: &Specimen,
) -> Vec<Question> {
    let weights = Weights::of(left.clone(), weight);
    let answered = answered(table, observations);
    let looked_at: BTreeSet<String> = observations
        .iter()
        .filter_map(|o| table.columns.get(o.character.0 as usize)?.meta.part.clone())
        .collect();
    let ids: Vec<usize> = (0..table.columns.len())
        .filter(|i| !answered.contains(&CharacterId(*i as u32)))
        .filter(|i| specimen.hides(&table.columns[*i].meta).is_none())
        .collect();
    let mut out: Vec<Question> = ids
        .into_par_iter()
        .filter_map(|i| {
            let character = CharacterId(i as u32);
            let Split { answers, information, by_shares } =
                split::split(table, character, &weights, specimen.condition)?;
            let cost = cost(&table.columns[i].meta, &looked_at);
            (information > NOTHING).then_some(Question {
                character,
                answers,
                information,
                cost,
                by_shares,
            })
        })
        .collect();
    out.sort_by(|a, b| b.worth().total_cmp(&a.worth()).then(a.character.cmp(&b.character)));
    out
}

/// Characters that were looked at, those that a dependent one implies, and those that do not apply
/// to what was seen.
pub fn answered(table: &Table, observations: &[Observation]) -> BTreeSet<CharacterId> {
    let mut out: BTreeSet<CharacterId> = BTreeSet::new();
    let mut open: Vec<CharacterId> = Vec::new();
    for o in observations {
        out.insert(o.character);
        if o.is_evidence() && o.seen != Seen::DoesNotApply {
            open.push(o.character);
        }
    }
    // What is seen of a dependent character says that its condition holds.
    while let Some(id) = open.pop() {
        let Some(column) = table.columns.get(id.0 as usize) else { continue };
        for (condition, _) in &column.meta.applies {
            if out.insert(*condition) {
                open.push(*condition);
            }
        }
    }
    for _ in 0..table.columns.len() {
        let before = out.len();
        for (i, column) in table.columns.iter().enumerate() {
            let barred = column.meta.applies.iter().any(|(id, value)| {
                observations.iter().any(|o| o.character == *id && excludes(o, value))
            });
            let above_barred = column.meta.applies.iter().any(|(id, _)| {
                out.contains(id)
                    && observations
                        .iter()
                        .any(|o| o.character == *id && o.seen == Seen::DoesNotApply)
            });
            if barred || above_barred {
                out.insert(CharacterId(i as u32));
            }
        }
        if out.len() == before {
            break;
        }
    }
    out
}

/// Whether what was seen rules a condition out.
fn excludes(observation: &Observation, condition: &Value) -> bool {
    match (&observation.seen, condition.accepts()) {
        (Seen::States(seen), Some(accepts)) => !seen.overlaps(&accepts),
        (Seen::DoesNotApply, _) => true,
        _ => false,
    }
}

impl AnswerValue {
    /// The answer as an observation.
    pub fn seen(self) -> Seen {
        use super::cut::{Cut, Interval};
        let within = |low, high| {
            Seen::Numbers(vec![super::Reading { within: vec![Interval { low, high }] }])
        };
        match self {
            AnswerValue::State(s) => Seen::States(StateSet::of([s])),
            AnswerValue::AtMost(v) => within(Cut::Below, Cut::after(v)),
            AnswerValue::MoreThan(v) => within(Cut::after(v), Cut::Above),
            AnswerValue::DoesNotApply => Seen::DoesNotApply,
        }
    }
}
