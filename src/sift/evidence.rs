//! How probable an observation is for each taxon, and for a plant that is none of them.

use rust_decimal::prelude::ToPrimitive;

use super::account::Known;
use super::bits::Bits;
use super::cut::{Cut, Interval};
use super::meta::{Factors, Gap};
use super::numbers::Numbers;
use super::observation::{Doubt, Observation};
use super::query::{Query, Silent};
use super::recurring::Recurring;
use super::table::{Body, Column, Table};
use crate::key::statement::StateSet;
use crate::key::{ConditionId, StateId};

/// The share of readings that are wrong: 79 % of characters were identified correctly by 484
/// people (Wäldchen, Wittich, Rzanny, Fritz & Mäder 2022, People and Nature 4: 1603-1615).
pub const MISREADING: f64 = 0.21;

/// What is left of a reading's credit under doubt, our choice: a quarter of it is lost under some
/// doubt, half under much.
const DOUBT_SOME: f64 = 0.25;
const DOUBT_MUCH: f64 = 0.5;

/// No observation is less probable for any taxon than this share of what it is for a plant outside
/// the key, so that no single one excludes a name for good. (Entries between 0.01 and 0.99 served
/// the same end in Willcox et al. 1973, by report.)
pub const FLOOR: f64 = 1e-4;

/// The share of plants beyond the usual range, on each side where extremes are written: our
/// choice.
const BEYOND_USUAL: f64 = 0.05;

/// What one observation says: how probable it is for each row and for a plant outside the key.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The natural logarithm of its probability for each row.
    pub logs: Vec<f64>,
    /// Its probability for a plant outside the key.
    pub none: f64,
}

/// The misreading rate of an observation, raised by doubt.
pub fn misreading(rate: f64, doubt: Doubt) -> f64 {
    let lost = match doubt {
        Doubt::Sure => 0.0,
        Doubt::Some => DOUBT_SOME,
        Doubt::Much => DOUBT_MUCH,
    };
    let rate = rate.clamp(0.0, 1.0);
    rate + (1.0 - rate) * lost
}

/// Weighs one observation; `rate` is the misreading rate before doubt. `None` where it says
/// nothing of any taxon.
pub fn evidence(table: &Table, observation: &Observation, rate: f64) -> Option<Evidence> {
    let column = table.columns.get(observation.character.0 as usize)?;
    let error = misreading(rate, observation.doubt);
    let (rows, none) = match (Query::of(table, observation), &column.body) {
        (Query::Silent(Silent::CannotTell | Silent::NotHere | Silent::CannotBeSeen), _)
        | (Query::Silent(Silent::NoSuchValue), _) => return None,
        (Query::Lacks, _) => (lacks(table, column, error), 0.5),
        (Query::States(_), Body::States { fits, uneven }) => {
            let seen = match &observation.seen {
                super::Seen::States(seen) => seen,
                _ => return None,
            };
            let read = Readings::new(table, column, seen, observation.condition, error);
            (states(table, column, fits, uneven, &read), read.flat)
        }
        (Query::Numbers { readings, factors }, Body::Numbers(numbers)) => {
            measured(table, column, numbers, &readings, &factors, error)
        }
        _ => return None,
    };
    let least = none * FLOOR;
    let mut ln = Recurring::new(f64::ln);
    Some(Evidence { logs: rows.into_iter().map(|p| ln.at(p.max(least))).collect(), none })
}

fn lacks(table: &Table, column: &Column, error: f64) -> Vec<f64> {
    let error = error.min(0.5);
    let one = |row| match (column.is_lacking(row), column.may_lack(row)) {
        (true, _) => 1.0 - error,
        (false, true) => 0.5,
        (false, false) => error,
    };
    (0..table.rows()).map(one).collect()
}

/// The probability of what was seen, given each state of an account.
struct Readings {
    of_state: Vec<f64>,
    /// For a plant of which nothing is known: any visible state is as likely as another.
    flat: f64,
    error: f64,
}

impl Readings {
    fn new(
        table: &Table,
        column: &Column,
        seen: &StateSet,
        condition: ConditionId,
        error: f64,
    ) -> Readings {
        let meta = &column.meta;
        let visible = if condition == table.described {
            // What accounts described in this condition may name.
            let mut all = meta.visible(condition);
            all.extend(&meta.visible(ConditionId::FRESH));
            all
        } else {
            meta.visible(condition)
        };
        let n = visible.len().max(1) as f64;
        let hit = seen.meet(&visible).len().max(1) as f64;
        // A misreading falls on any of the other states alike; more misreading than guessing would
        // give says nothing.
        let error = error.min((n - 1.0) / n);
        let other = if n > 1.0 { error / (n - 1.0) } else { 0.0 };
        let of_look = |look: StateId| {
            let right = f64::from(u8::from(seen.contains(look)));
            right * (1.0 - error) + (hit - right) * other
        };
        let mean = |values: &mut dyn Iterator<Item = f64>| {
            let (sum, count) = values.fold((0.0, 0.0), |(s, c), v| (s + v, c + 1.0));
            if count > 0.0 { sum / count } else { hit / n }
        };
        let of_state = (0..meta.states() as u16)
            .map(StateId)
            .map(|s| {
                if condition == table.described {
                    return of_look(s);
                }
                let fresh = meta.fresh(s, table.described);
                mean(
                    &mut fresh
                        .iter()
                        .map(|f| mean(&mut meta.looks_like(condition, f).iter().map(of_look))),
                )
            })
            .collect();
        Readings { of_state, flat: hit / n, error }
    }
}

fn states(
    table: &Table,
    column: &Column,
    fits: &[Bits],
    uneven: &[(u32, Box<[(StateId, f64)]>)],
    read: &Readings,
) -> Vec<f64> {
    let mut sums = vec![0.0; table.rows()];
    let mut shown = vec![0u32; table.rows()];
    for (state, bits) in fits.iter().enumerate() {
        for (index, (word, known)) in bits.words().iter().zip(column.known.words()).enumerate() {
            for bit in super::bits::Ones(word & known) {
                let row = index * 64 + bit;
                sums[row] += read.of_state[state];
                shown[row] += 1;
            }
        }
    }
    for (row, (sum, n)) in sums.iter_mut().zip(&shown).enumerate() {
        *sum = match *n {
            0 if column.is_known(row) => read.error * read.flat,
            0 => read.flat,
            n => *sum / f64::from(n),
        };
    }
    for (row, shares) in uneven {
        let of = |(s, share): &(StateId, f64)| share * read.of_state[s.0 as usize];
        sums[*row as usize] = shares.iter().map(of).sum();
    }
    sums
}

/// The line of numbers that a measure is spread over: from its lowest to its highest limit in any
/// account, and a quarter of that beyond either end, but not below zero.
#[derive(Clone, Debug)]
struct Line {
    low: f64,
    high: f64,
    is_count: bool,
}

impl Line {
    fn of(numbers: &Numbers, shares: (f64, f64), is_count: bool) -> Line {
        let finite: Vec<f64> =
            numbers.cuts().iter().filter_map(|c| c.value()).filter_map(|v| v.to_f64()).collect();
        let low = finite.first().copied().unwrap_or(0.0) * shares.0;
        let high = finite.last().copied().unwrap_or(1.0) * shares.1;
        let beyond = ((high - low) / 4.0).max(high.abs() / 4.0).max(f64::MIN_POSITIVE);
        let floor = if low >= 0.0 { 0.0 } else { f64::NEG_INFINITY };
        let half = if is_count { 0.5 } else { 0.0 };
        Line { low: (low - beyond).max(floor) - half, high: high + beyond + half, is_count }
    }

    fn width(&self) -> f64 {
        self.high - self.low
    }

    /// An interval's ends on the line; a whole number takes the room of one.
    fn ends(&self, interval: &Interval, shares: (f64, f64)) -> (f64, f64) {
        let half = if self.is_count { 0.5 } else { 0.0 };
        let at = |cut: Cut, share: f64| cut.value().and_then(|v| v.to_f64()).map(|v| v * share);
        let low = at(interval.low, shares.0).map_or(self.low, |v| v - half);
        let high = at(interval.high, shares.1).map_or(self.high, |v| v + half);
        (low, high.max(low))
    }
}

fn measured(
    table: &Table,
    column: &Column,
    numbers: &Numbers,
    readings: &[Vec<Interval>],
    factors: &Factors,
    error: f64,
) -> (Vec<f64>, f64) {
    let (low, high) = factors.shares();
    let shares = (low.to_f64().unwrap_or(1.0), high.to_f64().unwrap_or(1.0));
    let is_count = column.meta.gap == Gap::Count;
    let own;
    let Spread { line, least, rows } = if shares == (1.0, 1.0) && table.rows() <= MOST_SPREAD {
        column.spread.get_or_init(|| Spread::of(table, column, numbers, shares, is_count))
    } else {
        own = Spread::of(table, column, numbers, shares, is_count);
        &own
    };
    let seen: Vec<Vec<(f64, f64)>> = readings
        .iter()
        .map(|any| {
            let ends = any.iter().map(|i| line.ends(i, (1.0, 1.0)));
            ends.map(
                |(a, b)| if b - a < 1e-12 { (a - *least / 2.0, a + *least / 2.0) } else { (a, b) },
            )
            .collect()
        })
        .collect();
    let width = |any: &[(f64, f64)]| any.iter().map(|(a, b)| b - a).sum::<f64>();
    let seen: Vec<(Vec<(f64, f64)>, f64)> = seen
        .into_iter()
        .map(|any| {
            let flat = (width(&any) / line.width()).clamp(1e-9, 1.0);
            (any, flat)
        })
        .collect();
    let (mut ln, mut exp) = (Recurring::new(f64::ln), Recurring::new(f64::exp));
    // Readings of one specimen are no independent witnesses: together they count as one.
    let mut mean = |each: &dyn Fn(&[(f64, f64)], f64) -> f64| {
        let sum: f64 = seen.iter().map(|(any, flat)| ln.at(each(any, *flat).max(1e-300))).sum();
        exp.at(sum / seen.len().max(1) as f64)
    };
    let flat = mean(&|_, flat| flat);
    let row = |row: &Plants| match row {
        Plants::Unknown => flat,
        Plants::Spread(parts) => mean(&|any, flat| (1.0 - error) * mass(parts, any) + error * flat),
        Plants::Lacking => error * flat,
    };
    (rows.iter().map(row).collect(), flat)
}

/// A measure of all taxa spread over its line. It is the same for every observation under one
/// correction, and to work it out takes longer than to weigh one.
#[derive(Clone, Debug)]
pub(super) struct Spread {
    line: Line,
    /// A value without width, as a ratio said in words, takes a hundredth of the line.
    least: f64,
    rows: Vec<Plants>,
}

/// Of more taxa it is not kept: it would take more room than the table itself.
const MOST_SPREAD: usize = 20_000;

#[derive(Clone, Debug)]
enum Plants {
    Unknown,
    Lacking,
    Spread(Box<[Part]>),
}

impl Spread {
    fn of(
        table: &Table,
        column: &Column,
        numbers: &Numbers,
        shares: (f64, f64),
        is_count: bool,
    ) -> Spread {
        let line = Line::of(numbers, shares, is_count);
        let least = line.width() / 100.0;
        let row = |row: usize| match column.known(row) {
            None => Plants::Unknown,
            Some(Known::Numbers(reaches)) => Plants::Spread(
                reaches.iter().flat_map(|r| spread(r, &line, shares, least)).collect(),
            ),
            Some(_) => Plants::Lacking,
        };
        let rows = (0..table.rows()).map(row).collect();
        Spread { line, least, rows }
    }
}

/// A stretch of the line with its share of a taxon's plants.
#[derive(Clone, Debug)]
struct Part {
    low: f64,
    high: f64,
    share: f64,
}

/// One alternative spread over the line: evenly over its usual range, a little beyond it as far as
/// the extremes.
fn spread(reach: &super::about::Reach, line: &Line, shares: (f64, f64), least: f64) -> Vec<Part> {
    let (mut low, mut high) = line.ends(&reach.usual, shares);
    let (bottom, top) = line.ends(&reach.extreme, shares);
    if high - low < least {
        let middle = (low + high) / 2.0;
        (low, high) = (middle - least / 2.0, middle + least / 2.0);
    }
    let under = if bottom < low { BEYOND_USUAL } else { 0.0 };
    let over = if top > high { BEYOND_USUAL } else { 0.0 };
    let mut parts = vec![Part { low, high, share: reach.share * (1.0 - under - over) }];
    if under > 0.0 {
        parts.push(Part { low: bottom, high: low, share: reach.share * under });
    }
    if over > 0.0 {
        parts.push(Part { low: high, high: top, share: reach.share * over });
    }
    parts
}

/// The share of a taxon's plants that lies in one of the intervals.
fn mass(parts: &[Part], any: &[(f64, f64)]) -> f64 {
    let of = |p: &Part, (a, b): &(f64, f64)| {
        // Most lie wholly beside each other, and a division takes long.
        let both = b.min(p.high) - a.max(p.low);
        if both <= 0.0 { 0.0 } else { (both / (p.high - p.low)).clamp(0.0, 1.0) * p.share }
    };
    parts.iter().flat_map(|p| any.iter().map(move |i| of(p, i))).sum::<f64>().min(1.0)
}
