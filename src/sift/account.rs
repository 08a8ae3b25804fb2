//! What is known of each taxon, character by character: its own account, what it inherits, what
//! the key's leads say, what one character implies of another.

use std::collections::BTreeMap;

use super::about::Reach;
use super::paths::{meet, said_by_leads};
use super::shares;
use crate::key::couplet::Outcome;
use crate::key::statement::{Choice, StateSet, Statement, Value};
use crate::key::{Character, CharacterId, Key, Kind, StateId, TaxonId};
use crate::text::amount::Amount;

/// Where knowledge of a taxon comes from, nearest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    Own,
    /// From the account of a higher taxon.
    Inherited(TaxonId),
    /// From the key's leads: every path to the taxon speaks of it.
    Leads,
    /// Stating a dependent character implies its condition.
    Implied(CharacterId),
    /// It does not apply, because of what is known of the other character.
    Follows(CharacterId),
}

/// What is known of one character of one taxon.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub known: Known,
    pub origin: Origin,
    /// As it can be put in words; `None` where the character does not apply.
    pub value: Option<Value>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Known {
    /// The states that occur with their shares, which sum to one, in the order of the states.
    States(Vec<(StateId, f64)>),
    Numbers(Vec<Reach>),
    /// The character does not apply.
    Lacking,
}

/// What is known of every taxon that can be named.
#[derive(Clone, Debug, Default)]
pub struct Accounts {
    pub taxa: Vec<TaxonId>,
    entries: Vec<BTreeMap<CharacterId, Entry>>,
    /// Dependent characters that may not apply, or never do.
    may_lack: Vec<Vec<CharacterId>>,
}

impl Accounts {
    pub fn of(key: &Key) -> Accounts {
        let leads = said_by_leads(key);
        let nothing = BTreeMap::new();
        let mut out = Accounts { taxa: nameable(key), ..Accounts::default() };
        for &taxon in &out.taxa {
            let resolved = Resolver { key, levels: BTreeMap::new(), entries: BTreeMap::new() }
                .resolve(taxon, leads.get(&taxon).unwrap_or(&nothing));
            out.entries.push(resolved.0);
            out.may_lack.push(resolved.1);
        }
        out
    }

    /// What is known of a character of the taxon in `row`; `None` where nothing is said.
    pub fn entry(&self, row: usize, character: CharacterId) -> Option<&Entry> {
        self.entries.get(row)?.get(&character)
    }

    /// Whether a character that depends on others may not apply to the taxon in `row`.
    pub fn may_lack(&self, row: usize, character: CharacterId) -> bool {
        self.may_lack.get(row).is_some_and(|l| l.binary_search(&character).is_ok())
    }
}

/// The taxa that a determination can end in: those that leads name, and those with an account
/// that no other inherits.
pub fn nameable(key: &Key) -> Vec<TaxonId> {
    let mut named = vec![false; key.taxa.len()];
    for (_, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            taxa.iter().for_each(|t| named[t.0 as usize] = true);
        }
    }
    let mut above = vec![false; key.taxa.len()];
    for taxon in &key.taxa {
        if let Some(a) = taxon.above {
            above[a.0 as usize] = true;
        }
    }
    let wanted =
        |t: &TaxonId| named[t.0 as usize] || (key.taxon(*t).has_account && !above[t.0 as usize]);
    key.taxon_ids().filter(wanted).collect()
}

/// How surely the condition of a dependent character holds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Holds {
    Never,
    Sometimes,
    Always,
    Unknown,
}

struct Resolver<'k> {
    key: &'k Key,
    /// How far away each character's knowledge comes from: 0 its own account, then upwards, then
    /// the leads.
    levels: BTreeMap<CharacterId, usize>,
    entries: BTreeMap<CharacterId, Entry>,
}

impl Resolver<'_> {
    fn resolve(
        mut self,
        taxon: TaxonId,
        leads: &BTreeMap<CharacterId, Value>,
    ) -> (BTreeMap<CharacterId, Entry>, Vec<CharacterId>) {
        let mut said: BTreeMap<CharacterId, (TaxonId, Vec<&Statement>)> = BTreeMap::new();
        let mut order: Vec<TaxonId> = Vec::new();
        for (from, statement) in self.key.statements_of(taxon) {
            if order.last() != Some(&from) {
                order.push(from);
            }
            said.entry(statement.character).or_insert((from, Vec::new())).1.push(statement);
        }
        for (character, (from, statements)) in said {
            let origin = if from == taxon { Origin::Own } else { Origin::Inherited(from) };
            let level = order.iter().position(|t| *t == from).unwrap_or(0);
            if let Some(value) = merged(&statements) {
                self.know(character, value, origin, level + usize::from(from != taxon));
            }
        }
        for (character, value) in leads {
            if !self.entries.contains_key(character) {
                self.know(*character, value.clone(), Origin::Leads, usize::MAX);
            }
        }
        self.imply();
        let may_lack = self.lacking();
        (self.entries, may_lack)
    }

    fn know(&mut self, character: CharacterId, value: Value, origin: Origin, level: usize) {
        if let Some(known) = known(self.key.character(character), &value) {
            self.entries.insert(character, Entry { known, origin, value: Some(value) });
            self.levels.insert(character, level);
        }
    }

    /// Stating a dependent character implies its condition, where nothing else is known of that.
    /// Where several imply one, all conditions hold; one that contradicts those declared before it
    /// is left out.
    fn imply(&mut self) {
        let key = self.key;
        let stated: Vec<CharacterId> = self.entries.keys().copied().collect();
        // How near each character is said or implied, until no nearer way is found.
        let mut near = self.levels.clone();
        let mut open = stated.clone();
        while let Some(character) = open.pop() {
            let level = near.get(&character).copied().unwrap_or(usize::MAX);
            for condition in &key.character(character).applies {
                let id = condition.character;
                if !stated.contains(&id) && near.get(&id).is_none_or(|old| *old > level) {
                    near.insert(id, level);
                    open.push(id);
                }
            }
        }
        for from in near.keys().copied().collect::<Vec<_>>() {
            for condition in &key.character(from).applies {
                let id = condition.character;
                if stated.contains(&id) {
                    continue;
                }
                let value = match self.entries.get(&id).and_then(|e| e.value.as_ref()) {
                    None => Some(condition.value.clone()),
                    Some(old) => {
                        let is_count = matches!(key.character(id).kind, Kind::Count);
                        meet(old, &condition.value, is_count)
                    }
                };
                let first = match self.entries.get(&id).map(|e| e.origin) {
                    Some(Origin::Implied(first)) => first,
                    _ => from,
                };
                if let Some(value) = value {
                    let level = near.get(&id).copied().unwrap_or(usize::MAX);
                    self.know(id, value, Origin::Implied(first), level);
                }
            }
        }
    }

    /// Marks what does not apply; returns the characters that may not.
    fn lacking(&mut self) -> Vec<CharacterId> {
        let mut done = BTreeMap::new();
        let dependent = |c: &CharacterId| !self.key.character(*c).applies.is_empty();
        let ids: Vec<CharacterId> = self.key.character_ids().filter(dependent).collect();
        ids.into_iter().filter(|c| self.applies(*c, &mut done, 0).0 != Holds::Always).collect()
    }

    /// Whether a character applies, and how near what rules it out was said; where it never does,
    /// that becomes what is known of it.
    fn applies(
        &mut self,
        character: CharacterId,
        done: &mut BTreeMap<CharacterId, (Holds, usize)>,
        depth: usize,
    ) -> (Holds, usize) {
        if let Some(known) = done.get(&character) {
            return *known;
        }
        // Characters that depend on each other in a ring: nothing can be said.
        done.insert(character, (Holds::Unknown, usize::MAX));
        let key = self.key;
        if depth > key.characters.len() {
            return (Holds::Unknown, usize::MAX);
        }
        let own_level = self.levels.get(&character).copied();
        let mut all = Holds::Always;
        for condition in &key.character(character).applies {
            let id = condition.character;
            let (above, mut level) = self.applies(id, done, depth + 1);
            let mut one = above;
            if above != Holds::Never {
                level = self.levels.get(&id).copied().unwrap_or(usize::MAX);
                one = match self.entries.get(&id).map(|e| satisfied(e, condition, key)) {
                    None => Holds::Unknown,
                    Some(Holds::Always) if above == Holds::Sometimes => Holds::Sometimes,
                    Some(holds) => holds,
                };
            }
            // What is stated nearer than its condition applies all the same.
            if one == Holds::Never && own_level.is_none_or(|own| own > level) {
                let because = match self.entries.get(&id) {
                    Some(Entry { origin: Origin::Follows(first), .. }) => *first,
                    _ => id,
                };
                self.entries.insert(
                    character,
                    Entry { known: Known::Lacking, origin: Origin::Follows(because), value: None },
                );
                done.insert(character, (Holds::Never, level));
                return (Holds::Never, level);
            }
            all = match (all, one) {
                (Holds::Unknown, _) | (_, Holds::Unknown) => Holds::Unknown,
                (Holds::Sometimes, _) | (_, Holds::Sometimes) => Holds::Sometimes,
                _ => Holds::Always,
            };
        }
        done.insert(character, (all, usize::MAX));
        (all, usize::MAX)
    }
}

/// Whether a condition holds for a taxon of which `entry` is known.
fn satisfied(entry: &Entry, condition: &Statement, key: &Key) -> Holds {
    let judge = |any: bool, all: bool| match (any, all) {
        (_, true) => Holds::Always,
        (true, false) => Holds::Sometimes,
        (false, false) => Holds::Never,
    };
    match &entry.known {
        Known::Lacking => Holds::Never,
        Known::States(shown) => {
            let accepts = condition.value.accepts().unwrap_or_default();
            let held = |(s, _): &(StateId, f64)| accepts.contains(*s);
            judge(shown.iter().any(held), shown.iter().all(held))
        }
        Known::Numbers(reaches) => {
            let wanted = match known(key.character(condition.character), &condition.value) {
                Some(Known::Numbers(w)) => w,
                _ => return Holds::Unknown,
            };
            let any = |r: &Reach| wanted.iter().any(|w| w.extreme.overlaps(&r.extreme));
            let all = |r: &Reach| wanted.iter().any(|w| w.extreme.covers(&r.extreme));
            judge(reaches.iter().any(any), reaches.iter().all(all))
        }
    }
}

/// A value as knowledge; `None` where it says nothing (limits out of order).
pub(super) fn known(character: &Character, value: &Value) -> Option<Known> {
    match value {
        Value::States(choices) => {
            let shown = shares::of_choices(choices);
            (!shown.is_empty()).then_some(Known::States(shown))
        }
        Value::Number(amount) => {
            let is_count = matches!(character.kind, Kind::Count);
            let reaches = shares::of_extents(&amount.extents, is_count);
            (!reaches.is_empty()).then_some(Known::Numbers(reaches))
        }
    }
}

/// Several statements of one account about one character: whatever one of them allows (`red,
/// white` says that both are there).
pub(super) fn merged(statements: &[&Statement]) -> Option<Value> {
    let mut choices: Vec<Choice> = Vec::new();
    let mut extents = Vec::new();
    for statement in statements {
        match &statement.value {
            Value::States(c) => choices.extend(c.iter().cloned()),
            Value::Number(a) => extents.extend(a.extents.iter().copied()),
        }
    }
    match (choices.is_empty(), extents.is_empty()) {
        (false, _) => Some(Value::States(choices)),
        (true, false) => Some(Value::Number(Amount { extents })),
        (true, true) => None,
    }
}

impl Known {
    /// The states that occur, none for numbers.
    pub fn states(&self) -> StateSet {
        match self {
            Known::States(shown) => StateSet::of(shown.iter().map(|(s, _)| *s)),
            _ => StateSet::default(),
        }
    }
}
