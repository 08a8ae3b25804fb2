//! The engine's rules a second time, the plain way: no sets of bits, no compiling, straight from
//! what the key says. Written from FORMAT.md, "What a value means" and the reading rules 11 to 15.

use std::collections::BTreeSet;

use hilum::key::character::Reading as Look;
use hilum::key::couplet::{Outcome, Place};
use hilum::key::statement::{Statement, Value};
use hilum::key::{Character, CharacterId, ConditionId, Key, Kind, LeadId, StateId, TaxonId};
use hilum::sift::cut::{Cut, Interval};
use hilum::sift::{Observation, Seen};
use hilum::text::amount::{Amount, Extent, Limit};
use rust_decimal::Decimal;

/// What a taxon may show of a character.
#[derive(Clone, Debug, PartialEq)]
pub enum May {
    Anything,
    States(BTreeSet<u16>),
    /// Outermost limits of each alternative.
    Ranges(Vec<(End, End)>),
    Nothing,
}

/// An end of a range; `None` is without end. The flag says that the value itself is outside.
pub type End = Option<(Decimal, bool)>;

pub struct Naive<'k> {
    pub key: &'k Key,
}

/// Nearness of what is said: 0 own account, then inherited, then the leads.
const LEADS: usize = 1000;

impl Naive<'_> {
    /// What is stated of a taxon, and how near.
    fn stated(&self, taxon: TaxonId, c: CharacterId) -> Option<(May, usize)> {
        let mut at = Some(taxon);
        let mut level = 0;
        while let Some(t) = at {
            let here: Vec<&Statement> =
                self.key.taxon(t).own_statements().filter(|s| s.character == c).collect();
            if !here.is_empty() {
                let all: Vec<May> = here.iter().map(|s| self.value(c, &s.value)).collect();
                return Some((union(&all), level));
            }
            at = self.key.taxon(t).above;
            level += 1;
            if level > 50 {
                break;
            }
        }
        self.leads(taxon, c).map(|m| (m, LEADS))
    }

    /// What stands at the taxon: stated, or implied by something that is.
    fn stands(&self, taxon: TaxonId, c: CharacterId, depth: usize) -> Option<(May, usize)> {
        if depth > 20 {
            return None;
        }
        if let Some(found) = self.stated(taxon, c) {
            return Some(found);
        }
        // All that imply it hold together; one that contradicts those before it is left out.
        let mut out: Option<(May, usize)> = None;
        for other in self.key.character_ids() {
            for condition in &self.key.character(other).applies {
                if condition.character == c
                    && let Some((_, level)) = self.stands(taxon, other, depth + 1)
                {
                    let new = self.value(c, &condition.value);
                    out = Some(match out {
                        None => (new, level),
                        Some((old, near)) => {
                            (intersection(&old, &new).unwrap_or(old), near.min(level))
                        }
                    });
                }
            }
        }
        out
    }

    /// How near what rules the character out is said; `None` where nothing does.
    fn ruled_out(&self, taxon: TaxonId, c: CharacterId) -> Option<usize> {
        let own = self.stands(taxon, c, 0).map(|(_, l)| l);
        for condition in &self.key.character(c).applies {
            let d = condition.character;
            let level = match self.ruled_out(taxon, d) {
                Some(level) => Some(level),
                None => match self.stands(taxon, d, 0) {
                    Some((may, level)) => {
                        let wanted = self.value(d, &condition.value);
                        (!overlap(&may, &wanted)).then_some(level)
                    }
                    None => None,
                },
            };
            if let Some(level) = level
                && own.is_none_or(|own| own > level)
            {
                return Some(level);
            }
        }
        None
    }

    /// Whether the character surely applies.
    fn surely_applies(&self, taxon: TaxonId, c: CharacterId) -> bool {
        if self.ruled_out(taxon, c).is_some() {
            return false;
        }
        let own = self.stands(taxon, c, 0).map(|(_, l)| l);
        self.key.character(c).applies.iter().all(|condition| {
            let d = condition.character;
            let wanted = self.value(d, &condition.value);
            let never_above = self.ruled_out(taxon, d);
            match (never_above, self.stands(taxon, d, 0)) {
                // Ruled out, but stated nearer than that.
                (Some(level), _) => own.is_some_and(|own| own <= level),
                (None, None) => false,
                (None, Some((may, level))) => {
                    if !overlap(&may, &wanted) {
                        own.is_some_and(|own| own <= level)
                    } else {
                        within(&may, &wanted)
                            && (self.key.character(d).applies.is_empty()
                                || self.surely_applies(taxon, d)
                                || self.applies_is_unknown(taxon, d))
                    }
                }
            }
        })
    }

    /// Whether it cannot be said if a character applies, because nothing is known of what it
    /// depends on.
    fn applies_is_unknown(&self, taxon: TaxonId, c: CharacterId) -> bool {
        self.key.character(c).applies.iter().any(|condition| {
            let d = condition.character;
            self.ruled_out(taxon, d).is_none() && self.stands(taxon, d, 0).is_none()
        })
    }

    pub fn may(&self, taxon: TaxonId, c: CharacterId) -> May {
        if self.ruled_out(taxon, c).is_some() {
            return May::Nothing;
        }
        self.stands(taxon, c, 0).map_or(May::Anything, |(m, _)| m)
    }

    fn value(&self, c: CharacterId, value: &Value) -> May {
        match value {
            Value::States(choices) => {
                May::States(choices.iter().flat_map(|c| c.accepts.iter().map(|s| s.0)).collect())
            }
            Value::Number(a) => May::Ranges(ranges(self.key.character(c), a)),
        }
    }

    /// What the leads on every path say, joined; `None` where a path says nothing.
    fn leads(&self, taxon: TaxonId, c: CharacterId) -> Option<May> {
        let mut found: Vec<Option<May>> = Vec::new();
        let start = self.key.subkeys.iter().find_map(|k| k.couplets.first())?;
        let mut path = Vec::new();
        self.paths(*start, taxon, &mut path, &mut |leads| {
            let mut here: Option<May> = None;
            for lead in leads {
                for s in self.key.lead(*lead).statements().filter(|s| s.character == c) {
                    let new = self.value(c, &s.value);
                    here = Some(match here {
                        None => new,
                        Some(old) => intersection(&old, &new).unwrap_or(new),
                    });
                }
            }
            found.push(here);
        });
        if found.is_empty() || found.iter().any(Option::is_none) {
            return None;
        }
        Some(union(&found.into_iter().flatten().collect::<Vec<_>>()))
    }

    fn paths(
        &self,
        at: hilum::key::CoupletId,
        taxon: TaxonId,
        path: &mut Vec<LeadId>,
        found: &mut impl FnMut(&[LeadId]),
    ) {
        for index in 0..self.key.couplet(at).leads.len() as u16 {
            let lead = LeadId { couplet: at, index };
            path.push(lead);
            match &self.key.lead(lead).outcome {
                Outcome::Taxa(taxa) if taxa.contains(&taxon) => found(path),
                Outcome::Couplet(next) => self.paths(*next, taxon, path, found),
                Outcome::Subkey { at: Some(Place::Couplet(next)), .. } => {
                    self.paths(*next, taxon, path, found)
                }
                _ => {}
            }
            path.pop();
        }
    }

    /// Whether an observation contradicts a taxon; `None` where it says nothing.
    pub fn misfit(&self, taxon: TaxonId, o: &Observation) -> Option<bool> {
        let c = self.key.character(o.character);
        let described = self.key.heading.described;
        let lost = looks(c, o.condition).is_some_and(|l| matches!(l, Look::CannotBeSeen));
        match o.seen {
            Seen::CannotTell | Seen::NotHere => return None,
            _ if lost && o.condition != described => return None,
            Seen::DoesNotApply if c.applies.is_empty() => return None,
            _ => {}
        }
        let may = self.may(taxon, o.character);
        Some(match (&o.seen, &may) {
            (Seen::DoesNotApply, May::Nothing) => false,
            (Seen::DoesNotApply, _) => self.surely_applies(taxon, o.character),
            (_, May::Anything) => false,
            (_, May::Nothing) => true,
            (Seen::States(seen), May::States(shown)) => !shown.iter().any(|s| {
                seen_as(c, *s, described, o.condition).iter().any(|v| seen.contains(StateId(*v)))
            }),
            (Seen::Numbers(readings), May::Ranges(ranges)) => {
                let (seen_low, seen_high) = factor(c, described, o.condition, true);
                let (made_low, made_high) = factor(c, described, o.condition, false);
                !readings.iter().all(|r| {
                    r.within.iter().any(|i| {
                        ranges.iter().any(|(low, high)| {
                            let (a, b) = ends(i);
                            // low x seen_low / made_high up to high x seen_high / made_low
                            below(times(*low, seen_low), times(b, made_high))
                                && below(times(a, made_low), times(*high, seen_high))
                        })
                    })
                })
            }
            _ => return None,
        })
    }
}

fn looks(c: &Character, condition: ConditionId) -> Option<&Look> {
    c.readings.iter().find(|(k, _, _)| *k == condition).map(|(_, l, _)| l)
}

fn look_of(c: &Character, condition: ConditionId, state: u16) -> Vec<u16> {
    match looks(c, condition) {
        Some(Look::Looks(of)) => match of.get(state as usize) {
            Some(set) => set.iter().map(|s| s.0).collect(),
            None => vec![state],
        },
        _ => vec![state],
    }
}

fn seen_as(c: &Character, state: u16, described: ConditionId, seen: ConditionId) -> BTreeSet<u16> {
    if described == seen {
        return [state].into();
    }
    let all = 0..c.states().len() as u16;
    let mut fresh: Vec<u16> = all.filter(|f| look_of(c, described, *f).contains(&state)).collect();
    if fresh.is_empty() {
        fresh.push(state);
    }
    fresh.into_iter().flat_map(|f| look_of(c, seen, f)).collect()
}

/// The share that a measure keeps under the condition of seeing, or of describing.
fn factor(
    c: &Character,
    described: ConditionId,
    seen: ConditionId,
    of_seen: bool,
) -> (Decimal, Decimal) {
    if described == seen {
        return (Decimal::ONE, Decimal::ONE);
    }
    match looks(c, if of_seen { seen } else { described }) {
        Some(Look::Factor(a, b)) => (*a, *b),
        _ => (Decimal::ONE, Decimal::ONE),
    }
}

fn times(end: End, factor: Decimal) -> End {
    end.map(|(v, open)| (v * factor, open))
}

/// Whether a range can begin at `low` and end at `high`.
fn below(low: End, high: End) -> bool {
    match (low, high) {
        (Some((a, x)), Some((b, y))) => a < b || a == b && !x && !y,
        _ => true,
    }
}

fn ends(i: &Interval) -> (End, End) {
    let low = match i.low {
        Cut::At { value, after } => Some((value, after)),
        _ => None,
    };
    let high = match i.high {
        Cut::At { value, after } => Some((value, !after)),
        _ => None,
    };
    (low, high)
}

fn ranges(c: &Character, a: &Amount) -> Vec<(End, End)> {
    let is_count = matches!(c.kind, Kind::Count);
    let one = |e: &Extent| {
        let end = |l: Option<Limit>, up: bool| {
            l.map(|l| {
                let mut v = l.value;
                let mut open = l.open;
                if is_count {
                    // Whole things: more than 12 is 13 or more.
                    let whole = if up { v.floor() } else { v.ceil() };
                    if open && whole == v {
                        v += if up { -Decimal::ONE } else { Decimal::ONE };
                    } else {
                        v = whole;
                    }
                    open = false;
                }
                if e.about {
                    let mut by = v.abs() * Decimal::new(1, 1);
                    if is_count {
                        by = by.max(Decimal::ONE);
                    }
                    v += by * Decimal::TWO * if up { Decimal::ONE } else { -Decimal::ONE };
                }
                (v, open)
            })
        };
        (end(e.extreme.low, false), end(e.extreme.high, true))
    };
    a.extents.iter().map(one).collect()
}

fn union(all: &[May]) -> May {
    let mut states = BTreeSet::new();
    let mut of_ranges = Vec::new();
    for may in all {
        match may {
            May::States(s) => states.extend(s.iter().copied()),
            May::Ranges(r) => of_ranges.extend(r.iter().copied()),
            May::Anything | May::Nothing => {}
        }
    }
    if of_ranges.is_empty() { May::States(states) } else { May::Ranges(of_ranges) }
}

fn intersection(a: &May, b: &May) -> Option<May> {
    match (a, b) {
        (May::States(a), May::States(b)) => {
            let both: BTreeSet<u16> = a.intersection(b).copied().collect();
            (!both.is_empty()).then_some(May::States(both))
        }
        (May::Ranges(a), May::Ranges(b)) => {
            let mut out = Vec::new();
            for x in a {
                for y in b {
                    let low = match (x.0, y.0) {
                        (Some(p), Some(q)) => Some(if (p.0, p.1) >= (q.0, q.1) { p } else { q }),
                        (p, q) => p.or(q),
                    };
                    let high = match (x.1, y.1) {
                        (Some(p), Some(q)) => Some(if (p.0, !p.1) <= (q.0, !q.1) { p } else { q }),
                        (p, q) => p.or(q),
                    };
                    if below(low, high) {
                        out.push((low, high));
                    }
                }
            }
            (!out.is_empty()).then_some(May::Ranges(out))
        }
        _ => None,
    }
}

fn overlap(a: &May, b: &May) -> bool {
    match (a, b) {
        (May::States(a), May::States(b)) => a.intersection(b).next().is_some(),
        (May::Ranges(a), May::Ranges(b)) => {
            a.iter().any(|x| b.iter().any(|y| below(x.0, y.1) && below(y.0, x.1)))
        }
        _ => true,
    }
}

fn within(a: &May, b: &May) -> bool {
    match (a, b) {
        (May::States(a), May::States(b)) => a.is_subset(b),
        (May::Ranges(a), May::Ranges(b)) => {
            let inside = |x: &(End, End), y: &(End, End)| {
                let low = match (x.0, y.0) {
                    (_, None) => true,
                    (None, Some(_)) => false,
                    (Some(p), Some(q)) => (q.0, q.1) <= (p.0, p.1),
                };
                let high = match (x.1, y.1) {
                    (_, None) => true,
                    (None, Some(_)) => false,
                    (Some(p), Some(q)) => (p.0, !p.1) <= (q.0, !q.1),
                };
                low && high
            };
            a.iter().all(|x| b.iter().any(|y| inside(x, y)))
        }
        _ => false,
    }
}
