//! Where an account speaks against the way to its own name.

use std::collections::BTreeMap;

use super::Ground;
use super::courses::{Courses, Run};
use crate::key::couplet::Place;
use crate::key::{CharacterId, LeadId, TaxonId};
use crate::text::span::Span;

/// A lead on the way to a name that its account speaks against.
#[derive(Clone, Debug)]
pub struct Against {
    pub lead: LeadId,
    /// The demand that the account denies; `None` where no single one does, but what is left of
    /// the taxon's forms after the leads before it.
    pub demand: Option<(CharacterId, Span)>,
    /// Every one that reaches another of its places; of the others the first [`MOST`].
    pub taxa: Vec<Contrary>,
    /// How many of the others there are besides.
    pub more: usize,
}

/// So many accounts against a lead are kept: what is wrong shows in them, and every account could
/// speak against every lead.
pub const MOST: usize = 6;

/// One of the taxa whose accounts speak against a lead.
#[derive(Clone, Debug)]
pub struct Contrary {
    pub taxon: TaxonId,
    /// The places of the taxon that it cannot reach this way.
    pub ends: Vec<LeadId>,
    /// Its account, where it says so.
    pub said: Vec<Span>,
    /// It reaches another of its places.
    pub elsewhere: bool,
}

/// Every lead that the accounts behind it speak against, in the order of the text.
pub fn against(ground: &Ground, courses: &Courses) -> Vec<Against> {
    let Some(start) = ground.graph.start() else { return Vec::new() };
    let before = ground.graph.last_before(Place::Couplet(start));
    let mut found: BTreeMap<(LeadId, Option<(CharacterId, Span)>), (Vec<Contrary>, Others)> =
        BTreeMap::new();
    // Whose plants go round in a circle is not known to miss its name.
    for run in courses.of.iter().filter(|r| r.course.round <= 0.0) {
        let lost: Vec<LeadId> =
            run.course.own.iter().copied().filter(|l| run.course.at(*l) <= 0.0).collect();
        let elsewhere = lost.len() < run.course.own.len();
        for end in lost {
            let mut told = denied(ground, run, &before, end);
            if told.is_empty() {
                told.extend(
                    blocked(ground, courses, run, end).into_iter().map(|l| (l, None, Vec::new())),
                );
            }
            for (lead, demand, said) in told {
                let (all, others) = found.entry((lead, demand)).or_default();
                let taxon = run.course.taxon;
                match all.last_mut().filter(|c| c.taxon == taxon) {
                    Some(c) => c.ends.push(end),
                    None if elsewhere || others.add(taxon) => {
                        all.push(Contrary { taxon, ends: vec![end], said, elsewhere });
                    }
                    None => {}
                }
            }
        }
    }
    let each = found.into_iter().map(|((lead, demand), (taxa, others))| {
        let more = others.count.saturating_sub(MOST);
        Against { lead, demand, taxa, more }
    });
    each.collect()
}

// Those that reach no other place, counted.
#[derive(Default)]
struct Others {
    count: usize,
    last: Option<TaxonId>,
}

impl Others {
    // Whether there is still room for this one.
    fn add(&mut self, taxon: TaxonId) -> bool {
        if self.last.replace(taxon) != Some(taxon) {
            self.count += 1;
        }
        self.count <= MOST
    }
}

type Denied = (LeadId, Option<(CharacterId, Span)>, Vec<Span>);

// Demands that no form of the account satisfies, on leads that every route to the place takes.
fn denied(ground: &Ground, run: &Run, before: &[Option<Place>], end: LeadId) -> Vec<Denied> {
    let mut out = Vec::new();
    let mut next = Some(Place::Lead(end));
    while let Some(place) = next {
        if let Place::Lead(lead) = place {
            for demand in &ground.demands(lead).of {
                let Some(shown) = run.forms.get(demand.character) else { continue };
                if !shown.may_be(&demand.values) {
                    let at = (demand.character, demand.span);
                    out.push((lead, Some(at), shown.spans.clone()));
                }
            }
        }
        next = before[ground.graph.position(place)];
    }
    out
}

// Leads towards the place at couplets to which the taxon comes, and that none of it takes.
fn blocked(ground: &Ground, courses: &Courses, run: &Run, end: LeadId) -> Vec<LeadId> {
    let home = super::courses::home(ground, &[end]);
    let way = courses.way(ground, run);
    let mut out = Vec::new();
    for &couplet in &way.arrived {
        for index in 0..ground.key.couplet(couplet).leads.len() as u16 {
            let lead = LeadId { couplet, index };
            let towards = home.contains(ground.graph.position(Place::Lead(lead)));
            if towards && way.takes(lead) <= 0.0 {
                out.push(lead);
            }
        }
    }
    out
}
