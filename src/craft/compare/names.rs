//! Which taxon of the old issue is which of the new one.

use std::collections::HashMap;

use crate::key::read::names::folded;
use crate::key::{LeadId, TaxonId};

use super::Sure;
use super::pairs::Pairs;
use super::side::Side;

/// Beyond so many pairs of unmatched names no spelling is compared.
const MOST_PAIRS: usize = 1_000_000;

/// Taxa by their numbers.
#[derive(Clone, Debug, Default)]
pub(super) struct Names {
    to_new: Vec<Option<TaxonId>>,
    to_old: Vec<Option<TaxonId>>,
    /// How sure each pair is, by the old number.
    sure: Vec<Sure>,
}

impl Names {
    /// By name, by synonym, by spelling, by the account word for word.
    pub fn of(a: &Side, b: &Side) -> Names {
        let mut out = Names {
            to_new: vec![None; a.key.taxa.len()],
            to_old: vec![None; b.key.taxa.len()],
            sure: vec![Sure::Certain; a.key.taxa.len()],
        };
        let own = |side: &Side| -> HashMap<String, TaxonId> {
            let mut names = HashMap::new();
            for t in side.key.taxon_ids() {
                // The first of a name counts.
                names.entry(folded(&side.key.taxon(t).name)).or_insert(t);
            }
            names
        };
        let (of_a, of_b) = (own(a), own(b));
        for t in a.key.taxon_ids() {
            if let Some(&n) = of_b.get(&folded(&a.key.taxon(t).name)) {
                out.pair(t, n, Sure::Certain);
            }
        }
        for (name, &t) in sorted(&of_a) {
            if let Some(&n) = b.key.names.get(name) {
                out.pair(t, n, Sure::Certain);
            }
        }
        for (name, &n) in sorted(&of_b) {
            if let Some(&t) = a.key.names.get(name) {
                out.pair(t, n, Sure::Certain);
            }
        }
        out.by_account(a, b);
        out.by_spelling(a, b);
        out
    }

    pub fn new_of(&self, old: TaxonId) -> Option<TaxonId> {
        self.to_new.get(old.0 as usize).copied().flatten()
    }

    pub fn old_of(&self, new: TaxonId) -> Option<TaxonId> {
        self.to_old.get(new.0 as usize).copied().flatten()
    }

    pub fn sure(&self, old: TaxonId) -> Sure {
        self.sure[old.0 as usize]
    }

    /// Whether two lists name the same taxa in the same order.
    pub fn same(&self, old: &[TaxonId], new: &[TaxonId]) -> bool {
        old.len() == new.len() && old.iter().zip(new).all(|(o, n)| self.new_of(*o) == Some(*n))
    }

    /// Names that stand where others stood, and nowhere else: behind leads that were not touched, or
    /// in the same genus.
    pub fn by_place(&mut self, a: &Side, b: &Side, pairs: &Pairs) {
        let mut stand: HashMap<TaxonId, Option<TaxonId>> = HashMap::new();
        for (id, _) in a.key.leads() {
            let names = a.names(id);
            for (i, &t) in names.iter().enumerate().filter(|(_, t)| self.new_of(**t).is_none()) {
                let at = pairs.lead(id);
                let there = at.map(|n| b.names(n)).filter(|n| n.len() == names.len());
                let one = there.map(|n| n[i]).filter(|n| self.old_of(*n).is_none());
                let untouched = at.is_some_and(|n| body(a, id) == body(b, n));
                let one = one.filter(|n| untouched || genus(a, t) == genus(b, *n));
                let met = stand.entry(t).or_insert(one);
                if *met != one {
                    *met = None;
                }
            }
        }
        let mut found: Vec<(TaxonId, TaxonId)> =
            stand.into_iter().filter_map(|(t, n)| Some((t, n?))).collect();
        found.sort_unstable();
        for (t, n) in found {
            // With accounts that differ they are two plants, not two names.
            if a.key.taxon(t).has_account == b.key.taxon(n).has_account {
                self.pair(t, n, Sure::Likely);
            }
        }
    }

    fn pair(&mut self, old: TaxonId, new: TaxonId, sure: Sure) {
        let (o, n) = (old.0 as usize, new.0 as usize);
        if self.to_new[o].is_none() && self.to_old[n].is_none() {
            self.to_new[o] = Some(new);
            self.to_old[n] = Some(old);
            self.sure[o] = sure;
        }
    }

    fn left(&self, a: &Side, b: &Side) -> (Vec<TaxonId>, Vec<TaxonId>) {
        let old = a.key.taxon_ids().filter(|t| self.new_of(*t).is_none()).collect();
        let new = b.key.taxon_ids().filter(|t| self.old_of(*t).is_none()).collect();
        (old, new)
    }

    fn by_account(&mut self, a: &Side, b: &Side) {
        let (old, new) = self.left(a, b);
        let said = |side: &Side, t: TaxonId| -> Option<Vec<String>> {
            let taxon = side.key.taxon(t);
            let parts: Vec<String> =
                taxon.parts.iter().map(|p| super::side::plain(side.slice(p.span))).collect();
            (!parts.is_empty()).then_some(parts)
        };
        let mut by: HashMap<Vec<String>, Vec<TaxonId>> = HashMap::new();
        for n in new {
            if let Some(parts) = said(b, n) {
                by.entry(parts).or_default().push(n);
            }
        }
        for t in old {
            if let Some([one]) = said(a, t).and_then(|p| by.get(&p)).map(Vec::as_slice) {
                self.pair(t, *one, Sure::Likely);
            }
        }
    }

    fn by_spelling(&mut self, a: &Side, b: &Side) {
        let (old, new) = self.left(a, b);
        if old.len().saturating_mul(new.len()) > MOST_PAIRS {
            return;
        }
        let mut near: Vec<(usize, TaxonId, TaxonId)> = Vec::new();
        for &t in &old {
            let name = folded(&a.key.taxon(t).name);
            for &n in &new {
                let other = folded(&b.key.taxon(n).name);
                if name.len().abs_diff(other.len()) > 2 || name.len() < 8 {
                    continue;
                }
                let distance = strsim::osa_distance(&name, &other);
                if distance <= 2 {
                    near.push((distance, t, n));
                }
            }
        }
        near.sort_unstable();
        for (_, t, n) in near {
            self.pair(t, n, Sure::Likely);
        }
    }
}

fn genus<'s>(side: &'s Side, taxon: TaxonId) -> &'s str {
    side.key.taxon(taxon).name.split(' ').next().unwrap_or("")
}

fn body<'s>(side: &'s Side, lead: LeadId) -> &'s str {
    &side.leads[lead.couplet.0 as usize][lead.index as usize]
}

fn sorted(map: &HashMap<String, TaxonId>) -> Vec<(&str, &TaxonId)> {
    let mut all: Vec<(&str, &TaxonId)> = map.iter().map(|(n, t)| (n.as_str(), t)).collect();
    all.sort_unstable_by_key(|(name, t)| (t.0, *name));
    all
}
