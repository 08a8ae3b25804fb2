//! A plan for the desk: the fewest characters that settle the name whatever the answers.

use super::apart::{MOST, Pairs, groups};
use super::bits::Bits;
use super::cost;
use super::cover;
use super::next::{answered, next_questions};
use super::observation::Observation;
use super::specimen::Specimen;
use super::table::Table;
use crate::key::CharacterId;

/// A set of characters that settles as much as can be settled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub characters: Vec<CharacterId>,
    /// No smaller set does.
    pub proved: bool,
    /// No set smaller than this does.
    pub at_least: usize,
    /// Groups of rows that stay together whatever is seen of this specimen.
    pub together: Vec<Vec<usize>>,
    /// Every pair was compared. Where very many taxa are left, `false`: the characters are then
    /// the most telling ones in turn, and nothing is said of taxa that stay together.
    pub by_pairs: bool,
}

/// The fewest characters to look at on this specimen.
pub fn plan(table: &Table, left: &Bits, observations: &[Observation], specimen: &Specimen) -> Plan {
    let rows: Vec<usize> = left.iter().collect();
    let done = answered(table, observations);
    let able: Vec<CharacterId> = (0..table.columns.len() as u32)
        .map(CharacterId)
        .filter(|c| !done.contains(c) && specimen.hides(&table.column(*c).meta).is_none())
        .collect();
    if rows.len() > MOST {
        return in_turn(table, left, observations, specimen);
    }
    let pairs = Pairs::new(table, &rows, able.iter().map(|c| (*c, specimen.condition)));
    let together = groups(rows.len(), &pairs.all());
    let sets: Vec<(Bits, f64)> = pairs
        .by_character
        .into_iter()
        .map(|(c, b)| (b, cost::cost(&table.column(c).meta, &Default::default())))
        .collect();
    let cover = cover::smallest(&sets);
    Plan {
        characters: cover.chosen.iter().map(|i| able[*i]).collect(),
        proved: cover.proved,
        at_least: cover.at_least,
        together: together.into_iter().map(|g| g.iter().map(|i| rows[*i]).collect()).collect(),
        by_pairs: true,
    }
}

/// For very many taxa: the most telling characters until their bits would part all.
fn in_turn(table: &Table, left: &Bits, observations: &[Observation], specimen: &Specimen) -> Plan {
    let mut questions = next_questions(table, left, |_| 1.0, observations, specimen);
    questions.sort_by(|a, b| {
        b.information.total_cmp(&a.information).then(a.character.cmp(&b.character))
    });
    let wanted = (left.count() as f64).log2();
    let mut bits = 0.0;
    let mut characters = Vec::new();
    let mut at_least = 0;
    for q in questions {
        if bits >= wanted {
            break;
        }
        bits += q.information;
        at_least += 1;
        characters.push(q.character);
    }
    Plan { characters, proved: false, at_least, together: Vec::new(), by_pairs: false }
}
