//! The graph of a key: which couplet leads where, what is reached, and which routes are circular.
//!
//! Every answer is found without recursion and in time that grows with the size of the key, so
//! that a key of a million couplets in one long chain is as safe as a short one. petgraph does the
//! work and stays inside: couplets and leads go in and come out by their own identities.

mod opened;

use std::sync::Arc;

use fixedbitset::FixedBitSet;
use petgraph::Direction;
use petgraph::algo::dominators::simple_fast;
use petgraph::algo::{kosaraju_scc, toposort};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::Dfs;

use super::couplet::{CoupletId, LeadId, Outcome, Place};
use super::model::Key;
use super::taxon::TaxonId;

/// The couplets and leads of one key file as a directed graph. A couplet leads to each of its
/// leads, a lead to the couplet, or to the one lead of another couplet, that its outcome names.
#[derive(Clone, Debug)]
pub struct Graph {
    graph: DiGraph<(), ()>,
    shape: Shape,
    start: Option<CoupletId>,
    /// Every node before what it leads to; `None` where a route is circular.
    order: Option<Vec<NodeIndex>>,
}

/// Which node stands for which couplet or lead: couplets first, then leads, in the order of the
/// text.
#[derive(Clone, Debug)]
struct Shape {
    /// For each couplet the number of leads before it; one entry more than there are couplets.
    before: Arc<[u32]>,
    /// The couplet of each lead.
    owner: Arc<[u32]>,
}

/// A route that comes back to where it began.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Circle {
    /// Where it begins and ends.
    pub at: Place,
    /// The leads taken, in order; the last one leads back to `at`.
    pub leads: Vec<LeadId>,
}

/// Couplets that a route does not get to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutOff {
    /// The couplet to which nothing leads.
    pub head: CoupletId,
    /// The head and the couplets behind it, in the order of the text; each stands in one group.
    pub couplets: Vec<CoupletId>,
}

/// A set of couplets and leads that can be reached.
#[derive(Clone, Debug)]
pub struct Reached {
    nodes: FixedBitSet,
    shape: Shape,
}

impl Graph {
    pub fn new(key: &Key) -> Graph {
        let couplets = key.couplets.len();
        let mut before = Vec::with_capacity(couplets + 1);
        let mut owner = Vec::new();
        for (i, couplet) in key.couplets.iter().enumerate() {
            before.push(owner.len() as u32);
            owner.resize(owner.len() + couplet.leads.len(), i as u32);
        }
        before.push(owner.len() as u32);
        let shape = Shape { before: before.into(), owner: owner.into() };

        let nodes = couplets + shape.owner.len();
        let mut graph = DiGraph::with_capacity(nodes, 2 * shape.owner.len());
        for _ in 0..nodes {
            graph.add_node(());
        }
        for (id, lead) in key.leads() {
            graph.add_edge(shape.couplet(id.couplet), shape.lead(id), ());
            if let Some(place) = target(key, &lead.outcome) {
                graph.add_edge(shape.lead(id), shape.place(place), ());
            }
        }
        let order = toposort(&graph, None).ok();
        let start = key.subkeys.first().and_then(|s| s.couplets.first()).copied();
        Graph { graph, shape, start, order }
    }

    /// The couplet at which a determination begins: the first of the file's first key.
    pub fn start(&self) -> Option<CoupletId> {
        self.start
    }

    /// Whether some route comes back to a couplet that it has already left.
    pub fn is_circular(&self) -> bool {
        self.order.is_none()
    }

    /// Everything that can be reached from any of `places`, themselves included.
    pub fn reach(&self, places: impl IntoIterator<Item = Place>) -> Reached {
        let mut dfs = Dfs::empty(&self.graph);
        for place in places {
            dfs.stack.push(self.shape.place(place));
            while dfs.next(&self.graph).is_some() {}
        }
        let mut nodes = FixedBitSet::with_capacity(self.graph.node_count());
        nodes.extend(dfs.discovered.ones());
        Reached { nodes, shape: self.shape.clone() }
    }

    /// The leads that point at the couplet itself or at one lead of it, in the order of the text.
    pub fn origins(&self, couplet: CoupletId) -> Vec<LeadId> {
        let mut found: Vec<LeadId> = self.pointing_at(self.shape.couplet(couplet)).collect();
        for lead in self.shape.leads(couplet) {
            found.extend(self.pointing_at(self.shape.lead(lead)));
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// The leads that point at the couplet as a whole, in no order, one after the other.
    pub fn pointers_to(&self, couplet: CoupletId) -> impl Iterator<Item = LeadId> + '_ {
        self.pointing_at(self.shape.couplet(couplet))
    }

    /// The leads that point at this one lead, past the others of its couplet.
    pub fn origins_of_lead(&self, lead: LeadId) -> Vec<LeadId> {
        let mut found: Vec<LeadId> = self.pointing_at(self.shape.lead(lead)).collect();
        found.sort_unstable();
        found
    }

    /// Every taxon that can still be the result after taking `lead`, in the order of their
    /// identities. Walks what lies behind the lead: linear in that.
    pub fn taxa_behind(&self, key: &Key, lead: LeadId) -> Vec<TaxonId> {
        self.taxa_of(key, &self.reach([Place::Lead(lead)]))
    }

    /// Every taxon named by a lead in `reached`.
    pub fn taxa_of(&self, key: &Key, reached: &Reached) -> Vec<TaxonId> {
        let mut seen = FixedBitSet::with_capacity(key.taxa.len());
        for lead in reached.leads() {
            if let Outcome::Taxa(taxa) = &key.lead(lead).outcome {
                seen.extend(taxa.iter().map(|t| t.0 as usize));
            }
        }
        seen.ones().map(|t| TaxonId(t as u32)).collect()
    }

    /// For each knot of circular routes one route: the shortest that leads from the knot's first
    /// couplet in the text back to it. In the order of the text.
    pub fn circles(&self) -> Vec<Circle> {
        if self.order.is_some() {
            return Vec::new();
        }
        let mut knot = vec![u32::MAX; self.graph.node_count()];
        let mut circles = Vec::new();
        for (i, mut nodes) in kosaraju_scc(&self.graph).into_iter().enumerate() {
            nodes.sort_unstable();
            for n in &nodes {
                knot[n.index()] = i as u32;
            }
            // A lead that points at itself is a knot of one.
            let Some(&first) = nodes.first() else { continue };
            if nodes.len() > 1 || self.graph.contains_edge(first, first) {
                circles.push((first, i as u32));
            }
        }
        circles.sort_unstable_by_key(|&(first, _)| self.shape.text_order(first));
        circles.into_iter().map(|(first, i)| self.shortest_circle(first, &knot, i)).collect()
    }

    /// The couplets outside `reached`, in groups, in the order of the text. Where a group only runs
    /// in a circle, so that no couplet of it stands before the others, its first one in the text
    /// is its head.
    pub fn cut_off(&self, reached: &Reached) -> Vec<CutOff> {
        let outside = |n: NodeIndex| !reached.nodes.contains(n.index());
        let mut dfs = Dfs::empty(&self.graph);
        dfs.discovered.extend(reached.nodes.ones());
        let all = (0..self.shape.couplets()).map(NodeIndex::new).filter(|&n| outside(n));
        let led_to = |n: NodeIndex| {
            self.graph.neighbors_directed(n, Direction::Incoming).any(outside)
                || self.shape.leads(couplet_of(n)).any(|l| {
                    let lead = self.shape.lead(l);
                    self.graph
                        .neighbors_directed(lead, Direction::Incoming)
                        .any(|from| from != n && outside(from))
                })
        };
        let mut groups = Vec::new();
        // What is left after the heads to which nothing leads runs in circles.
        for n in all.clone().filter(|&n| !led_to(n)).chain(all.clone()) {
            if dfs.discovered.contains(n.index()) {
                continue;
            }
            let mut couplets = Vec::new();
            dfs.stack.push(n);
            while let Some(found) = dfs.next(&self.graph) {
                if let Place::Couplet(c) = self.shape.place_of(found) {
                    couplets.push(c);
                }
            }
            couplets.sort_unstable();
            groups.push(CutOff { head: couplet_of(n), couplets });
        }
        groups.sort_unstable_by_key(|g| g.head);
        groups
    }

    /// The nodes in an order in which each stands before what it leads to; `None` where a route is
    /// circular. Couplets and leads by their places.
    pub fn forward(&self) -> Option<impl Iterator<Item = Place> + '_> {
        self.order.as_ref().map(|o| o.iter().map(|&n| self.shape.place_of(n)))
    }

    /// The position of a place among all couplets and leads, for tables kept beside the graph.
    pub fn position(&self, place: Place) -> usize {
        self.shape.place(place).index()
    }

    pub fn positions(&self) -> usize {
        self.graph.node_count()
    }

    /// Where a couplet or lead leads to in one step.
    pub fn next(&self, place: Place) -> impl Iterator<Item = Place> + '_ {
        self.graph.neighbors(self.shape.place(place)).map(|n| self.shape.place_of(n))
    }

    /// The couplet or leads that lead to a place in one step.
    pub fn previous(&self, place: Place) -> impl Iterator<Item = Place> + '_ {
        self.graph
            .neighbors_directed(self.shape.place(place), Direction::Incoming)
            .map(|n| self.shape.place_of(n))
    }

    /// For each place, by its position, the last place that every route from `start` to it passes
    /// before it; `None` for `start` itself and for what it does not reach.
    pub fn last_before(&self, start: Place) -> Vec<Option<Place>> {
        let dominators = simple_fast(&self.graph, self.shape.place(start));
        let before = |n| dominators.immediate_dominator(n).map(|d| self.shape.place_of(d));
        self.graph.node_indices().map(before).collect()
    }

    fn pointing_at(&self, node: NodeIndex) -> impl Iterator<Item = LeadId> + '_ {
        self.graph.neighbors_directed(node, Direction::Incoming).filter_map(|n| {
            match self.shape.place_of(n) {
                Place::Lead(lead) => Some(lead),
                Place::Couplet(_) => None,
            }
        })
    }

    // Breadth first from `first` within its knot, until an edge leads back.
    fn shortest_circle(&self, first: NodeIndex, knot: &[u32], own: u32) -> Circle {
        let mut came_from = std::collections::BTreeMap::new();
        let mut queue = std::collections::VecDeque::from([first]);
        let mut last = first;
        'search: while let Some(n) = queue.pop_front() {
            let mut next: Vec<_> = self.graph.neighbors(n).collect();
            next.sort_unstable();
            for m in next {
                if m == first {
                    last = n;
                    break 'search;
                }
                if knot[m.index()] == own && !came_from.contains_key(&m) {
                    came_from.insert(m, n);
                    queue.push_back(m);
                }
            }
        }
        let mut leads = Vec::new();
        let mut at = Some(last);
        while let Some(n) = at {
            if let Place::Lead(lead) = self.shape.place_of(n) {
                leads.push(lead);
            }
            at = if n == first { None } else { came_from.get(&n).copied() };
        }
        leads.reverse();
        Circle { at: self.shape.place_of(first), leads }
    }
}

/// Where an outcome leads within its own file: a key is entered at its first couplet.
pub fn target(key: &Key, outcome: &Outcome) -> Option<Place> {
    match outcome {
        Outcome::Couplet(c) => Some(Place::Couplet(*c)),
        Outcome::Lead(l) => Some(Place::Lead(*l)),
        Outcome::Subkey { at: Some(place), .. } => Some(*place),
        Outcome::Subkey { subkey, at: None } => {
            key.subkey(*subkey).couplets.first().map(|&c| Place::Couplet(c))
        }
        Outcome::Elsewhere { .. } | Outcome::Taxa(_) | Outcome::Stop(_) | Outcome::Nowhere => None,
    }
}

fn couplet_of(n: NodeIndex) -> CoupletId {
    CoupletId(n.index() as u32)
}

impl Shape {
    fn couplets(&self) -> usize {
        self.before.len() - 1
    }

    fn couplet(&self, id: CoupletId) -> NodeIndex {
        NodeIndex::new(id.0 as usize)
    }

    fn lead(&self, id: LeadId) -> NodeIndex {
        NodeIndex::new(self.couplets() + self.lead_number(id))
    }

    fn lead_number(&self, id: LeadId) -> usize {
        self.before[id.couplet.0 as usize] as usize + id.index as usize
    }

    fn place(&self, place: Place) -> NodeIndex {
        match place {
            Place::Couplet(c) => self.couplet(c),
            Place::Lead(l) => self.lead(l),
        }
    }

    fn place_of(&self, n: NodeIndex) -> Place {
        match n.index().checked_sub(self.couplets()) {
            None => Place::Couplet(CoupletId(n.index() as u32)),
            Some(number) => Place::Lead(self.lead_id(number)),
        }
    }

    fn lead_id(&self, number: usize) -> LeadId {
        let couplet = self.owner[number];
        let index = number as u32 - self.before[couplet as usize];
        LeadId { couplet: CoupletId(couplet), index: index as u16 }
    }

    fn leads(&self, couplet: CoupletId) -> impl Iterator<Item = LeadId> + use<> {
        let c = couplet.0 as usize;
        (0..self.before[c + 1] - self.before[c]).map(move |i| LeadId { couplet, index: i as u16 })
    }

    fn text_order(&self, n: NodeIndex) -> (CoupletId, Option<u16>) {
        match self.place_of(n) {
            Place::Couplet(c) => (c, None),
            Place::Lead(l) => (l.couplet, Some(l.index)),
        }
    }
}

impl Reached {
    pub fn couplet(&self, id: CoupletId) -> bool {
        self.nodes.contains(self.shape.couplet(id).index())
    }

    pub fn lead(&self, id: LeadId) -> bool {
        self.nodes.contains(self.shape.lead(id).index())
    }

    /// The couplet, or at least one lead of it.
    pub fn any_of(&self, id: CoupletId) -> bool {
        self.couplet(id) || self.shape.leads(id).any(|l| self.lead(l))
    }

    /// The couplets reached, in the order of the text.
    pub fn couplets(&self) -> impl Iterator<Item = CoupletId> + '_ {
        let all = self.shape.couplets();
        self.nodes.ones().take_while(move |&n| n < all).map(|n| CoupletId(n as u32))
    }

    /// The leads reached, in the order of the text.
    pub fn leads(&self) -> impl Iterator<Item = LeadId> + '_ {
        let all = self.shape.couplets();
        self.nodes.ones().skip_while(move |&n| n < all).map(move |n| self.shape.lead_id(n - all))
    }
}
