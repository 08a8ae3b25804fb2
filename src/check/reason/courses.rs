//! Every taxon of a key run through it from its account.

use std::collections::BTreeSet;

use fixedbitset::FixedBitSet;
use rayon::prelude::*;

use super::Ground;
use super::course::{Course, Traveller, Way};
use super::forms::Forms;
use crate::check::watch::Watch;
use crate::key::couplet::{Outcome, Place};
use crate::key::{Key, LeadId, TaxonId};

/// The taxa whose accounts were read, and where they go.
#[derive(Debug, Default)]
pub struct Courses {
    /// In the order of the taxa.
    pub of: Vec<Run>,
    /// Taxa with a place in the key of which no account was read: trusted to go where their name
    /// stands. Nothing is asked of them, so that their courses are not followed.
    pub silent: Vec<Run>,
    /// Where other files enter the key.
    entered: Vec<Place>,
    /// Where what no route gets to begins.
    heads: Vec<Place>,
    /// Not every taxon was run: the work was broken off.
    pub cut_short: bool,
}

/// A taxon's forms and its course.
#[derive(Debug)]
pub struct Run {
    pub forms: Forms,
    pub course: Course,
    /// No route gets to its name: it set out behind the fault that cuts it off.
    pub cut_off: bool,
}

/// Beyond so many couplets to which nothing leads, what lies behind them is not followed.
const MOST_HEADS: usize = 64;

impl Courses {
    /// `heads` are the couplets to which nothing leads: from there the taxa are run that cannot
    /// be reached, so that one lost pointer does not hide what is wrong behind it.
    pub fn of(
        ground: &Ground,
        reached: impl Fn(LeadId) -> bool,
        entered: &[Place],
        heads: &[Place],
        watch: &Watch,
    ) -> Courses {
        let heads = if heads.len() > MOST_HEADS { &[] } else { heads };
        // Beyond a lead that closes a circle nothing is followed.
        let followed = (!ground.closing().is_empty()).then(|| {
            let start = ground.graph.start().map(Place::Couplet);
            ground.graph.reach(start.into_iter().chain(entered.iter().chain(heads).copied()))
        });
        let followed = |lead| followed.as_ref().is_none_or(|f| f.lead(lead));
        let places = places(ground.key);
        let mut set_out = Vec::new();
        for (taxon, by_group, own) in keyed(ground.key, &places) {
            let all = own.iter().copied().filter(|l| followed(*l));
            let mut own: Vec<LeadId> = all.clone().filter(|l| reached(*l)).collect();
            let cut_off = own.is_empty() && !heads.is_empty();
            if cut_off {
                own = all.collect();
            }
            if own.is_empty() {
                continue;
            }
            set_out.push((taxon, by_group, own, cut_off));
        }
        watch.begin("running every taxon through the key", set_out.len());
        let runs: Vec<Option<Run>> = set_out
            .par_iter()
            .map(|(taxon, by_group, own, cut_off)| {
                if watch.stopped() {
                    return None;
                }
                let forms = Forms::of(ground.key, *taxon);
                let course = Course::new(*taxon, own.clone(), *by_group);
                let mut run = Run { forms, course, cut_off: *cut_off };
                if !run.forms.is_empty() {
                    let starts = if *cut_off { heads } else { entered };
                    run.course = travel(ground, &run, starts, None);
                }
                watch.step();
                Some(run)
            })
            .collect();
        let cut_short = runs.iter().any(Option::is_none);
        let (silent, of): (Vec<Run>, Vec<Run>) =
            runs.into_iter().flatten().partition(|r| r.forms.is_empty());
        let silent = silent.into_iter().filter(|r| !r.cut_off).collect();
        Courses { of, silent, entered: entered.to_vec(), heads: heads.to_vec(), cut_short }
    }

    pub fn get(&self, taxon: TaxonId) -> Option<&Run> {
        self.of.binary_search_by_key(&taxon, |r| r.course.taxon).ok().map(|i| &self.of[i])
    }

    /// Those whose accounts were read and the silent ones, in the order of the taxa; without those
    /// to which no route gets.
    pub fn all(&self) -> Vec<&Run> {
        let mut runs: Vec<&Run> =
            self.of.iter().chain(&self.silent).filter(|r| !r.cut_off).collect();
        runs.sort_by_key(|r| r.course.taxon);
        runs
    }

    /// The way of a taxon to its name, found anew: it takes as long as running it did.
    pub fn way(&self, ground: &Ground, run: &Run) -> Way {
        let mut way = Way::default();
        let starts = if run.cut_off { &self.heads } else { &self.entered };
        travel(ground, run, starts, Some(&mut way));
        way
    }
}

// The course of a taxon; and its way, where that is wanted.
fn travel(ground: &Ground, run: &Run, entered: &[Place], way: Option<&mut Way>) -> Course {
    let old = &run.course;
    let home = home(ground, &old.own);
    let is_home = |p: &Place| home.contains(ground.graph.position(*p));
    // Where only another file leads to its name, it sets out there.
    let start = ground.graph.start().map(Place::Couplet).filter(is_home);
    let starts: Vec<Place> = match start {
        Some(start) => vec![start],
        None => entered.iter().copied().filter(is_home).collect(),
    };
    let course = Course::new(old.taxon, old.own.clone(), old.by_group);
    let (forms, left_out) = (&run.forms, BTreeSet::new());
    Traveller { ground, forms, starts: &starts, course, home, way, left_out }.travel()
}

/// The places from which one of `ends` can be reached, by position.
pub fn home(ground: &Ground, ends: &[LeadId]) -> FixedBitSet {
    let mut home = FixedBitSet::with_capacity(ground.graph.positions());
    let mut open: Vec<Place> = ends.iter().map(|l| Place::Lead(*l)).collect();
    while let Some(place) = open.pop() {
        if !home.put(ground.graph.position(place)) {
            open.extend(ground.graph.previous(place));
        }
    }
    home
}

/// For each taxon the leads that name it, in the order of the text.
pub fn places(key: &Key) -> Vec<Vec<LeadId>> {
    let mut out = vec![Vec::new(); key.taxa.len()];
    for (id, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            for t in taxa {
                let own: &mut Vec<LeadId> = &mut out[t.0 as usize];
                if own.last() != Some(&id) {
                    own.push(id);
                }
            }
        }
    }
    out
}

/// The taxa that have a place in the key: named by a lead, or with an account and below a group
/// that a lead names. With each the group, where it is that, and the leads.
pub fn keyed<'p>(
    key: &'p Key,
    places: &'p [Vec<LeadId>],
) -> impl Iterator<Item = (TaxonId, Option<TaxonId>, &'p [LeadId])> {
    let mut has_members = vec![false; key.taxa.len()];
    key.taxa.iter().filter_map(|t| t.above).for_each(|t| has_members[t.0 as usize] = true);
    key.taxon_ids().filter_map(move |id| {
        let own = &places[id.0 as usize];
        if !own.is_empty() {
            return Some((id, None, own.as_slice()));
        }
        let taxon = key.taxon(id);
        if !taxon.has_account || has_members[id.0 as usize] {
            return None;
        }
        let mut above = taxon.above;
        for _ in 0..key.taxa.len() {
            let group = above?;
            let own = &places[group.0 as usize];
            if !own.is_empty() {
                return Some((id, Some(group), own.as_slice()));
            }
            above = key.taxon(group).above;
        }
        None
    })
}
