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
pub mod overlap;
mod step;
pub mod values;
pub mod words;

use std::sync::Arc;

use fixedbitset::FixedBitSet;

use crate::key::couplet::Place;
use crate::key::{CharacterId, CoupletId, Graph, Key, LeadId};

use demand::Demands;

/// A key with what its leads demand, found out once.
pub struct Ground<'k> {
    pub key: &'k Key,
    pub graph: Arc<Graph>,
    demands: Vec<Vec<Demands>>,
    /// For each couplet the characters that its leads speak of, conditions included.
    asked: Vec<Vec<CharacterId>>,
    /// For each place, by position, the characters that are asked there or anywhere behind it.
    live: Vec<FixedBitSet>,
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
        Ground::of(key, graph, demands)
    }

    fn of(key: &'k Key, graph: Arc<Graph>, demands: Vec<Vec<Demands>>) -> Ground<'k> {
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
        let live = live(key, &graph, &order, &asked);
        Ground { key, graph, demands, asked, live, rank }
    }

    /// The same key with other demands at one couplet.
    pub fn with(&self, couplet: CoupletId, demands: Vec<Demands>) -> Ground<'k> {
        let mut all = self.demands.clone();
        all[couplet.0 as usize] = demands;
        Ground::of(self.key, Arc::clone(&self.graph), all)
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
        self.live[self.graph.position(place)].contains(character.0 as usize)
    }

    pub fn rank(&self, place: Place) -> u32 {
        self.rank[self.graph.position(place)]
    }

    /// Whether any lead of the key has a statement that was read.
    pub fn reads_anything(&self) -> bool {
        self.asked.iter().any(|a| !a.is_empty())
    }
}

fn live(key: &Key, graph: &Graph, order: &[Place], asked: &[Vec<CharacterId>]) -> Vec<FixedBitSet> {
    let mut live = vec![FixedBitSet::new(); graph.positions()];
    for place in order.iter().rev() {
        let mut own = FixedBitSet::with_capacity(key.characters.len());
        let of = match place {
            Place::Couplet(id) => *id,
            // What one lead asks, its couplet asks.
            Place::Lead(lead) => lead.couplet,
        };
        own.extend(asked[of.0 as usize].iter().map(|c| c.0 as usize));
        for next in graph.next(*place) {
            own.union_with(&live[graph.position(next)]);
        }
        live[graph.position(*place)] = own;
    }
    live
}
