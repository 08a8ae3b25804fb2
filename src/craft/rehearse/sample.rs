//! Readers drawn one by one, where the shares cannot be worked out.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use super::desk::{Desk, Speaks, level, of_range, of_state, other_numbers, other_states};
use super::{Case, Ends, Readers};
use crate::check::reason::Ground;
use crate::check::reason::forms::{Cell, What};
use crate::check::reason::values::is_count;
use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CharacterId, CoupletId, LeadId, StateId};
use crate::sift::cut::{Cut, Interval};
use crate::sift::meta::Meta;

/// Steele, Lea and Flood 2014, splitmix64: small, and the same on every machine.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    // From 0 up to, not including, 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> usize {
        ((self.share() * n as f64) as usize).min(n.saturating_sub(1))
    }

    // An index by weights that sum to one.
    fn weighed(&mut self, weights: impl Iterator<Item = f64>) -> usize {
        let mut left = self.share();
        let mut last = 0;
        for (i, w) in weights.enumerate() {
            if w > 0.0 {
                last = i;
                if left < w {
                    return i;
                }
                left -= w;
            }
        }
        last
    }
}

/// What one plant shows of a character.
enum Shows {
    OneOf(Vec<u16>),
    Number(Interval),
}

/// Draws readers of one taxon.
pub fn ends(ground: &Ground, readers: &Readers, case: &Case) -> Ends {
    // Each taxon has numbers of its own, whatever order they are drawn in.
    let mut dice =
        Dice(readers.seed ^ u64::from(case.run.course.taxon.0).wrapping_mul(0x9E37_79B9));
    let mut out = Ends { drawn: Some(readers.drawn), ..Ends::default() };
    let share = 1.0 / readers.drawn.max(1) as f64;
    let mut desks: BTreeMap<(CoupletId, bool), Desk> = BTreeMap::new();
    for _ in 0..readers.drawn {
        let plant = plant(ground, case, &mut dice);
        let Some(mut at) = ground.graph.start().map(Place::Couplet) else { break };
        let mut on_the_way = true;
        // A key whose routes are not circular ends before that.
        for _ in 0..=ground.graph.positions() {
            let couplet = match at {
                Place::Couplet(c) => c,
                Place::Lead(l) => l.couplet,
            };
            let lead = match at {
                Place::Lead(lead) => lead,
                Place::Couplet(_) => {
                    if on_the_way {
                        *out.arrived.entry(couplet).or_default() += share;
                    }
                    let desk = desks
                        .entry((couplet, on_the_way))
                        .or_insert_with(|| Desk::of(ground, readers, case, couplet, on_the_way));
                    if !desk.answerable && !readers.guess {
                        *out.gave_up.entry(couplet).or_default() += share;
                        if on_the_way {
                            *out.lost.entry(couplet).or_default() += share;
                        }
                        break;
                    }
                    let index = answer(ground, readers, desk, &plant, &mut dice) as u16;
                    LeadId { couplet, index }
                }
            };
            let is_home = case.home.contains(ground.graph.position(Place::Lead(lead)));
            if on_the_way && !is_home {
                *out.lost.entry(couplet).or_default() += share;
            }
            on_the_way &= is_home;
            match target(ground.key, &ground.key.lead(lead).outcome) {
                Some(place) => at = place,
                None => {
                    *out.leads.entry(lead).or_default() += share;
                    break;
                }
            }
        }
    }
    out
}

fn plant(ground: &Ground, case: &Case, dice: &mut Dice) -> BTreeMap<CharacterId, Shows> {
    let drawn = |(c, shown): (CharacterId, &crate::check::reason::forms::Shown)| {
        let cell: &Cell = &shown.cells[dice.weighed(shown.cells.iter().map(|c| c.share))];
        let shows = match &cell.what {
            What::OneOf(states) => Shows::OneOf(states.clone()),
            What::Range(range) => {
                let count = is_count(ground.key.character(c));
                Shows::Number(number(range, count, dice.share()))
            }
        };
        (c, shows)
    };
    case.run.forms.iter().map(drawn).collect()
}

// The value below which a share of the range lies.
fn number(range: &Interval, count: bool, share: f64) -> Interval {
    let at = |cut: Cut| cut.value().and_then(|v| v.to_f64());
    let low = at(range.low).unwrap_or(0.0);
    let value = match at(range.high) {
        Some(high) => low + share * (high - low),
        None => (1.0 + low) / (1.0 - share) - 1.0,
    };
    let value = if count { value.floor() } else { value };
    let value = Decimal::from_f64(value).unwrap_or_default();
    if count {
        let next = value.checked_add(Decimal::ONE).unwrap_or(value);
        Interval { low: Cut::before(value), high: Cut::before(next) }
    } else {
        Interval { low: Cut::before(value), high: Cut::after(value) }
    }
}

fn answer(
    ground: &Ground,
    readers: &Readers,
    desk: &Desk,
    plant: &BTreeMap<CharacterId, Shows>,
    dice: &mut Dice,
) -> usize {
    let mut score = vec![0_i8; desk.demands.len()];
    let mut hear = |speaks: Speaks| {
        score.iter_mut().zip(speaks).for_each(|(s, x)| *s = s.saturating_add(x));
    };
    for &c in &desk.looks {
        hear(match plant.get(&c) {
            None => pointed(desk, readers.rate(c), dice),
            Some(shows) => seen(ground, readers, desk, c, shows, dice),
        });
    }
    if desk.prose {
        hear(pointed(desk, readers.misreading, dice));
    }
    let level = level(&score);
    level[dice.below(level.len())]
}

fn seen(
    ground: &Ground,
    readers: &Readers,
    desk: &Desk,
    c: CharacterId,
    shows: &Shows,
    dice: &mut Dice,
) -> Speaks {
    let character = ground.key.character(c);
    let misread = dice.share() < readers.rate(c);
    match shows {
        Shows::OneOf(states) => {
            let state = StateId(states.get(dice.below(states.len())).copied().unwrap_or(0));
            let others = other_states(character, state);
            if misread && !others.is_empty() {
                return of_state(c, &desk.demands, others[dice.below(others.len())]);
            }
            let described = ground.key.heading.described;
            let looks = Meta::of(character).seen_as(state, described, readers.specimens.condition);
            let looks: Vec<StateId> = looks.iter().collect();
            let seen = looks.get(dice.below(looks.len())).copied().unwrap_or(state);
            of_state(c, &desk.demands, seen)
        }
        Shows::Number(value) => {
            let truth = of_range(c, &desk.demands, value);
            let others = other_numbers(c, &desk.demands, &truth);
            if misread && !others.is_empty() {
                return others[dice.below(others.len())].clone();
            }
            truth
        }
    }
}

fn pointed(desk: &Desk, rate: f64, dice: &mut Dice) -> Speaks {
    let n = desk.right.len();
    let mut at = dice.weighed(desk.right.iter().copied());
    if n > 1 && dice.share() < rate {
        at = (at + 1 + dice.below(n - 1)) % n;
    }
    (0..n).map(|i| i8::from(i == at)).collect()
}
