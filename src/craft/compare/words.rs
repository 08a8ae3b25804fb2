//! How alike the words of two couplets are.

use std::collections::HashMap;
use std::hash::Hash;
use std::ops::Range;

use crate::key::{CoupletId, LeadId};
use crate::text::language::fold;

use super::side::Side;

/// The words of all leads of both issues as numbers, sorted in each lead.
pub(super) struct Interned {
    old: Vec<Vec<Vec<u32>>>,
    new: Vec<Vec<Vec<u32>>>,
}

impl Interned {
    pub fn of(a: &Side, b: &Side) -> Interned {
        let mut numbers: HashMap<String, u32> = HashMap::new();
        let mut all = |side: &Side| -> Vec<Vec<Vec<u32>>> {
            let couplets = side.leads.iter();
            couplets.map(|c| c.iter().map(|l| interned(l, &mut numbers)).collect()).collect()
        };
        let old = all(a);
        let new = all(b);
        Interned { old, new }
    }

    pub fn old_lead(&self, id: LeadId) -> &[u32] {
        &self.old[id.couplet.0 as usize][id.index as usize]
    }

    pub fn new_lead(&self, id: LeadId) -> &[u32] {
        &self.new[id.couplet.0 as usize][id.index as usize]
    }

    /// Each word once.
    pub fn old_words(&self, id: CoupletId) -> Vec<u32> {
        once(&self.old[id.0 as usize])
    }

    /// Each word once.
    pub fn new_words(&self, id: CoupletId) -> Vec<u32> {
        once(&self.new[id.0 as usize])
    }

    /// The share of words that two couplets have in common, 0 to 1.
    pub fn alike(&self, old: CoupletId, new: CoupletId) -> f64 {
        let all = |leads: &[Vec<u32>]| {
            let mut words: Vec<u32> = leads.iter().flatten().copied().collect();
            words.sort_unstable();
            words
        };
        alike(&all(&self.old[old.0 as usize]), &all(&self.new[new.0 as usize]))
    }
}

fn once(leads: &[Vec<u32>]) -> Vec<u32> {
    let mut words: Vec<u32> = leads.iter().flatten().copied().collect();
    words.sort_unstable();
    words.dedup();
    words
}

fn interned(lead: &str, numbers: &mut HashMap<String, u32>) -> Vec<u32> {
    let folded = fold(lead);
    let words = folded.split_whitespace().map(|w| w.trim_matches([',', ';', '.', ':', '(', ')']));
    let mut out: Vec<u32> = words
        .filter(|w| !w.is_empty())
        .map(|w| {
            let next = numbers.len() as u32;
            *numbers.entry(w.to_string()).or_insert(next)
        })
        .collect();
    out.sort_unstable();
    out
}

/// The share of sorted words that two lists have in common (Dice's coefficient of the two
/// multisets): 1 where they are the same.
pub(super) fn alike(a: &[u32], b: &[u32]) -> f64 {
    if a.is_empty() && b.is_empty() {
        return 1.0;
    }
    let (mut i, mut j, mut both) = (0, 0, 0);
    while i < a.len() && j < b.len() {
        match a[i].cmp(&b[j]) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => {
                both += 1;
                i += 1;
                j += 1;
            }
        }
    }
    2.0 * f64::from(both) / (a.len() + b.len()) as f64
}

/// A piece of two texts: the same in both, or what stands in the one for what stands in the other.
pub(super) struct Piece {
    pub same: bool,
    pub old: Range<usize>,
    pub new: Range<usize>,
}

/// Beyond so much work two texts are not taken apart any more: what differs is one piece.
const MOST_WORK: usize = 4_000_000;

/// What two lists have in common, in order.
pub(super) fn pieces<T: Eq + Hash + Ord>(old: &[T], new: &[T]) -> Vec<Piece> {
    let head = old.iter().zip(new).take_while(|(o, n)| o == n).count();
    let most = old.len().min(new.len()) - head;
    let ends = old.iter().rev().zip(new.iter().rev()).take(most);
    let tail = ends.take_while(|(o, n)| o == n).count();
    let (from, to) = (&old[head..old.len() - tail], &new[head..new.len() - tail]);
    let (mut i, mut j) = (head, head);
    let mut out = vec![Piece { same: true, old: 0..head, new: 0..head }];
    let mut add = |same: bool, o: usize, n: usize| {
        out.push(Piece { same, old: i..i + o, new: j..j + n });
        (i, j) = (i + o, j + n);
    };
    if from.len().saturating_mul(to.len()) > MOST_WORK {
        add(false, from.len(), to.len());
    } else {
        // Only the lengths are relied on: of a piece that is in one text only, the place in the
        // other is not always told right.
        for op in similar::capture_diff_slices(similar::Algorithm::Myers, from, to) {
            match op.tag() {
                similar::DiffTag::Equal => add(true, op.old_range().len(), op.new_range().len()),
                similar::DiffTag::Replace => add(false, op.old_range().len(), op.new_range().len()),
                similar::DiffTag::Delete => add(false, op.old_range().len(), 0),
                similar::DiffTag::Insert => add(false, 0, op.new_range().len()),
            }
        }
    }
    add(true, tail, tail);
    out
}
