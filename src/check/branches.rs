//! How much lies behind each lead: the end points that its plants can still come to.

use crate::key::couplet::Place;
use crate::key::{Graph, Key, LeadId, Outcome};

/// For each lead the number of end points behind it. One that several routes lead to counts once
/// for each: exact where branches do not meet again.
#[derive(Debug)]
pub(super) struct Branches {
    /// By position in the graph; `None` where a route is circular or leads into another file.
    ends: Vec<Option<u64>>,
}

impl Branches {
    pub fn of(key: &Key, graph: &Graph) -> Branches {
        let mut ends = vec![None; graph.positions()];
        let order: Vec<Place> = graph.forward().into_iter().flatten().collect();
        for &place in order.iter().rev() {
            let own = match place {
                Place::Lead(lead) => match &key.lead(lead).outcome {
                    Outcome::Taxa(taxa) => Some(taxa.len() as u64),
                    Outcome::Stop(_) => Some(1),
                    Outcome::Elsewhere { .. } => None,
                    _ => Some(0),
                },
                Place::Couplet(_) => Some(0),
            };
            ends[graph.position(place)] = graph
                .next(place)
                .fold(own, |sum, next| Some(sum?.saturating_add(ends[graph.position(next)]?)));
        }
        Branches { ends }
    }

    /// The end points behind a lead, where they can be counted.
    pub fn behind(&self, graph: &Graph, lead: LeadId) -> Option<u64> {
        self.ends[graph.position(Place::Lead(lead))]
    }
}
