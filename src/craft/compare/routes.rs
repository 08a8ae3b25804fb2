//! Whose route changed: for each taxon the leads on all ways to its name, in both issues.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::key::couplet::Place;
use crate::key::graph::Reached;
use crate::key::{CoupletId, LeadId, Outcome, TaxonId};

use super::names::Names;
use super::pairs::Pairs;
use super::side::Side;

/// How a taxon's route differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Route {
    /// The same leads of the same couplets, of which some are reworded.
    Reworded,
    /// Another lead of a couplet, or other couplets.
    Changed,
    /// No way led to it, and one does now.
    Begun,
    /// A way led to it, and none does now.
    Ended,
}

/// A taxon whose route changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RouteChange {
    /// Its name in the old issue; of a new taxon that in the new.
    pub taxon: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new_name: Option<String>,
    pub route: Route,
    /// Couplets, in numbers of the old issue, at which it now goes another way, or which it does
    /// not pass any more; in the order of the old issue.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub at: Vec<String>,
    /// Couplets, in numbers of the new issue, that it did not pass before.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub through: Vec<String>,
    /// Couplets on its way that are reworded, in numbers of the old issue.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub reworded: Vec<String>,
}

pub(super) fn routes(a: &Side, b: &Side, pairs: &Pairs, names: &Names) -> Vec<RouteChange> {
    let (mut from, mut to) = (Ways::of(a), Ways::of(b));
    let reworded: Vec<bool> = a.couplet_ids().map(|c| is_reworded(a, b, pairs, c)).collect();
    let mut out = Vec::new();
    for old in a.key.taxon_ids() {
        let new = names.new_of(old);
        let way = from.to(old);
        let now = new.map(|n| to.to(n)).unwrap_or_default();
        if way.is_empty() && now.is_empty() {
            continue;
        }
        let route = match (way.is_empty(), now.is_empty()) {
            (true, _) => Some(Route::Begun),
            (_, true) => Some(Route::Ended),
            _ => None,
        };
        let mut change = RouteChange {
            taxon: a.key.taxon(old).name.clone(),
            new_name: new
                .map(|n| b.key.taxon(n).name.clone())
                .filter(|n| *n != a.key.taxon(old).name),
            route: route.unwrap_or(Route::Reworded),
            at: Vec::new(),
            through: Vec::new(),
            reworded: Vec::new(),
        };
        if route.is_none() {
            differ(a, b, pairs, &reworded, &way, &now, &mut change);
        }
        if route.is_some() || !change.reworded.is_empty() || change.route == Route::Changed {
            out.push(change);
        }
    }
    for new in b.key.taxon_ids().filter(|t| names.old_of(*t).is_none()) {
        if !to.to(new).is_empty() {
            out.push(RouteChange {
                taxon: b.key.taxon(new).name.clone(),
                new_name: None,
                route: Route::Begun,
                at: Vec::new(),
                through: Vec::new(),
                reworded: Vec::new(),
            });
        }
    }
    out
}

fn differ(
    a: &Side,
    b: &Side,
    pairs: &Pairs,
    reworded: &[bool],
    way: &BTreeSet<LeadId>,
    now: &BTreeSet<LeadId>,
    change: &mut RouteChange,
) {
    let mut at: BTreeSet<CoupletId> = BTreeSet::new();
    let mut through: BTreeSet<CoupletId> = BTreeSet::new();
    let mut kept: BTreeSet<LeadId> = BTreeSet::new();
    for lead in way {
        match pairs.lead(*lead).filter(|n| now.contains(n)) {
            Some(n) => drop(kept.insert(n)),
            None => drop(at.insert(lead.couplet)),
        }
    }
    for lead in now.difference(&kept) {
        match pairs.old_of(lead.couplet) {
            // Where it passed the couplet before, it takes another lead of it.
            Some(old) if way.iter().any(|l| l.couplet == old) => drop(at.insert(old)),
            _ => drop(through.insert(lead.couplet)),
        }
    }
    let on_way: BTreeSet<CoupletId> = way.iter().map(|l| l.couplet).collect();
    let told = on_way.iter().filter(|c| reworded[c.0 as usize] && !at.contains(c));
    change.reworded = told.map(|c| a.couplet_name(*c)).collect();
    if !at.is_empty() || !through.is_empty() {
        change.route = Route::Changed;
    }
    change.at = at.iter().map(|c| a.couplet_name(*c)).collect();
    change.through = through.iter().map(|c| b.couplet_name(*c)).collect();
}

fn is_reworded(a: &Side, b: &Side, pairs: &Pairs, old: CoupletId) -> bool {
    let Some(new) = pairs.couplet(old) else { return false };
    let (from, to) = (&a.leads[old.0 as usize], &b.leads[new.0 as usize]);
    let same = |lead: LeadId| {
        let other = pairs.lead(lead);
        other.is_some_and(|n| from[lead.index as usize] == to[n.index as usize])
    };
    from.len() != to.len() || !a.leads_of(old).all(same)
}

/// The ways of one issue.
struct Ways<'s, 'k> {
    side: &'s Side<'k>,
    reached: Reached,
    /// The leads that name each taxon.
    ends: Vec<Vec<LeadId>>,
    /// By position, the last search that came by.
    seen: Vec<u32>,
    search: u32,
}

impl<'s, 'k> Ways<'s, 'k> {
    fn of(side: &'s Side<'k>) -> Ways<'s, 'k> {
        let mut ends = vec![Vec::new(); side.key.taxa.len()];
        for (id, lead) in side.key.leads() {
            if let Outcome::Taxa(taxa) = &lead.outcome {
                taxa.iter().for_each(|t| ends[t.0 as usize].push(id));
            }
        }
        Ways {
            side,
            reached: side.graph.reach(side.graph.start().map(Place::Couplet)),
            ends,
            seen: vec![0; side.graph.positions()],
            search: 0,
        }
    }

    /// Every lead on a way from the beginning to a taxon's name.
    fn to(&mut self, taxon: TaxonId) -> BTreeSet<LeadId> {
        self.search += 1;
        let mut out = BTreeSet::new();
        let ends = self.ends[taxon.0 as usize].iter();
        let mut stack: Vec<Place> =
            ends.filter(|l| self.reached.lead(**l)).map(|l| Place::Lead(*l)).collect();
        while let Some(place) = stack.pop() {
            let seen = &mut self.seen[self.side.graph.position(place)];
            if std::mem::replace(seen, self.search) == self.search {
                continue;
            }
            match place {
                Place::Lead(lead) if !self.reached.lead(lead) => continue,
                Place::Couplet(couplet) if !self.reached.couplet(couplet) => continue,
                Place::Lead(lead) => drop(out.insert(lead)),
                Place::Couplet(_) => {}
            }
            stack.extend(self.side.graph.previous(place));
        }
        out
    }
}
