//! The collection against a list of names or a key: what has a voucher, and what is still wanted.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::catalogue::Summary;
use super::number::Citation;
use crate::text::name::{self, ScientificName};

/// What there is of one taxon.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Held {
    /// The taxon as the list writes it.
    pub name: String,
    /// Specimens whose name holds without doubt, and with it.
    pub sure: usize,
    pub doubtful: usize,
    /// Of the sure ones, how many someone confirmed.
    pub confirmed: usize,
    /// Sheets in the collection.
    pub sheets: u32,
    /// Packets of ripe seed, and seed that is not said to be ripe.
    pub ripe_seed: u32,
    pub other_seed: u32,
    pub wood: u32,
    pub phytoliths: u32,
    /// From how many plants seed was taken, and from how many places.
    pub individuals: u32,
    pub places: usize,
}

/// A part that should be in the store and is not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Missing {
    pub specimen: Citation,
    pub what: String,
    pub status: String,
    pub store: Option<String>,
}

/// A collection held against a list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Collection {
    /// One row a taxon of the list, in its order.
    pub taxa: Vec<Held>,
    /// Names in the collection that the list does not have, in the order of the alphabet.
    pub beyond: Vec<String>,
    /// Specimens without a name.
    pub unnamed: usize,
    pub missing: Vec<Missing>,
}

/// Holds specimens against names. A name below the species counts for its species too.
pub fn collection(names: &[String], specimens: &[Summary]) -> Collection {
    let mut out = Collection {
        taxa: names.iter().map(|n| Held { name: n.clone(), ..Held::default() }).collect(),
        ..Collection::default()
    };
    let mut rows: BTreeMap<String, usize> = BTreeMap::new();
    for (i, name) in names.iter().enumerate() {
        if let Ok(name) = name::read(name) {
            rows.entry(name.folded()).or_insert(i);
        }
    }
    let mut places: Vec<BTreeSet<&str>> = vec![BTreeSet::new(); names.len()];
    let mut beyond = BTreeSet::new();
    for s in specimens {
        out.missing.extend(s.parts.iter().filter(|p| p.status == "missing").map(|p| Missing {
            specimen: s.citation.clone(),
            what: p.what.clone(),
            status: p.status.clone(),
            store: p.store.clone(),
        }));
        let Some(written) = &s.name else {
            out.unnamed += 1;
            continue;
        };
        let Ok(name) = name::read(written) else {
            beyond.insert(written.clone());
            continue;
        };
        let found = ways(&name).into_iter().filter_map(|w| rows.get(&w)).collect::<BTreeSet<_>>();
        if found.is_empty() {
            beyond.insert(name.full());
        }
        for at in found {
            let held = &mut out.taxa[*at];
            held.count(s, &name);
            if let Some(place) = s.place.as_deref().filter(|_| has_seed(s)) {
                places[*at].insert(place);
            }
        }
    }
    for (held, places) in out.taxa.iter_mut().zip(places) {
        held.places = places.len();
    }
    out.beyond = beyond.into_iter().collect();
    out
}

/// The folded names under which a specimen counts: its own and its species'.
fn ways(name: &ScientificName) -> Vec<String> {
    let mut out = vec![name.folded()];
    let mut above = name.clone();
    while above.cultivar.take().is_some() || above.below_species.pop().is_some() {
        out.push(above.folded());
    }
    out
}

fn has_seed(s: &Summary) -> bool {
    s.parts.iter().any(|p| is_seed(&p.what))
}

fn is_seed(what: &str) -> bool {
    let what = what.to_lowercase();
    what.contains("seed") || what.contains("fruit")
}

impl Held {
    fn count(&mut self, s: &Summary, name: &ScientificName) {
        if name.is_qualified() {
            // Doubtful material is no voucher for the name.
            self.doubtful += 1;
            return;
        }
        self.sure += 1;
        self.confirmed += usize::from(s.confirmed);
        for part in s.parts.iter().filter(|p| p.status == "in collection" || p.status == "on loan")
        {
            let what = part.what.to_lowercase();
            let count = part.count;
            if what == "sheet" {
                self.sheets = self.sheets.saturating_add(count);
            } else if is_seed(&what) {
                let seed = if part.ripe { &mut self.ripe_seed } else { &mut self.other_seed };
                *seed = seed.saturating_add(count);
                self.individuals = self.individuals.saturating_add(part.individuals);
            } else if what.contains("wood") {
                self.wood = self.wood.saturating_add(count);
            } else if what.contains("phytolith") {
                self.phytoliths = self.phytoliths.saturating_add(count);
            }
        }
    }

    /// Whether nothing sure is there.
    pub fn is_wanted(&self) -> bool {
        self.sure == 0
    }
}
