//! What a circular route leaves to be examined: everything but the way round.

use std::sync::Arc;

use crate::key::couplet::Place;
use crate::key::{Graph, LeadId};

/// The leads without which no route is circular.
#[derive(Debug, Default)]
pub(super) struct Opened {
    /// In the order of the text.
    pub closing: Vec<LeadId>,
    /// Places that one of them leads to without having passed them: what is known of plants there
    /// is not known of those that come this way.
    pub reopened: Vec<Place>,
}

impl Opened {
    /// The graph without them, and the leads.
    pub fn of(graph: Arc<Graph>) -> (Arc<Graph>, Opened) {
        let closing = graph.closing();
        if closing.is_empty() {
            return (graph, Opened::default());
        }
        let before = graph.start().map(|s| graph.last_before(Place::Couplet(s)));
        let mut steps = 8 * graph.positions();
        let mut passed = |lead: LeadId, to: Place| {
            let mut at = Place::Lead(lead);
            // Looked for backwards, and given up where that takes too long.
            while steps > 0 && at != to {
                steps -= 1;
                match before.as_ref().and_then(|b| b[graph.position(at)]) {
                    Some(last) => at = last,
                    None => return false,
                }
            }
            at == to
        };
        let mut reopened = Vec::new();
        for &lead in &closing {
            for to in graph.next(Place::Lead(lead)) {
                if !passed(lead, to) {
                    reopened.push(to);
                }
            }
        }
        (Arc::new(graph.without(&closing)), Opened { closing, reopened })
    }
}
