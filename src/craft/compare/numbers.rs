//! The new issue in numbers of the old one: what was there keeps its number, and what is put in gets
//! one that is free, as floras do it: `6A` behind couplet 6.

use std::collections::BTreeSet;

use crate::key::{CoupletId, Key, LeadId, Outcome};

use super::Comparison;
use super::side::plain;

/// The number of every couplet of the new issue, in the order of its text.
pub(super) struct Numbers<'k> {
    new: &'k Key,
    numbers: Vec<String>,
}

impl<'k> Numbers<'k> {
    pub fn of(old: &Key, new: &'k Key, comparison: &Comparison) -> Numbers<'k> {
        let pairs = &comparison.pairs;
        let mut taken: Vec<BTreeSet<String>> = vec![BTreeSet::new(); new.subkeys.len()];
        for (id, couplet) in new.couplets() {
            if let Some(o) = pairs.old_of(id) {
                taken[couplet.subkey.0 as usize].insert(old.couplet(o).name());
            }
        }
        // What the old issue calls otherwise must not be met again either.
        for (_, couplet) in old.couplets().filter(|(id, _)| pairs.couplet(*id).is_none()) {
            if let Some(n) = pairs.subkey(couplet.subkey) {
                taken[n.0 as usize].insert(couplet.name());
            }
        }
        let mut numbers = Vec::with_capacity(new.couplets.len());
        // The number without capital of the couplet before, in each key.
        let mut before: Vec<u32> = vec![0; new.subkeys.len()];
        for (id, couplet) in new.couplets() {
            let key = couplet.subkey.0 as usize;
            let number = match pairs.old_of(id) {
                Some(o) => {
                    before[key] = old.couplet(o).number;
                    old.couplet(o).name()
                }
                None => free(&taken[key], couplet.name(), before[key]),
            };
            taken[key].insert(number.clone());
            numbers.push(number);
        }
        Numbers { new, numbers }
    }

    pub fn couplet(&self, id: CoupletId) -> &str {
        self.numbers.get(id.0 as usize).map_or("?", String::as_str)
    }

    pub fn lead(&self, id: LeadId) -> String {
        let letter = self.new.lead(id).label.letter.unwrap_or('?');
        format!("{}{letter}", self.couplet(id.couplet))
    }

    /// Where a lead of the new issue goes.
    pub fn outcome(&self, lead: LeadId) -> String {
        match &self.new.lead(lead).outcome {
            Outcome::Couplet(c) => self.couplet(*c).to_string(),
            Outcome::Lead(l) => self.lead(*l),
            _ => plain(&self.new.lead(lead).outcome_words.text(self.new.source.text())),
        }
    }

    /// A lead of the new issue as it is printed.
    pub fn printed(&self, lead: LeadId) -> String {
        let words = plain(&self.new.lead(lead).body.text(self.new.source.text()));
        format!("{}  {words} ..... {}", self.lead(lead), self.outcome(lead))
    }
}

fn free(taken: &BTreeSet<String>, own: String, before: u32) -> String {
    if !taken.contains(&own) {
        return own;
    }
    let with = ('A'..='Z').map(|c| format!("{before}{c}")).find(|n| !taken.contains(n));
    // Beyond 26 at one place: the first number that is free.
    let mut all = (before..u32::MAX).map(|n| n.to_string());
    with.or_else(|| all.find(|n| !taken.contains(n))).unwrap_or(own)
}
