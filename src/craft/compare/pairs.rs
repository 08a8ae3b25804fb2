//! Which couplet, lead and key of the old issue is which of the new one: by wording first, then by
//! place in the tree, then by most of the words.

use std::collections::{BTreeMap, HashMap, VecDeque};

use crate::key::{CoupletId, LeadId, SubkeyId};
use crate::text::language::fold;

use super::names::Names;
use super::side::Side;
use super::words::{Interned, alike};
use super::{Matched, Renumbered, Sure};

/// A candidate at the same place is taken before any other is looked for from this on.
const NEARLY: f64 = 1.0;
/// A candidate at the same place is taken from this on: shared words, and half as much the share of
/// leads that go the same way. Ours.
const AT_PLACE: f64 = 0.4;
/// Elsewhere so many of the words must be shared.
const ANYWHERE: f64 = 0.6;
/// How often the whole is gone through; each round pairs more.
const MOST_ROUNDS: usize = 12;
/// A word that stands in more couplets tells nothing of which one it is.
const COMMON: usize = 64;

/// Couplets by their numbers in the two issues.
#[derive(Clone, Debug, Default)]
pub(super) struct Pairs {
    to_new: Vec<Option<(CoupletId, Sure)>>,
    to_old: Vec<Option<CoupletId>>,
    /// For each couplet of the old issue, for each lead its place in the new couplet.
    leads: Vec<Vec<Option<u16>>>,
    /// The same from the new issue to the old.
    leads_back: Vec<Vec<Option<u16>>>,
    subkeys: Vec<Option<SubkeyId>>,
}

impl Pairs {
    pub fn of(a: &Side, b: &Side, names: &Names) -> Pairs {
        let mut seek = Seek {
            a,
            b,
            names,
            words: Interned::of(a, b),
            out: Pairs {
                to_new: vec![None; a.key.couplets.len()],
                to_old: vec![None; b.key.couplets.len()],
                leads: vec![Vec::new(); a.key.couplets.len()],
                leads_back: vec![Vec::new(); b.key.couplets.len()],
                subkeys: vec![None; a.key.subkeys.len()],
            },
            work: Vec::new(),
        };
        seek.heads();
        seek.by_wording(|side, c| side.wording(c));
        seek.by_wording(|side, c| {
            let names: Vec<String> = side.outcomes[c.0 as usize].iter().map(|o| fold(o)).collect();
            let numbered = |o: &String| o.starts_with(|c: char| c.is_ascii_digit());
            let names: Vec<String> =
                names.into_iter().map(|o| if numbered(&o) { String::new() } else { o }).collect();
            format!("{}\n{}", side.wording(c), names.join("\n"))
        });
        // What is nearly the same elsewhere goes before what is a little alike at the same place.
        for _ in 0..MOST_ROUNDS {
            seek.by_place(NEARLY);
            if seek.repeated() || seek.anywhere() {
                continue;
            }
            seek.work = seek.paired();
            if !seek.by_place(AT_PLACE) {
                break;
            }
        }
        seek.other_heads();
        seek.out
    }

    pub fn couplet(&self, old: CoupletId) -> Option<CoupletId> {
        Some(self.to_new.get(old.0 as usize)?.as_ref()?.0)
    }

    pub fn sure(&self, old: CoupletId) -> Sure {
        self.to_new[old.0 as usize].map_or(Sure::Possible, |(_, sure)| sure)
    }

    pub fn old_of(&self, new: CoupletId) -> Option<CoupletId> {
        self.to_old.get(new.0 as usize).copied().flatten()
    }

    pub fn lead(&self, old: LeadId) -> Option<LeadId> {
        let couplet = self.couplet(old.couplet)?;
        let index = (*self.leads[old.couplet.0 as usize].get(old.index as usize)?)?;
        Some(LeadId { couplet, index })
    }

    /// The lead of the old issue that is this one of the new.
    pub fn old_lead(&self, new: LeadId) -> Option<LeadId> {
        let couplet = self.old_of(new.couplet)?;
        let index = (*self.leads_back[new.couplet.0 as usize].get(new.index as usize)?)?;
        Some(LeadId { couplet, index })
    }

    pub fn subkey(&self, old: SubkeyId) -> Option<SubkeyId> {
        self.subkeys.get(old.0 as usize).copied().flatten()
    }

    /// The couplets whose number, or key, is another.
    pub fn renumbered(&self, a: &Side, b: &Side) -> Vec<Renumbered> {
        let mut out = Vec::new();
        for old in a.couplet_ids() {
            let Some((new, sure)) = self.to_new[old.0 as usize] else { continue };
            let (o, n) = (a.key.couplet(old), b.key.couplet(new));
            if (o.number, o.capital) != (n.number, n.capital) {
                out.push(Renumbered { old: a.couplet_name(old), new: b.couplet_name(new), sure });
            }
        }
        out
    }

    pub fn matched(&self, a: &Side, b: &Side) -> Matched {
        let count = |sure: Sure| self.to_new.iter().flatten().filter(|(_, s)| *s == sure).count();
        Matched {
            old: a.key.couplets.len(),
            new: b.key.couplets.len(),
            certain: count(Sure::Certain),
            likely: count(Sure::Likely),
            possible: count(Sure::Possible),
        }
    }
}

struct Seek<'s, 'k> {
    a: &'s Side<'k>,
    b: &'s Side<'k>,
    names: &'s Names,
    words: Interned,
    out: Pairs,
    /// Pairs whose neighbours were not yet looked at.
    work: Vec<(CoupletId, CoupletId)>,
}

impl Seek<'_, '_> {
    fn heads(&mut self) {
        let mut there: HashMap<String, VecDeque<SubkeyId>> = HashMap::new();
        for (n, new) in self.b.key.subkeys.iter().enumerate() {
            there.entry(fold(&new.head)).or_default().push_back(SubkeyId(n as u32));
        }
        for (i, old) in self.a.key.subkeys.iter().enumerate() {
            self.out.subkeys[i] = there.get_mut(&fold(&old.head)).and_then(VecDeque::pop_front);
        }
    }

    // Keys of the file with another head: where most of their couplets are.
    fn other_heads(&mut self) {
        for i in 0..self.out.subkeys.len() {
            if self.out.subkeys[i].is_some() {
                continue;
            }
            let mut votes: BTreeMap<SubkeyId, usize> = BTreeMap::new();
            for &c in &self.a.key.subkeys[i].couplets {
                if let Some(n) = self.out.couplet(c) {
                    *votes.entry(self.b.key.couplet(n).subkey).or_default() += 1;
                }
            }
            let free = votes.into_iter().filter(|(n, _)| !self.out.subkeys.contains(&Some(*n)));
            self.out.subkeys[i] =
                free.max_by_key(|(n, v)| (*v, std::cmp::Reverse(n.0))).map(|v| v.0);
        }
    }

    fn is_free(&self, old: CoupletId, new: CoupletId) -> bool {
        self.out.couplet(old).is_none() && self.out.old_of(new).is_none()
    }

    fn pair(&mut self, old: CoupletId, new: CoupletId, sure: Sure) {
        let leads = pair_leads(self.a, self.b, &self.words, old, new);
        self.out.to_new[old.0 as usize] = Some((new, sure));
        self.out.to_old[new.0 as usize] = Some(old);
        let mut back = vec![None; self.b.key.couplet(new).leads.len()];
        for (i, j) in leads.iter().enumerate() {
            if let Some(own) = j.and_then(|j| back.get_mut(usize::from(j))) {
                *own = Some(i as u16);
            }
        }
        self.out.leads[old.0 as usize] = leads;
        self.out.leads_back[new.0 as usize] = back;
        self.work.push((old, new));
    }

    // Couplets that are alone in their issue with what is asked of them.
    fn by_wording(&mut self, of: impl Fn(&Side, CoupletId) -> String) {
        let mut met: HashMap<String, (Vec<CoupletId>, Vec<CoupletId>)> = HashMap::new();
        for c in self.a.couplet_ids().filter(|c| self.out.couplet(*c).is_none()) {
            met.entry(of(self.a, c)).or_default().0.push(c);
        }
        for c in self.b.couplet_ids().filter(|c| self.out.old_of(*c).is_none()) {
            met.entry(of(self.b, c)).or_default().1.push(c);
        }
        let mut found: Vec<(CoupletId, CoupletId)> = met
            .into_values()
            .filter_map(|(old, new)| match (&old[..], &new[..]) {
                ([o], [n]) => Some((*o, *n)),
                _ => None,
            })
            .collect();
        found.sort_unstable();
        found.into_iter().for_each(|(o, n)| self.pair(o, n, Sure::Certain));
    }

    fn paired(&self) -> Vec<(CoupletId, CoupletId)> {
        let old = self.a.couplet_ids();
        old.filter_map(|o| Some((o, self.out.couplet(o)?))).collect()
    }

    // From every pair down to where its leads go and up to where it comes from. Whether any more
    // were paired.
    fn by_place(&mut self, least: f64) -> bool {
        let mut any = false;
        for (i, s) in self.a.key.subkeys.iter().enumerate() {
            let new = self.out.subkeys[i].map(|n| &self.b.key.subkey(n).couplets);
            if let (Some(&o), Some(&n)) = (s.couplets.first(), new.and_then(|c| c.first())) {
                any |= self.offer(o, n, least);
            }
        }
        while let Some((old, new)) = self.work.pop() {
            for lead in self.a.leads_of(old) {
                let Some(other) = self.out.lead(lead) else { continue };
                if let (Some(o), Some(n)) = (self.a.onward(lead), self.b.onward(other)) {
                    any |= self.offer(o, n, least);
                }
            }
            let (up, above) = (self.a.graph.origins(old), self.b.graph.origins(new));
            if let ([o], [n]) = (&up[..], &above[..]) {
                any |= self.offer(o.couplet, n.couplet, least);
            }
        }
        any
    }

    fn offer(&mut self, old: CoupletId, new: CoupletId, least: f64) -> bool {
        if !self.is_free(old, new) {
            return false;
        }
        let words = self.words.alike(old, new);
        let leads = pair_leads(self.a, self.b, &self.words, old, new);
        let mut same_way = 0;
        for (i, n) in leads.iter().enumerate() {
            let Some(index) = *n else { continue };
            let (o, n) = (LeadId { couplet: old, index: i as u16 }, LeadId { couplet: new, index });
            let onward = match (self.a.onward(o), self.b.onward(n)) {
                (Some(o), Some(n)) => self.out.couplet(o) == Some(n),
                _ => false,
            };
            let named = self.a.names(o);
            same_way += usize::from(
                onward || (!named.is_empty() && self.names.same(named, self.b.names(n))),
            );
        }
        let share = same_way as f64 / leads.len().max(1) as f64;
        if words + share / 2.0 < least {
            return false;
        }
        let sure = match words {
            w if w >= 1.0 => Sure::Certain,
            w if w >= 0.5 => Sure::Likely,
            _ => Sure::Possible,
        };
        self.pair(old, new, sure);
        true
    }

    // Couplets of the same words, as many in the one issue as in the other: in their order.
    fn repeated(&mut self) -> bool {
        let mut met: BTreeMap<String, (Vec<CoupletId>, Vec<CoupletId>)> = BTreeMap::new();
        for c in self.a.couplet_ids().filter(|c| self.out.couplet(*c).is_none()) {
            met.entry(self.a.wording(c)).or_default().0.push(c);
        }
        for c in self.b.couplet_ids().filter(|c| self.out.old_of(*c).is_none()) {
            met.entry(self.b.wording(c)).or_default().1.push(c);
        }
        let same = |(old, new): &(Vec<CoupletId>, Vec<CoupletId>)| {
            !old.is_empty() && old.len() == new.len()
        };
        let groups: Vec<_> = met.into_values().filter(same).collect();
        for (old, new) in &groups {
            old.iter().zip(new).for_each(|(o, n)| self.pair(*o, *n, Sure::Likely));
        }
        !groups.is_empty()
    }

    fn anywhere(&mut self) -> bool {
        let free = self.b.couplet_ids().filter(|c| self.out.old_of(*c).is_none());
        let mut stands: HashMap<u32, Vec<CoupletId>> = HashMap::new();
        for c in free {
            for word in self.words.new_words(c) {
                stands.entry(word).or_default().push(c);
            }
        }
        let mut near: Vec<(f64, CoupletId, CoupletId)> = Vec::new();
        for old in self.a.couplet_ids().filter(|c| self.out.couplet(*c).is_none()) {
            let mut met: BTreeMap<CoupletId, usize> = BTreeMap::new();
            for word in self.words.old_words(old) {
                if let Some(at) = stands.get(&word).filter(|at| at.len() <= COMMON) {
                    at.iter().for_each(|c| *met.entry(*c).or_default() += 1);
                }
            }
            for new in met.into_keys() {
                let words = self.words.alike(old, new);
                if words >= ANYWHERE {
                    near.push((words, old, new));
                }
            }
        }
        near.sort_by(|x, y| y.0.total_cmp(&x.0).then((x.1, x.2).cmp(&(y.1, y.2))));
        let mut any = false;
        for (_, old, new) in near {
            if self.is_free(old, new) {
                self.pair(old, new, Sure::Likely);
                any = true;
            }
        }
        any
    }
}

/// The leads of two couplets: those of the same words first, then those most alike, at last in their
/// order.
fn pair_leads(
    a: &Side,
    b: &Side,
    words: &Interned,
    old: CoupletId,
    new: CoupletId,
) -> Vec<Option<u16>> {
    let (from, to) = (&a.leads[old.0 as usize], &b.leads[new.0 as usize]);
    let mut out: Vec<Option<u16>> = vec![None; from.len()];
    let mut taken = vec![false; to.len()];
    let written: [fn(&str) -> String; 2] = [str::to_string, fold];
    for by in written {
        let mut there: HashMap<String, VecDeque<usize>> = HashMap::new();
        for j in (0..to.len()).filter(|j| !taken[*j]) {
            there.entry(by(&to[j])).or_default().push_back(j);
        }
        for i in 0..from.len() {
            let Some(queue) = there.get_mut(&by(&from[i])).filter(|_| out[i].is_none()) else {
                continue;
            };
            // The one at the same place, if it is one of several.
            let at = queue.iter().take(32).position(|j| *j == i).unwrap_or(0);
            if let Some(j) = queue.remove(at) {
                out[i] = Some(j as u16);
                taken[j] = true;
            }
        }
    }
    let mut near: Vec<(f64, usize, usize)> = Vec::new();
    // A couplet of very many leads is paired in its order.
    if from.len() <= 32 && to.len() <= 32 {
        for i in (0..from.len()).filter(|i| out[*i].is_none()) {
            for j in (0..to.len()).filter(|j| !taken[*j]) {
                let lead = |couplet, index: usize| LeadId { couplet, index: index as u16 };
                near.push((
                    alike(words.old_lead(lead(old, i)), words.new_lead(lead(new, j))),
                    i,
                    j,
                ));
            }
        }
    }
    let apart = |i: usize, j: usize| i.abs_diff(j);
    near.sort_by(|x, y| {
        y.0.total_cmp(&x.0).then((apart(x.1, x.2), x.1).cmp(&(apart(y.1, y.2), y.1)))
    });
    for (likeness, i, j) in near {
        if out[i].is_none() && !taken[j] && likeness > 0.0 {
            out[i] = Some(j as u16);
            taken[j] = true;
        }
    }
    let mut next = 0;
    for (i, own) in out.iter_mut().enumerate() {
        if own.is_some() {
            continue;
        }
        while next < to.len() && taken[next] {
            next += 1;
        }
        let found = if i < to.len() && !taken[i] { i } else { next };
        if found < to.len() {
            *own = Some(found as u16);
            taken[found] = true;
        }
    }
    out
}
