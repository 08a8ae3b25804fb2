//! Names that differ by one or two letters, found without holding every name against every other.

use indexmap::IndexMap;

use crate::key::{Key, Outcome, TaxonId};
use crate::text::language::fold;

/// How many neighbours a name is held against in each order. A genus of fewer species is compared
/// whole; in a larger one a pair may be missed whose difference stands both early and late.
const WINDOW: usize = 64;

/// A name near to more than this many others belongs to a series, where nearness says nothing.
const CROWD: usize = 3;

/// A longer name is none; comparing two grows with the product of their lengths.
const LONGEST: usize = 120;

/// Two taxa whose names differ by one or two letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pair {
    pub first: TaxonId,
    pub second: TaxonId,
    /// 1 or 2. Two letters that changed places count as one.
    pub letters: usize,
}

/// A name in lower case, cut after its first word.
struct Name {
    taxon: TaxonId,
    folded: String,
    cut: usize,
}

impl Name {
    fn genus(&self) -> &str {
        &self.folded[..self.cut]
    }

    fn rest(&self) -> &str {
        self.folded[self.cut..].trim_start()
    }
}

/// Pairs of near names among the taxa of a key, each once. A name is cut after its first word, and
/// one of the two halves must be the same: two slips in two words are rare, and the search stays
/// linear. Names with figures in them (`sp. 1`, `sp. 2`) are near on purpose and left out.
pub(super) fn near(key: &Key) -> Vec<Pair> {
    let mut keyed = vec![false; key.taxa.len()];
    for (_, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            taxa.iter().for_each(|t| keyed[t.0 as usize] = true);
        }
    }
    let names: Vec<Name> = key
        .taxon_ids()
        .filter(|t| keyed[t.0 as usize] || key.taxon(*t).has_account)
        .filter(|t| {
            let name = &key.taxon(*t).name;
            name.len() <= LONGEST && !name.bytes().any(|b| b.is_ascii_digit())
        })
        .map(|taxon| {
            let folded = fold(&key.taxon(taxon).name);
            let cut = folded.find(' ').unwrap_or(folded.len());
            Name { taxon, folded, cut }
        })
        .collect();
    let mut pairs = Vec::new();
    same_half(names.iter().map(|n| (n.genus(), n.rest(), n.taxon)), &mut pairs);
    same_half(names.iter().map(|n| (n.rest(), n.genus(), n.taxon)), &mut pairs);
    pairs.sort_unstable();
    pairs.dedup();
    let mut near = vec![0; key.taxa.len()];
    pairs.iter().flat_map(|p| [p.first, p.second]).for_each(|t| near[t.0 as usize] += 1);
    // Whoever stands beside a crowd belongs to it; its neighbours were not all counted.
    let mut crowded: Vec<bool> = near.iter().map(|n| *n > CROWD).collect();
    for pair in &pairs {
        let (a, b) = (pair.first.0 as usize, pair.second.0 as usize);
        if near[a] > CROWD || near[b] > CROWD {
            (crowded[a], crowded[b]) = (true, true);
        }
    }
    let crowded = |t: TaxonId| crowded[t.0 as usize];
    pairs.retain(|p| !crowded(p.first) && !crowded(p.second));
    pairs
}

// Compares the second halves of names whose first halves are the same.
fn same_half<'a>(names: impl Iterator<Item = (&'a str, &'a str, TaxonId)>, pairs: &mut Vec<Pair>) {
    let mut groups: IndexMap<&str, Vec<(&str, TaxonId)>> = IndexMap::new();
    for (half, other, taxon) in names {
        groups.entry(half).or_default().push((other, taxon));
    }
    for mut group in groups.into_values().filter(|g| g.len() > 1) {
        let whole = group.len() <= WINDOW;
        compare(&mut group, |w| beginning(w.bytes()), pairs);
        if !whole {
            // A slip at the beginning of a word leaves its end whole.
            compare(&mut group, |w| beginning(w.bytes().rev()), pairs);
        }
    }
}

fn beginning(bytes: impl Iterator<Item = u8>) -> u64 {
    let mut eight = [0; 8];
    eight.iter_mut().zip(bytes).for_each(|(place, byte)| *place = byte);
    u64::from_be_bytes(eight)
}

// Holds each name against its neighbours in the order of `key`, then of the words themselves. Takes
// those out of the group that turn out to stand in a crowd.
fn compare(group: &mut Vec<(&str, TaxonId)>, key: impl Fn(&str) -> u64, pairs: &mut Vec<Pair>) {
    let mut order: Vec<_> = group.drain(..).map(|(w, t)| (key(w), w, t)).collect();
    order.sort_unstable();
    let shapes: Vec<(usize, u32)> =
        order.iter().map(|(_, w, _)| (w.chars().count(), letters_of(w))).collect();
    let mut near = vec![0; order.len()];
    for (i, &(_, a, x)) in order.iter().enumerate() {
        for (j, &(_, b, y)) in order.iter().enumerate().skip(i + 1).take(WINDOW) {
            if near[i] > CROWD {
                break;
            }
            // Two edits change at most four letters of the set.
            let ((a_len, a_letters), (b_len, b_letters)) = (shapes[i], shapes[j]);
            let far = a_len.abs_diff(b_len) > 2 || (a_letters ^ b_letters).count_ones() > 4;
            if far || a == b {
                continue;
            }
            let letters = distance(a, b);
            // Short words are near to many others.
            let least = if letters == 1 { 3 } else { 6 };
            if letters <= 2 && a_len.min(b_len) >= least {
                pairs.push(Pair { first: x.min(y), second: x.max(y), letters });
                near[i] += 1;
                near[j] += 1;
            }
        }
    }
    let alone = order.iter().zip(&near).filter(|(_, near)| **near <= CROWD);
    group.extend(alone.map(|((_, w, t), _)| (*w, *t)));
}

// How many letters apart; what both words begin and end with is passed over.
fn distance(a: &str, b: &str) -> usize {
    let same = |(x, y): &(char, char)| x == y;
    let begins: usize = a.chars().zip(b.chars()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let (a, b) = (&a[begins..], &b[begins..]);
    let ends: usize =
        a.chars().rev().zip(b.chars().rev()).take_while(same).map(|(c, _)| c.len_utf8()).sum();
    let (a, b) = (&a[..a.len() - ends], &b[..b.len() - ends]);
    match (a.chars().count(), b.chars().count()) {
        (n, 0) | (0, n) => n,
        _ => strsim::osa_distance(a, b),
    }
}

// Which letters occur, as bits; letters beyond a to z share the remaining ones.
fn letters_of(word: &str) -> u32 {
    word.chars().fold(0, |set, c| {
        let bit = match c {
            'a'..='z' => c as u32 - 'a' as u32,
            _ => 26 + (c as u32 % 6),
        };
        set | 1 << bit
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_is_that_of_the_whole_words() {
        let words =
            ["rhoeas", "rhoeus", "rheoas", "rhoea", "roeas", "xrhoeas", "aab", "aba", "ab", ""];
        for a in words {
            for b in words {
                assert_eq!(distance(a, b), strsim::osa_distance(a, b), "{a} {b}");
            }
        }
    }
}
