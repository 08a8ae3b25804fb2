//! One couplet before a reader: what each look can speak for, and which lead is taken then.

use std::collections::BTreeMap;

use super::{Case, Readers};
use crate::check::reason::Ground;
use crate::check::reason::demand::Demands;
use crate::check::reason::forms::{Cell, What};
use crate::check::reason::values::Values;
use crate::key::{Character, CharacterId, CoupletId, Kind, LeadId, StateId};
use crate::sift::cut::{Cut, Interval};
use crate::sift::meta::Meta;

/// For each lead whether a look speaks for it, against it, or not at all.
pub type Speaks = Vec<i8>;

/// A couplet as a reader has it before him.
pub struct Desk<'g> {
    pub demands: Vec<&'g Demands>,
    /// The characters that he can look at.
    pub looks: Vec<CharacterId>,
    /// Something left as prose can be looked at.
    pub prose: bool,
    /// The leads that prose and silence speak for when they are read right, with their shares.
    pub right: Vec<f64>,
    /// Something that can be looked at parts the leads.
    pub answerable: bool,
}

impl<'g> Desk<'g> {
    pub fn of(
        ground: &'g Ground,
        readers: &Readers,
        case: &Case,
        couplet: CoupletId,
        on_the_way: bool,
    ) -> Desk<'g> {
        let leads: Vec<LeadId> = (0..ground.key.couplet(couplet).leads.len() as u16)
            .map(|index| LeadId { couplet, index })
            .collect();
        let demands: Vec<&Demands> = leads.iter().map(|l| ground.demands(*l)).collect();
        let stated = |c: &CharacterId| {
            let of = |d: &&Demands| d.get(*c).is_some_and(|d| d.implied_by.is_none());
            !case.hidden.contains(c) && demands.iter().any(of)
        };
        let looks: Vec<CharacterId> =
            ground.asked(couplet).iter().copied().filter(stated).collect();
        let shows =
            |l: &LeadId| readers.specimens.shows_prose(ground.key, *l, case.run.course.taxon);
        let prose = demands.iter().any(|d| !d.whole) && leads.iter().any(shows);
        let parts = |c: &CharacterId| {
            let all: Vec<Speaks> = possible(ground.key.character(*c), *c, &demands);
            all.iter().any(|s| s.iter().any(|x| *x != s[0]))
        };
        let answerable = prose || looks.iter().any(parts);
        let right = right(ground, case, &leads, on_the_way);
        Desk { demands, looks, prose, right, answerable }
    }
}

// What the plant really takes: by its account, else any lead towards its name, else any.
fn right(ground: &Ground, case: &Case, leads: &[LeadId], on_the_way: bool) -> Vec<f64> {
    let of = |f: &dyn Fn(&LeadId) -> f64| -> Option<Vec<f64>> {
        let all: Vec<f64> = leads.iter().map(f).collect();
        let sum: f64 = all.iter().sum();
        (sum > 0.0).then(|| all.iter().map(|s| s / sum).collect())
    };
    let is_home = |l: &LeadId| {
        let at = ground.graph.position(crate::key::couplet::Place::Lead(*l));
        f64::from(u8::from(case.home.contains(at)))
    };
    let taken = |l: &LeadId| case.way.takes(*l);
    let on_it = on_the_way.then(|| of(&taken).or_else(|| of(&is_home))).flatten();
    on_it.or_else(|| of(&|_| 1.0)).unwrap_or_default()
}

/// How a value speaks for the leads.
pub fn speaks(
    character: CharacterId,
    demands: &[&Demands],
    fits: impl Fn(&Values) -> bool,
) -> Speaks {
    let of = |d: &&Demands| match d.get(character) {
        None => 0,
        Some(d) if fits(&d.values) => 1,
        Some(_) => -1,
    };
    demands.iter().map(of).collect()
}

pub fn of_state(character: CharacterId, demands: &[&Demands], state: StateId) -> Speaks {
    speaks(character, demands, |v| matches!(v, Values::States(set) if set.contains(state)))
}

pub fn of_range(character: CharacterId, demands: &[&Demands], range: &Interval) -> Speaks {
    speaks(
        character,
        demands,
        |v| matches!(v, Values::Numbers(set) if set.iter().any(|i| !i.meet(range).is_void())),
    )
}

/// Every way in which a look at a character can speak.
pub fn possible(character: &Character, id: CharacterId, demands: &[&Demands]) -> Vec<Speaks> {
    match character.kind {
        Kind::States { .. } => {
            let all = 0..character.declared() as u16;
            all.map(|s| of_state(id, demands, StateId(s))).collect()
        }
        _ => regions(id, demands, Interval::EVERYTHING)
            .iter()
            .map(|r| of_range(id, demands, r))
            .collect(),
    }
}

/// A range cut wherever a demand begins or ends.
pub fn regions(id: CharacterId, demands: &[&Demands], range: Interval) -> Vec<Interval> {
    let mut cuts: Vec<Cut> = vec![range.low, range.high];
    for demand in demands.iter().filter_map(|d| d.get(id)) {
        if let Values::Numbers(set) = &demand.values {
            let ends = set.iter().flat_map(|i| [i.low, i.high]);
            cuts.extend(ends.filter(|c| range.low < *c && *c < range.high));
        }
    }
    cuts.sort_unstable();
    cuts.dedup();
    cuts.windows(2).map(|w| Interval { low: w[0], high: w[1] }).collect()
}

/// Numbers that a misreading can come to instead: those that fit some lead, each way of speaking
/// once.
pub fn other_numbers(id: CharacterId, demands: &[&Demands], truth: &Speaks) -> Vec<Speaks> {
    let mut out: Vec<Speaks> = Vec::new();
    for region in regions(id, demands, Interval::EVERYTHING) {
        let speaks = of_range(id, demands, &region);
        if speaks.contains(&1) && speaks != *truth && !out.contains(&speaks) {
            out.push(speaks);
        }
    }
    out
}

/// States that a misreading can come to instead of `state`.
pub fn other_states(character: &Character, state: StateId) -> Vec<StateId> {
    let all = character.declared() as u16;
    let ordered = matches!(character.kind, Kind::States { ordered: true, .. });
    let near = |s: &u16| *s != state.0 && (!ordered || s.abs_diff(state.0) == 1);
    (0..all).filter(near).map(StateId).collect()
}

/// What one look at plants of these cells can say, with its chances. The shares of the cells sum
/// to one; ranges are cut already.
pub fn look(
    ground: &Ground,
    readers: &Readers,
    id: CharacterId,
    demands: &[&Demands],
    cells: &[Cell],
) -> BTreeMap<Speaks, f64> {
    let character = ground.key.character(id);
    let rate = readers.rate(id);
    let meta = Meta::of(character);
    let described = ground.key.heading.described;
    let mut out: BTreeMap<Speaks, f64> = BTreeMap::new();
    let mut add = |speaks: Speaks, share: f64| {
        if share > 0.0 {
            *out.entry(speaks).or_default() += share;
        }
    };
    for cell in cells {
        match &cell.what {
            What::OneOf(states) => {
                let each = cell.share / states.len().max(1) as f64;
                for state in states.iter().map(|s| StateId(*s)) {
                    let mut seen = meta.seen_as(state, described, readers.specimens.condition);
                    if seen.is_empty() {
                        seen.insert(state);
                    }
                    let others = other_states(character, state);
                    let missed = if others.is_empty() { 0.0 } else { rate };
                    for s in seen.iter() {
                        let share = each * (1.0 - missed) / seen.len() as f64;
                        add(of_state(id, demands, s), share);
                    }
                    for s in &others {
                        add(of_state(id, demands, *s), each * missed / others.len() as f64);
                    }
                }
            }
            What::Range(range) => {
                let truth = of_range(id, demands, range);
                let others = other_numbers(id, demands, &truth);
                let missed = if others.is_empty() { 0.0 } else { rate };
                for s in &others {
                    add(s.clone(), cell.share * missed / others.len() as f64);
                }
                add(truth, cell.share * (1.0 - missed));
            }
        }
    }
    out
}

/// What prose, or a character of which the account is silent, says: it points at one lead.
pub fn pointing(right: &[f64], rate: f64) -> BTreeMap<Speaks, f64> {
    let n = right.len();
    let mut out = BTreeMap::new();
    // The index names the taxon in several lists at once.
    #[allow(clippy::needless_range_loop)]
    for i in 0..n {
        let others = (n - 1).max(1) as f64;
        let missed = if n > 1 { rate } else { 0.0 };
        let share = right[i] * (1.0 - missed) + (1.0 - right[i]) * missed / others;
        if share > 0.0 {
            let speaks: Speaks = (0..n).map(|j| i8::from(i == j)).collect();
            *out.entry(speaks).or_default() += share;
        }
    }
    out
}

/// The share of readers that takes each lead, from what each look can say.
pub fn chosen(leads: usize, looks: &[BTreeMap<Speaks, f64>]) -> Vec<f64> {
    let mut scores: BTreeMap<Vec<i8>, f64> = BTreeMap::from([(vec![0; leads], 1.0)]);
    for look in looks {
        let mut next: BTreeMap<Vec<i8>, f64> = BTreeMap::new();
        for (score, share) in &scores {
            for (speaks, chance) in look {
                let sum = score.iter().zip(speaks).map(|(a, b)| a.saturating_add(*b)).collect();
                *next.entry(sum).or_default() += share * chance;
            }
        }
        scores = next;
    }
    let mut out = vec![0.0; leads];
    for (score, share) in scores {
        let level = level(&score);
        for i in &level {
            out[*i] += share / level.len() as f64;
        }
    }
    out
}

/// The leads with the highest score.
pub fn level(score: &[i8]) -> Vec<usize> {
    let best = score.iter().max().copied().unwrap_or(0);
    (0..score.len()).filter(|i| score[*i] == best).collect()
}
