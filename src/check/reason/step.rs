//! The plants of a taxon at one couplet: which of its leads fit which of them.

use super::Ground;
use super::forms::{Cell, Forms, What, divide};
use super::intervals::Intervals;
use super::values::Values;
use crate::key::{CharacterId, CoupletId, LeadId, StateId};
use crate::sift::cut::{Cut, Interval};

/// Beyond so many kinds of plants at one couplet, a further character is not split any more.
const MOST_KINDS: usize = 4096;

/// Nor where kinds times leads are more than this, in couplets with very many leads.
const MOST_FITS: usize = 1 << 20;

/// How a lead fits plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// A statement rules it out.
    No,
    /// Nothing rules it out, but not all of it could be held against the account.
    Open,
    /// Every statement fits, and all of them were read.
    Yes,
}

/// Plants of a taxon that fare alike at a couplet.
#[derive(Clone, Debug)]
pub struct Kind {
    /// For each lead.
    pub fits: Vec<Fit>,
    /// Their share of the plants that arrived; all kinds sum to one.
    pub share: f64,
    /// What sets them apart from the others, by character.
    pub showing: Vec<(CharacterId, Vec<Cell>)>,
}

/// All kinds of plants at one couplet.
pub struct Kinds {
    pub all: Vec<Kind>,
    /// Some character was not split, for there were too many kinds.
    pub cut_short: bool,
}

/// Divides the plants that arrive at a couplet. `restricted` are the characters of which only some
/// of the taxon's forms are left; of the others all of its account holds.
pub fn kinds(
    ground: &Ground,
    forms: &Forms,
    couplet: CoupletId,
    only: Option<u16>,
    restricted: &[(CharacterId, Vec<Cell>)],
) -> Kinds {
    let leads: Vec<LeadId> = match only {
        Some(index) => vec![LeadId { couplet, index }],
        None => (0..ground.key.couplet(couplet).leads.len() as u16)
            .map(|index| LeadId { couplet, index })
            .collect(),
    };
    let begin = |l: &LeadId| if ground.demands(*l).whole { Fit::Yes } else { Fit::Open };
    let mut out = Kinds {
        all: vec![Kind { fits: leads.iter().map(begin).collect(), share: 1.0, showing: vec![] }],
        cut_short: false,
    };
    for &character in ground.asked(couplet) {
        let wanted: Vec<Option<&Values>> =
            leads.iter().map(|l| ground.demands(*l).get(character).map(|d| &d.values)).collect();
        if wanted.iter().all(Option::is_none) {
            continue;
        }
        let left = restricted.iter().find(|(c, _)| *c == character).map(|(_, cells)| cells);
        let Some(cells) = left.or_else(|| forms.get(character).map(|s| &s.cells)) else {
            for kind in &mut out.all {
                for (fit, w) in kind.fits.iter_mut().zip(&wanted) {
                    if w.is_some() {
                        *fit = (*fit).min(Fit::Open);
                    }
                }
            }
            continue;
        };
        let (mut groups, cut_short) = groups(cells, &wanted);
        out.cut_short |= cut_short;
        let kinds = out.all.len() * groups.len();
        if kinds > MOST_KINDS || (groups.len() > 1 && kinds * leads.len() > MOST_FITS) {
            out.cut_short = true;
            groups = vec![whole(groups)];
        }
        out.all = combined(&out.all, character, &groups);
    }
    out
}

struct Group {
    fits: Vec<Fit>,
    share: f64,
    cells: Vec<Cell>,
}

fn combined(before: &[Kind], character: CharacterId, groups: &[Group]) -> Vec<Kind> {
    let mut out = Vec::with_capacity(before.len() * groups.len());
    for kind in before {
        for group in groups {
            let fits = kind.fits.iter().zip(&group.fits).map(|(a, b)| *a.min(b)).collect();
            let mut showing = kind.showing.clone();
            if groups.len() > 1 {
                showing.push((character, group.cells.clone()));
            }
            out.push(Kind { fits, share: kind.share * group.share, showing });
        }
    }
    out
}

// The cells of a character, cut where a lead's demand ends, and grouped by what fits them; and
// whether a range had to be left whole.
fn groups(cells: &[Cell], wanted: &[Option<&Values>]) -> (Vec<Group>, bool) {
    let mut groups: Vec<Group> = Vec::new();
    let mut cut_short = false;
    let mut add = |fits: Vec<Fit>, cell: Cell| match groups.iter_mut().find(|g| g.fits == fits) {
        Some(g) => {
            g.share += cell.share;
            g.cells.push(cell);
        }
        None => groups.push(Group { fits, share: cell.share, cells: vec![cell] }),
    };
    for cell in cells {
        match &cell.what {
            What::OneOf(states) => {
                let fits = wanted.iter().map(|w| w.map_or(Fit::Yes, |w| of_states(states, w)));
                add(fits.collect(), cell.clone());
            }
            What::Range(range) => {
                let pieces = pieces(*range, wanted);
                if pieces.len() > 1 && pieces.len() * wanted.len() > MOST_FITS {
                    let open = |w: &Values| of_range(range, w).min(Fit::Open);
                    cut_short = true;
                    add(wanted.iter().map(|w| w.map_or(Fit::Yes, open)).collect(), cell.clone());
                    continue;
                }
                for (piece, share) in pieces.iter().zip(divide(range, &pieces)) {
                    if share <= 0.0 {
                        continue;
                    }
                    let fits = wanted.iter().map(|w| w.map_or(Fit::Yes, |w| of_range(piece, w)));
                    let what = What::Range(*piece);
                    add(fits.collect(), Cell { what, share: cell.share * share, ..*cell });
                }
            }
        }
    }
    (groups, cut_short)
}

// All of them as one, at their best: what cannot be told apart is not ruled out.
fn whole(groups: Vec<Group>) -> Group {
    let mut all = Group { fits: Vec::new(), share: 1.0, cells: Vec::new() };
    for g in groups {
        if all.fits.is_empty() {
            all.fits.clone_from(&g.fits);
        }
        for (a, b) in all.fits.iter_mut().zip(&g.fits) {
            if a != b {
                *a = Fit::Open;
            }
        }
        all.cells.extend(g.cells);
    }
    all
}

fn of_states(states: &[u16], wanted: &Values) -> Fit {
    let Values::States(set) = wanted else { return Fit::Open };
    let held = states.iter().filter(|s| set.contains(StateId(**s))).count();
    match held {
        0 => Fit::No,
        n if n == states.len() => Fit::Yes,
        _ => Fit::Open,
    }
}

fn of_range(piece: &Interval, wanted: &Values) -> Fit {
    let Values::Numbers(set) = wanted else { return Fit::Open };
    if set.iter().any(|i| !i.meet(piece).is_void()) { Fit::Yes } else { Fit::No }
}

// A range cut at every end of the demands.
fn pieces(range: Interval, wanted: &[Option<&Values>]) -> Vec<Interval> {
    let mut cuts = vec![range.low, range.high];
    for set in wanted.iter().flatten() {
        if let Values::Numbers(set) = set {
            cuts.extend(ends(set).filter(|c| range.low < *c && *c < range.high));
        }
    }
    cuts.sort_unstable();
    cuts.dedup();
    cuts.windows(2).map(|w| Interval { low: w[0], high: w[1] }).collect()
}

fn ends(set: &Intervals) -> impl Iterator<Item = Cut> + '_ {
    set.iter().flat_map(|i| [i.low, i.high])
}
