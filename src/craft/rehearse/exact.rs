//! The shares of readers at every end, worked out by carrying them through the graph.
//!
//! Forms of a character are only kept apart while a later couplet asks for it again; of every
//! other character the shares of its forms are all that matters.

use std::collections::BTreeMap;

use super::desk::{Desk, chosen, look, pointing, regions};
use super::{Case, Ends, Readers};
use crate::check::reason::Ground;
use crate::check::reason::course::Showing;
use crate::check::reason::forms::{Cell, What, divide};
use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CharacterId, CoupletId, LeadId};

/// Beyond so many groups of readers of one taxon, or kinds of plants at one couplet, readers are
/// drawn instead.
const MOST_GROUPS: usize = 100_000;
const MOST_KINDS: usize = 512;

type Mark = (Vec<(CharacterId, Vec<What>)>, bool);
type Waiting = BTreeMap<(u32, CoupletId, Option<u16>), BTreeMap<Mark, (Showing, f64)>>;

/// `None` where there are too many kinds of plants to be kept apart, or no way begins.
pub fn ends(ground: &Ground, readers: &Readers, case: &Case) -> Option<Ends> {
    let mut out = Ends::default();
    let mut waiting: Waiting = BTreeMap::new();
    let start = Place::Couplet(ground.graph.start()?);
    wait(ground, &mut waiting, start, (Vec::new(), true), 1.0);
    let mut groups = 0;
    // For a couplet the same desk serves every group on the way, and every group off it.
    while let Some(((_, couplet, only), here)) = waiting.pop_first() {
        groups += here.len();
        if groups > MOST_GROUPS {
            return None;
        }
        let mut desks: [Option<Desk>; 2] = [None, None];
        for ((_, on_the_way), (restricted, share)) in here {
            if let Some(index) = only {
                // A pointer to one lead asks nothing.
                take(
                    ground,
                    case,
                    LeadId { couplet, index },
                    (restricted, on_the_way),
                    share,
                    &mut waiting,
                    &mut out,
                );
                continue;
            }
            if on_the_way {
                *out.arrived.entry(couplet).or_default() += share;
            }
            let desk = desks[usize::from(on_the_way)]
                .get_or_insert_with(|| Desk::of(ground, readers, case, couplet, on_the_way));
            if !desk.answerable && !readers.guess {
                *out.gave_up.entry(couplet).or_default() += share;
                if on_the_way {
                    *out.lost.entry(couplet).or_default() += share;
                }
                continue;
            }
            let before = (restricted, on_the_way, share);
            answer(ground, readers, case, desk, couplet, before, &mut waiting, &mut out)?;
        }
    }
    Some(out)
}

#[allow(clippy::too_many_arguments)]
fn answer(
    ground: &Ground,
    readers: &Readers,
    case: &Case,
    desk: &Desk,
    couplet: CoupletId,
    (restricted, on_the_way, share): (Showing, bool, f64),
    waiting: &mut Waiting,
    out: &mut Ends,
) -> Option<()> {
    let leads = desk.demands.len();
    let lead = |index: usize| LeadId { couplet, index: index as u16 };
    let later = |c: CharacterId| {
        (0..leads).any(|i| {
            target(ground.key, &ground.key.lead(lead(i)).outcome)
                .is_some_and(|place| ground.is_live(place, c))
        })
    };
    // What is asked again later is kept apart; the rest is one look.
    let mut looks = Vec::new();
    let mut kinds: Vec<(Showing, f64)> = vec![(Vec::new(), 1.0)];
    for &c in &desk.looks {
        let left = restricted.iter().find(|(r, _)| *r == c).map(|(_, cells)| cells.as_slice());
        let Some(cells) = left.or_else(|| case.run.forms.get(c).map(|s| s.cells.as_slice())) else {
            looks.push(pointing(&desk.right, readers.rate(c)));
            continue;
        };
        let pieces = cut(desk, c, cells);
        if !later(c) {
            looks.push(look(ground, readers, c, &desk.demands, &pieces));
            continue;
        }
        if kinds.len() * pieces.len() > MOST_KINDS {
            return None;
        }
        let each = |(showing, share): &(Showing, f64)| {
            let showing = showing.clone();
            let share = *share;
            pieces
                .iter()
                .map(move |piece| {
                    let mut showing = showing.clone();
                    showing.push((c, vec![Cell { share: 1.0, ..piece.clone() }]));
                    (showing, share * piece.share)
                })
                .collect::<Vec<_>>()
        };
        kinds = kinds.iter().flat_map(each).collect();
    }
    if desk.prose {
        looks.push(pointing(&desk.right, readers.misreading));
    }
    for (showing, kind) in kinds {
        let mut all = looks.clone();
        for (c, cells) in &showing {
            all.push(look(ground, readers, *c, &desk.demands, cells));
        }
        for (i, chance) in chosen(leads, &all).into_iter().enumerate() {
            if chance <= 0.0 {
                continue;
            }
            let mut next = restricted.clone();
            next.retain(|(c, _)| showing.iter().all(|(s, _)| s != c));
            next.extend(showing.iter().cloned());
            next.sort_by_key(|(c, _)| *c);
            let share = share * kind * chance;
            let is_home = case.home.contains(ground.graph.position(Place::Lead(lead(i))));
            if on_the_way && !is_home {
                *out.lost.entry(couplet).or_default() += share;
            }
            take(ground, case, lead(i), (next, on_the_way && is_home), share, waiting, out);
        }
    }
    Some(())
}

fn cut(desk: &Desk, c: CharacterId, cells: &[Cell]) -> Vec<Cell> {
    let mut out = Vec::new();
    for cell in cells {
        let What::Range(range) = &cell.what else {
            out.push(cell.clone());
            continue;
        };
        let pieces = regions(c, &desk.demands, *range);
        for (piece, share) in pieces.iter().zip(divide(range, &pieces)) {
            if share > 0.0 {
                let what = What::Range(*piece);
                out.push(Cell { what, share: cell.share * share, ..*cell });
            }
        }
    }
    out
}

fn take(
    ground: &Ground,
    case: &Case,
    lead: LeadId,
    (restricted, on_the_way): (Showing, bool),
    share: f64,
    waiting: &mut Waiting,
    out: &mut Ends,
) {
    let is_home = case.home.contains(ground.graph.position(Place::Lead(lead)));
    match target(ground.key, &ground.key.lead(lead).outcome) {
        Some(place) => wait(ground, waiting, place, (restricted, on_the_way && is_home), share),
        None => *out.leads.entry(lead).or_default() += share,
    }
}

fn wait(
    ground: &Ground,
    waiting: &mut Waiting,
    place: Place,
    (mut restricted, on_the_way): (Showing, bool),
    share: f64,
) {
    let (couplet, only) = match place {
        Place::Couplet(c) => (c, None),
        Place::Lead(l) => (l.couplet, Some(l.index)),
    };
    restricted.retain(|(c, _)| ground.is_live(place, *c));
    let of = |(c, cells): &(CharacterId, Vec<Cell>)| {
        (*c, cells.iter().map(|cell| cell.what.clone()).collect())
    };
    let mark = (restricted.iter().map(of).collect(), on_the_way);
    let here = waiting.entry((ground.rank(place), couplet, only)).or_default();
    here.entry(mark).or_insert_with(|| (restricted, 0.0)).1 += share;
}
