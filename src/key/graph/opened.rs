//! Circular routes opened: the graph without the leads that close a circle.

use petgraph::algo::toposort;
use petgraph::graph::NodeIndex;

use super::{Graph, LeadId, Place};

/// How far a node is looked into.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Seen {
    Not,
    /// It lies on the route from the beginning to where the search stands.
    OnRoute,
    Done,
}

impl Graph {
    /// The leads that close a circle, in the order of the text: without them every route ends.
    /// Empty where no route is circular.
    pub fn closing(&self) -> Vec<LeadId> {
        if self.order.is_some() {
            return Vec::new();
        }
        let mut seen = vec![Seen::Not; self.graph.node_count()];
        let mut out = Vec::new();
        let start = self.start.map(|c| self.shape.couplet(c));
        for root in start.into_iter().chain(self.graph.node_indices()) {
            self.close(root, &mut seen, &mut out);
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The same graph in which these leads lead nowhere.
    pub fn without(&self, leads: &[LeadId]) -> Graph {
        let mut cut = self.clone();
        let nodes: std::collections::BTreeSet<NodeIndex> =
            leads.iter().map(|l| self.shape.lead(*l)).collect();
        cut.graph.retain_edges(|g, e| {
            g.edge_endpoints(e).is_none_or(|(from, _)| !nodes.contains(&from))
        });
        cut.order = toposort(&cut.graph, None).ok();
        cut
    }

    // Depth first and without recursion. Every circle comes back once to a node on the search's
    // own route: what leads there closes it.
    fn close(&self, root: NodeIndex, seen: &mut [Seen], out: &mut Vec<LeadId>) {
        if seen[root.index()] != Seen::Not {
            return;
        }
        let next = |n: NodeIndex| {
            // In the order of the text: petgraph hands out the last edge first.
            let mut all: Vec<NodeIndex> = self.graph.neighbors(n).collect();
            all.sort_unstable_by(|a, b| b.cmp(a));
            all
        };
        let mut route = vec![(root, next(root))];
        seen[root.index()] = Seen::OnRoute;
        while let Some((at, open)) = route.last_mut() {
            let at = *at;
            let Some(to) = open.pop() else {
                seen[at.index()] = Seen::Done;
                route.pop();
                continue;
            };
            match seen[to.index()] {
                Seen::Done => {}
                Seen::Not => {
                    seen[to.index()] = Seen::OnRoute;
                    route.push((to, next(to)));
                }
                // A couplet cannot be parted from its lead: then it is what that lead leads to.
                Seen::OnRoute => match (self.shape.place_of(at), self.shape.place_of(to)) {
                    (Place::Lead(lead), _) | (_, Place::Lead(lead)) => out.push(lead),
                    (Place::Couplet(_), Place::Couplet(_)) => {}
                },
            }
        }
    }
}
