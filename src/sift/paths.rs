//! What the leads on the way to a taxon say of it: on all of its paths, joined over them.

use std::collections::{BTreeMap, VecDeque};

use super::about::{extreme_of, usual_of};
use super::cut::{Cut, Interval};
use crate::key::couplet::{Outcome, Place};
use crate::key::statement::{Choice, Value};
use crate::key::{CharacterId, CoupletId, Key, Kind, LeadId, SubkeyId, TaxonId};
use crate::text::amount::{Amount, Extent, Limit, Range};

/// What holds at a place in the key, by character; a character that is not in it may be anything.
type Said = BTreeMap<CharacterId, Value>;

/// A couplet that is entered more often than this has come to rest nowhere (a faulty key going
/// round in circles); it is taken to say nothing.
const MOST_VISITS: u32 = 64;

/// What the leads say of each taxon that they name: characters on which every path to it speaks,
/// with whatever one path or another allows.
pub fn said_by_leads(key: &Key) -> BTreeMap<TaxonId, Said> {
    let mut at: BTreeMap<CoupletId, (Said, u32)> = BTreeMap::new();
    let mut ends: BTreeMap<(LeadId, TaxonId), Said> = BTreeMap::new();
    let mut open: VecDeque<CoupletId> = VecDeque::new();
    for couplet in starts(key) {
        at.insert(couplet, (Said::new(), 0));
        open.push_back(couplet);
    }
    while let Some(couplet) = open.pop_front() {
        let Some((said, _)) = at.get(&couplet).cloned() else { continue };
        for index in 0..key.couplet(couplet).leads.len() as u16 {
            along(key, LeadId { couplet, index }, &said, &mut at, &mut ends, &mut open);
        }
    }
    let mut out: BTreeMap<TaxonId, Said> = BTreeMap::new();
    for ((_, taxon), said) in ends {
        match out.get_mut(&taxon) {
            Some(old) => {
                join(key, old, &said);
            }
            None => {
                out.insert(taxon, said);
            }
        }
    }
    out
}

/// The first couplet of the first key, and of every key that no lead points into.
fn starts(key: &Key) -> Vec<CoupletId> {
    let mut entered = vec![false; key.subkeys.len()];
    for (_, lead) in key.leads() {
        if let Outcome::Subkey { subkey, .. } = lead.outcome {
            entered[subkey.0 as usize] = true;
        }
    }
    if let Some(first) = entered.first_mut() {
        *first = false;
    }
    let keys = key.subkeys.iter().zip(entered).filter(|(_, entered)| !entered);
    keys.filter_map(|(k, _)| k.couplets.first().copied()).collect()
}

/// Takes a lead, with what held before it.
fn along(
    key: &Key,
    id: LeadId,
    before: &Said,
    at: &mut BTreeMap<CoupletId, (Said, u32)>,
    ends: &mut BTreeMap<(LeadId, TaxonId), Said>,
    open: &mut VecDeque<CoupletId>,
) {
    let mut said = before.clone();
    let mut id = id;
    // A lead may point at a single lead, and that at another; a ring of them leads nowhere.
    for _ in 0..=key.couplets.len() {
        for statement in key.lead(id).statements() {
            narrow(key, &mut said, statement.character, &statement.value);
        }
        let lead = |couplet: CoupletId, index| LeadId { couplet, index };
        let to = match &key.lead(id).outcome {
            Outcome::Couplet(c) => *c,
            Outcome::Lead(l) => {
                id = lead(l.couplet, l.index);
                continue;
            }
            Outcome::Subkey { at: Some(Place::Lead(l)), .. } => {
                id = lead(l.couplet, l.index);
                continue;
            }
            Outcome::Subkey { at: Some(Place::Couplet(c)), .. } => *c,
            Outcome::Subkey { subkey: SubkeyId(k), at: None } => {
                match key.subkeys[*k as usize].couplets.first() {
                    Some(c) => *c,
                    None => return,
                }
            }
            Outcome::Taxa(taxa) => {
                for taxon in taxa {
                    ends.entry((id, *taxon))
                        .and_modify(|old| _ = join(key, old, &said))
                        .or_insert_with(|| said.clone());
                }
                return;
            }
            Outcome::Elsewhere { .. } | Outcome::Stop(_) | Outcome::Nowhere => return,
        };
        match at.get_mut(&to) {
            None => {
                at.insert(to, (said, 1));
                open.push_back(to);
            }
            Some((old, visits)) => {
                *visits += 1;
                if *visits > MOST_VISITS && !old.is_empty() {
                    old.clear();
                    open.push_back(to);
                } else if join(key, old, &said) {
                    open.push_back(to);
                }
            }
        }
        return;
    }
}

/// Adds what a lead says to what its path said before: both must hold. A lead that contradicts
/// its path has the last word.
fn narrow(key: &Key, said: &mut Said, character: CharacterId, value: &Value) {
    let is_count = is_count(key, character);
    let met = said.get(&character).and_then(|old| meet(old, value, is_count));
    said.insert(character, met.unwrap_or_else(|| value.clone()));
}

fn is_count(key: &Key, character: CharacterId) -> bool {
    matches!(key.character(character).kind, Kind::Count)
}

/// What satisfies both; `None` where nothing does.
pub(super) fn meet(a: &Value, b: &Value, is_count: bool) -> Option<Value> {
    match (a, b) {
        (Value::States(a), Value::States(b)) => {
            let mut out: Vec<Choice> = Vec::new();
            for x in a {
                for y in b {
                    let accepts = x.accepts.meet(&y.accepts);
                    let named = [y.named, x.named]
                        .into_iter()
                        .flatten()
                        .find(|n| accepts.len() == 1 && accepts.contains(*n));
                    let frequency = x.frequency.min(y.frequency);
                    let choice = Choice { accepts, named, frequency, span: y.span };
                    let known = out.iter().any(|c| c.accepts == choice.accepts);
                    if !choice.accepts.is_empty() && !known {
                        out.push(choice);
                    }
                }
            }
            (!out.is_empty()).then_some(Value::States(out))
        }
        (Value::Number(a), Value::Number(b)) => {
            let mut extents: Vec<Extent> = Vec::new();
            for x in a.extents.iter().map(|e| written_out(e, is_count)) {
                for y in b.extents.iter().map(|e| written_out(e, is_count)) {
                    let extreme = x.extreme.meet(&y.extreme);
                    let usual = x.usual.meet(&y.usual);
                    let both = Extent {
                        usual: if usual.is_void() { extreme } else { usual },
                        extreme,
                        about: false,
                        frequency: x.frequency.min(y.frequency),
                    };
                    if !extreme.is_void() && !extents.contains(&both) {
                        extents.push(both);
                    }
                }
            }
            (!extents.is_empty()).then_some(Value::Number(Amount { extents }))
        }
        _ => None,
    }
}

/// `ca. 7` with the limits that it stands for.
fn written_out(extent: &Extent, is_count: bool) -> Extent {
    if !extent.about {
        return *extent;
    }
    let range = |i: Interval| Range {
        low: i
            .low
            .value()
            .map(|value| Limit { value, open: matches!(i.low, Cut::At { after: true, .. }) }),
        high: i
            .high
            .value()
            .map(|value| Limit { value, open: matches!(i.high, Cut::At { after: false, .. }) }),
    };
    Extent {
        usual: range(usual_of(extent, is_count)),
        extreme: range(extreme_of(extent, is_count)),
        about: false,
        ..*extent
    }
}

/// Allows what another path says as well; says whether anything changed.
fn join(key: &Key, old: &mut Said, other: &Said) -> bool {
    let before = old.len();
    old.retain(|c, _| other.contains_key(c));
    let mut changed = old.len() != before;
    for (character, value) in old.iter_mut() {
        match (value, &other[character]) {
            (Value::States(a), Value::States(b)) => {
                for choice in b {
                    if !a.iter().any(|c| choice.accepts.is_subset(&c.accepts)) {
                        a.push(choice.clone());
                        changed = true;
                    }
                }
            }
            (Value::Number(a), Value::Number(b)) => {
                let is_count = is_count(key, *character);
                for extent in &b.extents {
                    let outer = extreme_of(extent, is_count);
                    let held = |e: &Extent| extreme_of(e, is_count).covers(&outer);
                    if !a.extents.iter().any(held) {
                        a.extents.push(*extent);
                        changed = true;
                    }
                }
            }
            // A character has one kind of value.
            _ => {}
        }
    }
    changed
}
