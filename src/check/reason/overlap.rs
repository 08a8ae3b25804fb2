//! Leads of one couplet that one plant can satisfy together, and the values that do it.

use super::Ground;
use super::bounds::Room;
use super::values::Values;
use crate::key::{CharacterId, CoupletId, LeadId};
use crate::text::span::Span;

/// In a couplet with more leads than this, each is only held against its neighbours.
const FEW: usize = 24;

/// Two leads of a couplet that share values.
#[derive(Clone, Debug)]
pub struct Overlap {
    pub couplet: CoupletId,
    pub first: u16,
    pub second: u16,
    /// Both leads were read whole.
    pub whole: bool,
    /// A character that parts the leads all the same.
    pub parted_by: Option<CharacterId>,
    pub shared: Vec<Shared>,
}

/// A character of which both leads speak and whose values they share.
#[derive(Clone, Debug)]
pub struct Shared {
    pub character: CharacterId,
    pub degree: Degree,
    /// The values that satisfy both.
    pub values: Values,
    pub first: Span,
    pub second: Span,
}

/// How far two leads share the values of a character.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Degree {
    /// One number that stands at the end of both ranges.
    Touch,
    /// Only rare states or the extremes of a measure.
    Extremes,
    Usual,
}

impl Overlap {
    /// The character on which the leads differ most.
    pub fn degree(&self) -> Degree {
        self.shared.iter().map(|s| s.degree).min().unwrap_or(Degree::Usual)
    }
}

pub(super) fn find(ground: &Ground, couplet: CoupletId, room: &Room, out: &mut Vec<Overlap>) {
    let leads = ground.key.couplet(couplet).leads.len();
    for i in 0..leads {
        let reach = if leads <= FEW { leads } else { (i + 2).min(leads) };
        for j in i + 1..reach {
            out.extend(between(ground, couplet, room, i as u16, j as u16));
        }
    }
}

fn between(
    ground: &Ground,
    couplet: CoupletId,
    room: &Room,
    first: u16,
    second: u16,
) -> Option<Overlap> {
    let one = ground.demands(LeadId { couplet, index: first });
    let other = ground.demands(LeadId { couplet, index: second });
    let mut parted_by = None;
    let mut shared = Vec::new();
    let mut same = Vec::new();
    for a in &one.of {
        let Some(b) = other.get(a.character) else { continue };
        let left = |v: Values| match room.get(&a.character) {
            Some(l) => v.meet(&l.values),
            None => v,
        };
        let arriving = left(a.values.meet(&b.values));
        if arriving.is_empty() {
            parted_by = parted_by.or(Some(a.character));
            continue;
        }
        if a.implied_by.is_some() || b.implied_by.is_some() {
            continue;
        }
        let character = ground.key.character(a.character);
        let usual = left(a.usual.meet(&b.usual));
        let (degree, values) = if usual.is_empty() {
            (Degree::Extremes, arriving)
        } else if usual.is_point(character)
            && !(a.usual.is_point(character) || b.usual.is_point(character))
        {
            (Degree::Touch, usual)
        } else {
            (Degree::Usual, usual)
        };
        let (first, second) = (a.span, b.span);
        shared.push(Shared { character: a.character, degree, values, first, second });
        same.push(a.values == b.values);
    }
    if parted_by.is_some() {
        // A measure beside the character that parts them is still worth a look, unless both leads
        // only repeat it.
        let mut same = same.into_iter();
        shared.retain(|s| !same.next().unwrap_or(false) && s.values.is_number());
    }
    let whole = one.whole && other.whole;
    (!shared.is_empty()).then_some(Overlap { couplet, first, second, whole, parted_by, shared })
}
