//! What single changes of a key would gain: a character dropped, a check character added, a taxon
//! keyed out both ways.
//!
//! Each change is tried: the readers of every taxon that passes the couplet are taken through the
//! changed key. That a check character or a second place helps one taxon can cost others; the gain
//! is the mean over all.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::desk::{chosen, look, regions};
use super::{Case, Ends, Readers, of_one};
use crate::check::Examination;
use crate::check::reason::Ground;
use crate::check::reason::demand::{Demand, Demands};
use crate::check::reason::forms::{Cell, Shown, What, divide};
use crate::check::reason::values::Values;
use crate::key::{CharacterId, CoupletId, LeadId, Outcome};
use crate::text::span::Span;

/// No more characters are tried at one couplet.
const MOST_CHARACTERS: usize = 12;

/// A change and what it gains.
#[derive(Clone, Debug, Serialize)]
pub struct Repair {
    pub change: Change,
    /// The change in words.
    pub words: String,
    /// By how much the mean share of right names rises, each taxon weighing the same.
    pub gain: f64,
    /// How many taxa fare better, and how many worse.
    pub better: usize,
    pub worse: usize,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub enum Change {
    Drop { character: String, couplet: String },
    Check { character: String, couplet: String, leads: Vec<String> },
    BothWays { taxon: String, at: String, beside: String, by: String },
}

/// Looks into the `most` couplets that lose most readers and into as many confusions; the best
/// changes come first, and only those that gain.
pub fn best(
    exam: &Examination,
    readers: &Readers,
    cases: &[Case],
    ends: &[Ends],
    most: usize,
) -> Vec<Repair> {
    let ground = exam.ground();
    let before: Vec<f64> = cases.iter().zip(ends).map(|(c, e)| right(c, e)).collect();
    let mut lost: BTreeMap<CoupletId, f64> = BTreeMap::new();
    for e in ends {
        for (couplet, share) in &e.lost {
            *lost.entry(*couplet).or_default() += share;
        }
    }
    let mut worst: Vec<(CoupletId, f64)> = lost.into_iter().collect();
    worst.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    worst.truncate(most);
    exam.watch().begin("changes tried", worst.len());
    let mut out = Vec::new();
    for (couplet, _) in worst {
        if exam.watch().stopped() {
            break;
        }
        exam.watch().step();
        let trial = Trial { exam, ground, readers, cases, ends, before: &before, couplet };
        out.extend(trial.drops());
        out.extend(trial.checks());
    }
    out.extend(both_ways(exam, readers, cases, ends, most));
    out.retain(|r| r.gain > 1e-9);
    out.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.words.cmp(&b.words)));
    out
}

fn right(case: &Case, ends: &Ends) -> f64 {
    let own = &case.run.course.own;
    ends.leads.iter().filter(|(l, _)| own.contains(l)).map(|(_, s)| s).sum()
}

struct Trial<'t, 'k> {
    exam: &'t Examination<'k>,
    ground: &'t Ground<'k>,
    readers: &'t Readers,
    cases: &'t [Case<'t>],
    ends: &'t [Ends],
    before: &'t [f64],
    couplet: CoupletId,
}

impl Trial<'_, '_> {
    fn leads(&self) -> Vec<LeadId> {
        let n = self.exam.couplet(self.couplet).leads.len() as u16;
        (0..n).map(|index| LeadId { couplet: self.couplet, index }).collect()
    }

    fn demands(&self) -> Vec<Demands> {
        self.leads().iter().map(|l| self.ground.demands(*l).clone()).collect()
    }

    // The characters stated there.
    fn stated(&self) -> BTreeSet<CharacterId> {
        let all = self.leads().into_iter().flat_map(|l| &self.ground.demands(l).of);
        all.filter(|d| d.implied_by.is_none()).map(|d| d.character).collect()
    }

    fn drops(&self) -> Vec<Repair> {
        let stated = self.stated();
        let others = self.demands().iter().any(|d| !d.whole);
        if stated.len() + usize::from(others) < 2 {
            return Vec::new();
        }
        let drop = |c: &CharacterId| {
            let mut demands = self.demands();
            for d in &mut demands {
                d.of.retain(|d| d.character != *c && d.implied_by != Some(*c));
            }
            let character = self.exam.key.character(*c).name.clone();
            let couplet = self.exam.couplet_name(self.couplet);
            let words = format!("drop `{character}` from {couplet}");
            self.tried(demands, Change::Drop { character, couplet }, words)
        };
        stated.iter().map(drop).collect()
    }

    // Characters that every taxon behind the leads has, and that part the leads wholly.
    fn checks(&self) -> Vec<Repair> {
        let stated = self.stated();
        let mut free: Vec<CharacterId> =
            self.exam.key.character_ids().filter(|c| !stated.contains(c)).collect();
        // What is easy to look at is tried first.
        free.sort_by_key(|c| {
            let c = self.exam.key.character(*c);
            (c.tool, c.ease)
        });
        let mut out = Vec::new();
        for c in free {
            if out.len() == MOST_CHARACTERS {
                break;
            }
            let Some(values) = self.parting(c) else { continue };
            let mut demands = self.demands();
            for (d, v) in demands.iter_mut().zip(&values) {
                d.of.push(demand(c, v.clone()));
                d.of.sort_by_key(|d| d.character);
            }
            let character = self.exam.key.character(c);
            let language = self.exam.key.heading.language;
            let leads: Vec<String> =
                values.iter().map(|v| v.in_sentence(character, language)).collect();
            let couplet = self.exam.couplet_name(self.couplet);
            let words = format!("add `{}` to {couplet}: {}", character.name, leads.join(" / "));
            let character = character.name.clone();
            out.push(self.tried(demands, Change::Check { character, couplet, leads }, words));
        }
        out
    }

    fn parting(&self, c: CharacterId) -> Option<Vec<Values>> {
        let mut values: Vec<Option<Values>> = vec![None; self.leads().len()];
        for case in self.cases {
            for (i, lead) in self.leads().iter().enumerate() {
                if case.way.takes(*lead) <= 0.0 {
                    continue;
                }
                if case.hidden.contains(&c) {
                    return None;
                }
                let shown = case.run.forms.get(c).filter(|s| s.implied_by.is_none())?.values()?;
                values[i] = Some(match values[i].take() {
                    Some(v) => v.join(&shown),
                    None => shown,
                });
            }
        }
        let values: Vec<Values> = values.into_iter().collect::<Option<_>>()?;
        let apart = (0..values.len())
            .all(|i| (i + 1..values.len()).all(|j| !values[i].overlaps(&values[j])));
        apart.then_some(values)
    }

    fn tried(&self, demands: Vec<Demands>, change: Change, words: String) -> Repair {
        let ground = self.ground.with(self.couplet, demands);
        let (mut gain, mut better, mut worse) = (0.0, 0, 0);
        for ((case, ends), before) in self.cases.iter().zip(self.ends).zip(self.before) {
            // Who does not come here on the right way is not touched.
            if !ends.arrived.contains_key(&self.couplet) {
                continue;
            }
            let rise = right(case, &of_one(&ground, self.readers, case)) - before;
            gain += rise;
            better += usize::from(rise > 1e-9);
            worse += usize::from(rise < -1e-9);
        }
        Repair { change, words, gain: gain / self.cases.len().max(1) as f64, better, worse }
    }
}

fn demand(character: CharacterId, values: Values) -> Demand {
    Demand { character, usual: values.clone(), values, span: Span::default(), implied_by: None }
}

// A taxon keyed out once more beside the name that most of its readers reach wrongly, by a
// character that parts the two.
fn both_ways(
    exam: &Examination,
    readers: &Readers,
    cases: &[Case],
    ends: &[Ends],
    most: usize,
) -> Vec<Repair> {
    let mut wrong: Vec<(f64, usize, LeadId)> = Vec::new();
    for (i, (case, e)) in cases.iter().zip(ends).enumerate() {
        for (lead, share) in &e.leads {
            let named = matches!(exam.lead(*lead).outcome, Outcome::Taxa(_));
            if named && !case.run.course.own.contains(lead) {
                wrong.push((*share, i, *lead));
            }
        }
    }
    wrong.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    wrong.truncate(most);
    let mut out = Vec::new();
    for (_, i, lead) in wrong {
        let Outcome::Taxa(named) = &exam.lead(lead).outcome else { continue };
        let [beside] = named.as_slice() else { continue };
        let Some(j) = cases.iter().position(|c| c.run.course.taxon == *beside) else { continue };
        let place = Place { exam, readers, cases, ends, lead };
        let best = exam.key.character_ids().filter_map(|c| Some((c, place.gain(c, i, j)?)));
        let best = best.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        let Some((c, gain)) = best else { continue };
        let name = |k: usize| exam.key.taxon(cases[k].run.course.taxon).name.clone();
        let character = exam.key.character(c).name.clone();
        let at = exam.lead_name(lead);
        out.push(Repair {
            words: format!(
                "key {} out at {at} too, parted from {} by `{character}`",
                name(i),
                name(j)
            ),
            change: Change::BothWays { taxon: name(i), at, beside: name(j), by: character },
            gain: gain / cases.len().max(1) as f64,
            better: 1,
            worse: usize::from(gain > 0.0),
        });
    }
    out
}

struct Place<'t, 'k> {
    exam: &'t Examination<'k>,
    readers: &'t Readers,
    cases: &'t [Case<'t>],
    ends: &'t [Ends],
    lead: LeadId,
}

impl Place<'_, '_> {
    // With a couplet at the end that asks for `c`: what the wrong one wins there, less what the
    // rightful one loses.
    fn gain(&self, c: CharacterId, wrong: usize, rightful: usize) -> Option<f64> {
        let shown = |k: usize| {
            let case = &self.cases[k];
            let said = case.run.forms.get(c).filter(|s| s.implied_by.is_none())?;
            (!case.hidden.contains(&c)).then_some(said)
        };
        let (a, b) = (shown(rightful)?, shown(wrong)?);
        let (va, vb) = (a.values()?, b.values()?);
        if va.overlaps(&vb) {
            return None;
        }
        let of = |v: Values| Demands { of: vec![demand(c, v)], whole: true, clashes: vec![] };
        let (one, two) = (of(va), of(vb));
        let demands = [&one, &two];
        let kept = self.chance(c, &demands, a, 0);
        let won = self.chance(c, &demands, b, 1);
        let at = |k: usize| self.ends[k].leads.get(&self.lead).copied().unwrap_or(0.0);
        Some(at(wrong) * won - at(rightful) * (1.0 - kept))
    }

    fn chance(&self, c: CharacterId, demands: &[&Demands], shown: &Shown, lead: usize) -> f64 {
        let mut cells: Vec<Cell> = Vec::new();
        for cell in &shown.cells {
            let What::Range(range) = &cell.what else {
                cells.push(cell.clone());
                continue;
            };
            let pieces = regions(c, demands, *range);
            for (piece, share) in pieces.iter().zip(divide(range, &pieces)) {
                cells.push(Cell { what: What::Range(*piece), share: cell.share * share, ..*cell });
            }
        }
        let look = look(self.exam.ground(), self.readers, c, demands, &cells);
        chosen(2, &[look])[lead]
    }
}
