//! How good a key is: its routes against the least possible, what is read on the way, balance, and
//! how often its characters are used.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap, HashSet};

use serde::Serialize;

use super::weights;
use crate::check::Examination;
use crate::check::reason::courses::Run;
use crate::key::couplet::Place;
use crate::key::figures::{least_deepest, least_total};
use crate::key::graph::target;
use crate::key::{CharacterId, LeadId, Outcome};

/// The figures of one key. A decision is one couplet answered; the leads read are all leads of the
/// couplets on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Quality {
    /// Taxa with a route, and the mean over them, each weighing the same.
    pub taxa: usize,
    pub mean: Cost,
    pub deepest: u32,
    /// The least possible for as many taxa, were any split available, with two leads a couplet.
    pub least_mean: f64,
    pub least_deepest: u32,
    /// Weighted by the words of abundance in the accounts; `None` where no account has one.
    pub by_abundance: Option<ByAbundance>,
    /// How evenly couplets divide the taxa behind them: 1 where every lead has as many. The mean
    /// over couplets, each weighing as much as there are taxa behind it. Ours.
    pub balance: f64,
    /// Statements of leads: read, and all.
    pub statements_read: usize,
    pub statements: usize,
    /// How many couplets ask for each character, those used most first.
    pub uses: Vec<Use>,
    /// Declared characters that no couplet asks for.
    pub unused: Vec<String>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Cost {
    pub decisions: f64,
    pub leads: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ByAbundance {
    pub mean: Cost,
    /// The entropy of the weights in bits: no key with two leads a couplet has a lower mean.
    pub entropy: f64,
    /// The mean of the best tree that any splits could make.
    pub huffman: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Use {
    pub character: String,
    pub couplets: usize,
}

impl Quality {
    /// `None` where fewer than two taxa have a route, or a route is circular.
    pub fn of(exam: &Examination) -> Option<Quality> {
        let courses = exam.courses();
        let runs = courses.all();
        if runs.len() < 2 || exam.graph.is_circular() {
            return None;
        }
        let costs: Vec<(Cost, u32)> = runs.iter().map(|r| cost(exam, r)).collect();
        let (all, said) = weights(exam.key);
        let of: Vec<f64> = runs.iter().map(|r| all[r.course.taxon.0 as usize]).collect();
        let even = vec![1.0; runs.len()];
        let n = runs.len() as u64;
        let (uses, unused) = uses(exam);
        let leads = || exam.key.couplets.iter().flat_map(|c| &c.leads).flat_map(|l| &l.parts);
        Some(Quality {
            taxa: runs.len(),
            mean: mean(&costs, &even),
            deepest: costs.iter().map(|(_, d)| *d).max().unwrap_or(0),
            least_mean: least_total(n, 2) as f64 / n as f64,
            least_deepest: least_deepest(n, 2),
            by_abundance: said.then(|| ByAbundance {
                mean: mean(&costs, &of),
                entropy: entropy(&of),
                huffman: huffman(&of),
            }),
            balance: balance(exam),
            statements_read: leads().filter(|p| p.prose.is_none()).count(),
            statements: leads().count(),
            uses,
            unused,
        })
    }
}

fn mean(costs: &[(Cost, u32)], weights: &[f64]) -> Cost {
    let all: f64 = weights.iter().sum();
    let mut out = Cost::default();
    for ((cost, _), weight) in costs.iter().zip(weights) {
        out.decisions += cost.decisions * weight / all;
        out.leads += cost.leads * weight / all;
    }
    out
}

// The mean over the plants of a taxon that go the way to its name, and the longest such way. Where
// none of them gets there, as if all did.
fn cost(exam: &Examination, run: &Run) -> (Cost, u32) {
    let ground = exam.ground();
    let way = exam.courses().way(ground, run);
    let mut leads: Vec<LeadId> = way.taken.keys().copied().collect();
    if !run.forms.is_empty() && run.course.right() <= 0.0 {
        leads = home_leads(exam, run);
    }
    leads.sort_by_key(|l| (ground.rank(Place::Couplet(l.couplet)), *l));
    // What arrives: share, and the sums of decisions and leads over it.
    let mut at: BTreeMap<Place, (f64, f64, f64, u32)> = BTreeMap::new();
    let mut done = (0.0, 0.0, 0.0, 0);
    for group in leads.chunk_by(|a, b| a.couplet == b.couplet) {
        let couplet = group[0].couplet;
        let here = at.get(&Place::Couplet(couplet)).copied();
        let here =
            here.unwrap_or(if at.is_empty() { (1.0, 0.0, 0.0, 0) } else { (0.0, 0.0, 0.0, 0) });
        at.insert(Place::Couplet(couplet), here);
        let shares: Vec<f64> =
            group.iter().map(|l| way.taken.get(l).copied().unwrap_or(1.0)).collect();
        let all: f64 = shares.iter().sum();
        let width = exam.couplet(couplet).leads.len() as f64;
        for (lead, share) in group.iter().zip(&shares) {
            let part = share / all.max(f64::MIN_POSITIVE);
            let (s, d, l, deep) = here;
            let mut on =
                (s * part, (d + s) * part, (l + s * width) * part, deep + u32::from(s > 0.0));
            if let Some(p) = at.get(&Place::Lead(*lead)) {
                on = (on.0 + p.0, on.1 + p.1, on.2 + p.2, on.3.max(p.3));
            }
            let to = match target(exam.key, &exam.lead(*lead).outcome) {
                Some(place) => at.entry(place).or_default(),
                None => &mut done,
            };
            *to = (to.0 + on.0, to.1 + on.1, to.2 + on.2, to.3.max(on.3));
        }
    }
    let share = done.0.max(f64::MIN_POSITIVE);
    (Cost { decisions: done.1 / share, leads: done.2 / share }, done.3)
}

fn home_leads(exam: &Examination, run: &Run) -> Vec<LeadId> {
    let ground = exam.ground();
    let home = crate::check::reason::courses::home(ground, &run.course.own);
    let is_home = |l: &LeadId| home.contains(ground.graph.position(Place::Lead(*l)));
    exam.key.leads().map(|(l, _)| l).filter(|l| exam.reached.lead(*l) && is_home(l)).collect()
}

/// The entropy of weights, in bits: C. E. Shannon; a lower bound of the mean decisions of any key
/// with two leads a couplet.
pub fn entropy(weights: &[f64]) -> f64 {
    let all: f64 = weights.iter().sum();
    let each = weights.iter().map(|w| w / all).filter(|p| *p > 0.0);
    each.map(|p| -p * p.log2()).sum()
}

/// The mean depth of the best tree over weights: D. A. Huffman 1952, Proc. IRE 40: 1098-1101
/// (cited from memory).
pub fn huffman(weights: &[f64]) -> f64 {
    let all: f64 = weights.iter().sum();
    // Positive floats are ordered as their bits are.
    let mut heap: BinaryHeap<Reverse<u64>> =
        weights.iter().filter(|w| **w > 0.0).map(|w| Reverse((w / all).to_bits())).collect();
    let mut mean = 0.0;
    while let (Some(Reverse(a)), Some(Reverse(b))) = (heap.pop(), heap.pop()) {
        let both = f64::from_bits(a) + f64::from_bits(b);
        mean += both;
        if heap.is_empty() {
            break;
        }
        heap.push(Reverse(both.to_bits()));
    }
    mean
}

fn balance(exam: &Examination) -> f64 {
    let graph = &exam.graph;
    let order: Vec<Place> = graph.forward().into_iter().flatten().collect();
    // The taxa behind each place, found from the ends backwards. The last that asks for a set takes
    // it over and adds the smaller ones to the largest, so that all of them together stay as small
    // as the key where routes do not meet.
    let mut behind: Vec<Option<HashSet<u32>>> = vec![None; graph.positions()];
    let mut asking: Vec<u32> = vec![0; graph.positions()];
    for &place in &order {
        graph.next(place).for_each(|next| asking[graph.position(next)] += 1);
    }
    let (mut sum, mut weight) = (0.0, 0.0);
    for place in order.into_iter().rev() {
        let mut own: HashSet<u32> = HashSet::new();
        let mut each = Vec::new();
        for next in graph.next(place) {
            let at = graph.position(next);
            asking[at] -= 1;
            let taken = if asking[at] == 0 { behind[at].take() } else { behind[at].clone() };
            let mut taxa = taken.unwrap_or_default();
            each.push(taxa.len() as f64);
            if taxa.len() > own.len() {
                std::mem::swap(&mut taxa, &mut own);
            }
            own.extend(taxa);
        }
        match place {
            Place::Lead(lead) => {
                if let Outcome::Taxa(taxa) = &exam.lead(lead).outcome {
                    own.extend(taxa.iter().map(|t| t.0));
                }
            }
            Place::Couplet(id) => {
                let all: f64 = each.iter().sum();
                if each.len() > 1 && all > 1.0 && exam.reached.couplet(id) {
                    sum += all * entropy(&each) / (each.len() as f64).log2();
                    weight += all;
                }
            }
        }
        behind[graph.position(place)] = Some(own);
    }
    if weight > 0.0 { sum / weight } else { 1.0 }
}

fn uses(exam: &Examination) -> (Vec<Use>, Vec<String>) {
    let mut count = vec![0; exam.key.characters.len()];
    for couplet in &exam.key.couplets {
        let mut stated: Vec<CharacterId> =
            couplet.leads.iter().flat_map(|l| l.statements()).map(|s| s.character).collect();
        stated.sort_unstable();
        stated.dedup();
        stated.iter().for_each(|c| count[c.0 as usize] += 1);
    }
    let name = |i: usize| exam.key.characters[i].name.clone();
    let mut used: Vec<usize> = (0..count.len()).filter(|i| count[*i] > 0).collect();
    used.sort_by_key(|i| (Reverse(count[*i]), *i));
    let uses = used.iter().map(|&i| Use { character: name(i), couplets: count[i] }).collect();
    let unused = (0..count.len()).filter(|i| count[*i] == 0).map(name).collect();
    (uses, unused)
}
