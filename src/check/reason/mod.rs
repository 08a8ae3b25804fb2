//! Reasoning over the routes of a key: what the statements on the way leave possible, and where
//! every taxon goes by its own account.

pub mod against;
pub mod apart;
pub mod bounds;
pub mod course;
pub mod courses;
pub mod demand;
pub mod forms;
pub mod intervals;
mod opened;
pub mod overlap;
mod step;
pub mod values;
pub mod words;

use std::sync::Arc;

use fixedbitset::FixedBitSet;

use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CharacterId, CoupletId, Graph, Key, LeadId};

use demand::Demands;
use opened::Opened;

/// A key with what its leads demand, found out once.
pub struct Ground<'k> {
    pub key: &'k Key,
    /// Without the leads of [`Ground::closing`], so that every route ends.
    pub graph: Arc<Graph>,
    opened: Arc<Opened>,
    demands: Vec<Vec<Demands>>,
    /// For each couplet the characters that its leads speak of, conditions included.
    asked: Vec<Vec<CharacterId>>,
    live: Live,
    /// Where each place stands in an order in which routes only go onward; by position.
    rank: Vec<u32>,
}

impl<'k> Ground<'k> {
    pub fn new(key: &'k Key, graph: Arc<Graph>) -> Ground<'k> {
        let demands: Vec<Vec<Demands>> = key
            .couplets
            .iter()
            .map(|c| c.leads.iter().map(|l| Demands::of(key, l)).collect())
            .collect();
        let (graph, opened) = Opened::of(graph);
        Ground::of(key, graph, Arc::new(opened), demands)
    }

    fn of(
        key: &'k Key,
        graph: Arc<Graph>,
        opened: Arc<Opened>,
        demands: Vec<Vec<Demands>>,
    ) -> Ground<'k> {
        let asked: Vec<Vec<CharacterId>> = demands
            .iter()
            .map(|leads| {
                let mut all: Vec<CharacterId> =
                    leads.iter().flat_map(|d| &d.of).map(|d| d.character).collect();
                all.sort_unstable();
                all.dedup();
                all
            })
            .collect();
        let order: Vec<Place> = graph.forward().into_iter().flatten().collect();
        let mut rank = vec![u32::MAX; graph.positions()];
        for (i, place) in order.iter().enumerate() {
            rank[graph.position(*place)] = i as u32;
        }
        let live = Live::of(key, &graph, &order, &asked);
        Ground { key, graph, opened, demands, asked, live, rank }
    }

    /// The same key with other demands at one couplet.
    pub fn with(&self, couplet: CoupletId, demands: Vec<Demands>) -> Ground<'k> {
        let mut all = self.demands.clone();
        all[couplet.0 as usize] = demands;
        Ground::of(self.key, Arc::clone(&self.graph), Arc::clone(&self.opened), all)
    }

    /// The leads that close a circular route: no route is followed beyond them.
    pub fn closing(&self) -> &[LeadId] {
        &self.opened.closing
    }

    pub fn closes(&self, lead: LeadId) -> bool {
        self.opened.closing.binary_search(&lead).is_ok()
    }

    /// Where a lead leads to within the file; `None` where it closes a circle as well.
    pub fn target(&self, lead: LeadId) -> Option<Place> {
        if self.closes(lead) {
            return None;
        }
        target(self.key, &self.key.lead(lead).outcome)
    }

    /// The places of which not every route is known that leads there, for some come round a circle
    /// without having passed them.
    pub fn reopened(&self) -> &[Place] {
        &self.opened.reopened
    }

    pub fn demands(&self, lead: LeadId) -> &Demands {
        &self.demands[lead.couplet.0 as usize][lead.index as usize]
    }

    /// The characters that the leads of a couplet speak of, conditions included, in order.
    pub fn asked(&self, couplet: CoupletId) -> &[CharacterId] {
        &self.asked[couplet.0 as usize]
    }

    /// Whether a character is asked at a place or behind it.
    pub fn is_live(&self, place: Place, character: CharacterId) -> bool {
        self.live.holds(self.graph.position(place), self.rank(place), character)
    }

    pub fn rank(&self, place: Place) -> u32 {
        self.rank[self.graph.position(place)]
    }

    /// Whether any lead of the key has a statement that was read.
    pub fn reads_anything(&self) -> bool {
        self.asked.iter().any(|a| !a.is_empty())
    }
}

/// Which characters are asked at a place or anywhere behind it.
enum Live {
    /// For each place, by position.
    Exact(Vec<FixedBitSet>),
    /// For each character the rank of the last couplet that asks for it. A character may seem to be
    /// asked behind a place that does not lead to that couplet, and is then remembered for nothing.
    Last(Vec<Option<u32>>),
}

/// The most bits that are spent on what is asked behind each place.
const MOST_BITS: usize = 1 << 29;

impl Live {
    fn of(key: &Key, graph: &Graph, order: &[Place], asked: &[Vec<CharacterId>]) -> Live {
        let characters = key.characters.len();
        if graph.positions().saturating_mul(characters) > MOST_BITS {
            let mut last = vec![None; characters];
            for (rank, place) in order.iter().enumerate() {
                for c in &asked[couplet_of(*place).0 as usize] {
                    last[c.0 as usize] = Some(rank as u32);
                }
            }
            return Live::Last(last);
        }
        let mut live = vec![FixedBitSet::new(); graph.positions()];
        for place in order.iter().rev() {
            let mut own = FixedBitSet::with_capacity(characters);
            own.extend(asked[couplet_of(*place).0 as usize].iter().map(|c| c.0 as usize));
            for next in graph.next(*place) {
                own.union_with(&live[graph.position(next)]);
            }
            live[graph.position(*place)] = own;
        }
        Live::Exact(live)
    }

    fn holds(&self, position: usize, rank: u32, character: CharacterId) -> bool {
        match self {
            Live::Exact(live) => live[position].contains(character.0 as usize),
            Live::Last(last) => last[character.0 as usize].is_some_and(|l| rank <= l),
        }
    }
}

// What one lead asks, its couplet asks.
fn couplet_of(place: Place) -> CoupletId {
    match place {
        Place::Couplet(id) => id,
        Place::Lead(lead) => lead.couplet,
    }
}
