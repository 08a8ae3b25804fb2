//! Where an account speaks against the way to its own name.

use std::collections::{BTreeMap, BTreeSet};

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
    pub taxa: Vec<Contrary>,
}

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
    let mut found: BTreeMap<(LeadId, Option<(CharacterId, Span)>), Vec<Contrary>> = BTreeMap::new();
    for run in &courses.of {
        let lost: Vec<LeadId> =
            run.course.own.iter().copied().filter(|l| run.course.at(*l) <= 0.0).collect();
        let elsewhere = lost.len() < run.course.own.len();
        for end in lost {
            let mut told = denied(ground, run, &before, end);
            if told.is_empty() {
                told.extend(blocked(ground, run, end).into_iter().map(|l| (l, None, Vec::new())));
            }
            for (lead, demand, said) in told {
                let all = found.entry((lead, demand)).or_default();
                let taxon = run.course.taxon;
                match all.last_mut().filter(|c| c.taxon == taxon) {
                    Some(c) => c.ends.push(end),
                    None => all.push(Contrary { taxon, ends: vec![end], said, elsewhere }),
                }
            }
        }
    }
    let each = found.into_iter().map(|((lead, demand), taxa)| Against { lead, demand, taxa });
    each.collect()
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
fn blocked(ground: &Ground, run: &Run, end: LeadId) -> Vec<LeadId> {
    let home = super::courses::home(ground, &[end]);
    let mut out = BTreeSet::new();
    for couplet in &run.course.arrived {
        for index in 0..ground.key.couplet(*couplet).leads.len() as u16 {
            let lead = LeadId { couplet: *couplet, index };
            let towards = home.contains(ground.graph.position(Place::Lead(lead)));
            if towards && run.course.taken.get(&lead).copied().unwrap_or(0.0) <= 0.0 {
                out.insert(lead);
            }
        }
    }
    out.into_iter().collect()
}
