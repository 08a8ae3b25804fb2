//! What a plant can still be at every place of a key, from the statements on the way there.
//!
//! For each character the set of values left, carried along the leads and joined where routes
//! meet: it may hold too much, never too little, so that what it rules out is ruled out for
//! certain. Every couplet is looked at once, in an order in which it stands after all that lead to
//! it, and what holds at a couplet is given up as soon as its leads have taken it on.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::Ground;
use super::demand::{Demand, Demands};
use super::overlap::{self, Overlap};
use super::values::Values;
use crate::key::couplet::Place;
use crate::key::{CharacterId, CoupletId, LeadId};
use crate::text::span::Span;

/// The most places that are kept as the reason for what is left of a character.
const MOST_REASONS: usize = 4;

/// What the statements of the key alone prove of its leads.
#[derive(Debug, Default)]
pub struct Bounds {
    /// Statements that no plant can satisfy that arrives there, in the order of the text.
    pub clashes: Vec<Clash>,
    /// Leads that every plant satisfies that arrives there.
    pub certain: Vec<Certain>,
    /// Leads of one couplet that one plant can satisfy together.
    pub overlaps: Vec<Overlap>,
}

/// A statement of a lead that is ruled out where it stands.
#[derive(Clone, Debug)]
pub struct Clash {
    pub lead: LeadId,
    pub character: CharacterId,
    pub span: Span,
    /// The character is not stated: it is the condition of this one.
    pub implied_by: Option<CharacterId>,
    /// What is left of the character before the lead.
    pub left: Values,
    /// The statements that left no more, nearest first.
    pub reasons: Vec<(LeadId, Span)>,
}

/// A lead with nothing to decide.
#[derive(Clone, Debug)]
pub struct Certain {
    pub lead: LeadId,
    /// Earlier statements that settle it already; none where its states are all there are.
    pub reasons: Vec<(LeadId, Span)>,
}

/// What is left of a character.
#[derive(Debug)]
pub(super) struct Left {
    pub values: Values,
    reasons: Vec<(LeadId, Span)>,
}

/// What is left of the characters that were spoken of; of every other, everything.
pub(super) type Room = BTreeMap<CharacterId, Rc<Left>>;

impl Bounds {
    pub fn of(ground: &Ground) -> Bounds {
        let mut out = Bounds::default();
        let Some(order) = ground.graph.forward() else { return out };
        let mut waiting: BTreeMap<Place, Rc<Room>> = BTreeMap::new();
        for place in ground.reopened() {
            waiting.insert(*place, Rc::default());
        }
        for place in order {
            match place {
                Place::Couplet(id) => {
                    let room = waiting.remove(&place).unwrap_or_default();
                    overlap::find(ground, id, &room, &mut out.overlaps);
                    for index in 0..ground.key.couplet(id).leads.len() as u16 {
                        let lead = LeadId { couplet: id, index };
                        out.judge(ground, lead, &room);
                        // What leads nowhere further need not wait.
                        if ground.target(lead).is_some() {
                            arrive(&mut waiting, Place::Lead(lead), &room);
                        }
                    }
                }
                Place::Lead(lead) => {
                    let room = waiting.remove(&place).unwrap_or_default();
                    if let Some(to) = ground.target(lead) {
                        let taken = taken(ground.demands(lead), lead, &room);
                        arrive(&mut waiting, to, &Rc::new(taken));
                    }
                }
            }
        }
        out.clashes.sort_by_key(|c| (c.lead, c.span, c.character));
        out.certain.sort_by_key(|c| c.lead);
        out.overlaps.sort_by_key(|o| (o.couplet, o.first, o.second));
        out
    }

    fn judge(&mut self, ground: &Ground, lead: LeadId, room: &Room) {
        let demands = ground.demands(lead);
        let before = self.clashes.len();
        for demand in &demands.of {
            let Some(left) = room.get(&demand.character) else { continue };
            if !left.values.overlaps(&demand.values) {
                self.clashes.push(Clash {
                    lead,
                    character: demand.character,
                    span: demand.span,
                    implied_by: demand.implied_by,
                    left: left.values.clone(),
                    reasons: left.reasons.clone(),
                });
            }
        }
        let possible = self.clashes.len() == before && demands.clashes.is_empty();
        let settled = |d: &Demand| match room.get(&d.character) {
            Some(left) => left.values.is_subset(&d.values),
            None => Values::everything(ground.key.character(d.character)).is_subset(&d.values),
        };
        if possible && demands.whole && !demands.of.is_empty() && demands.of.iter().all(settled) {
            let mut reasons = Vec::new();
            for d in demands.of.iter().filter(|d| d.implied_by.is_none()) {
                reasons.extend(room.get(&d.character).iter().flat_map(|l| &l.reasons).copied());
            }
            reasons.sort_unstable();
            reasons.dedup();
            self.certain.push(Certain { lead, reasons });
        }
    }
}

/// What is left after a lead was taken. A demand that was ruled out before is believed from here
/// on, so that one slip is told once.
fn taken(demands: &Demands, lead: LeadId, room: &Room) -> Room {
    let mut out = room.clone();
    for d in &demands.of {
        let fresh = |values: Values| Rc::new(Left { values, reasons: vec![(lead, d.span)] });
        let next = match out.get(&d.character) {
            None => fresh(d.values.clone()),
            Some(old) => {
                let both = old.values.meet(&d.values);
                if both.is_empty() {
                    fresh(d.values.clone())
                } else if both == old.values {
                    continue;
                } else {
                    let mut reasons = vec![(lead, d.span)];
                    // What follows from one statement needs no other as its reason.
                    if both != d.values {
                        reasons.extend(old.reasons.iter().take(MOST_REASONS - 1));
                    }
                    Rc::new(Left { values: both, reasons })
                }
            }
        };
        out.insert(d.character, next);
    }
    out
}

fn arrive(waiting: &mut BTreeMap<Place, Rc<Room>>, place: Place, room: &Rc<Room>) {
    match waiting.get_mut(&place) {
        None => {
            waiting.insert(place, Rc::clone(room));
        }
        Some(old) => {
            let joined = join(old, room);
            *old = Rc::new(joined);
        }
    }
}

// A character on which one of the routes does not speak is open again.
fn join(a: &Room, b: &Room) -> Room {
    let both = |(character, one): (&CharacterId, &Rc<Left>)| {
        let other = b.get(character)?;
        if Rc::ptr_eq(one, other) {
            return Some((*character, Rc::clone(one)));
        }
        let mut reasons = one.reasons.clone();
        reasons.extend(&other.reasons);
        reasons.sort_unstable_by(|x, y| y.cmp(x));
        reasons.dedup();
        reasons.truncate(MOST_REASONS);
        let left = Left { values: one.values.join(&other.values), reasons };
        Some((*character, Rc::new(left)))
    };
    a.iter().filter_map(both).collect()
}

impl Bounds {
    /// Whether the statements alone rule a lead out.
    pub fn is_ruled_out(&self, lead: LeadId) -> bool {
        self.clashes.binary_search_by_key(&lead, |c| c.lead).is_ok()
    }

    /// Whether a couplet has a lead that every plant satisfies that arrives there.
    pub fn decides_nothing(&self, couplet: CoupletId) -> bool {
        self.certain.iter().any(|c| c.lead.couplet == couplet)
    }
}
