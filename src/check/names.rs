//! Names that differ by one or two letters, found without holding every name against every other.

use std::collections::BTreeMap;

use crate::key::{Key, Outcome, TaxonId};
use crate::text::language::fold;

/// How many neighbours a name is held against in each order. A genus of fewer species is compared
/// whole; in a larger one a pair may be missed whose difference stands both early and late.
const WINDOW: usize = 64;

/// Two taxa whose names differ by one or two letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pair {
    pub first: TaxonId,
    pub second: TaxonId,
    /// 1 or 2. Two letters that changed places count as one.
    pub letters: usize,
}

struct Name {
    taxon: TaxonId,
    genus: String,
    rest: String,
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
    let mut names: Vec<Name> = key
        .taxon_ids()
        .filter(|t| keyed[t.0 as usize] || key.taxon(*t).has_account)
        .filter(|t| !key.taxon(*t).name.bytes().any(|b| b.is_ascii_digit()))
        .map(|taxon| {
            let folded = fold(&key.taxon(taxon).name);
            let (genus, rest) = folded.split_once(' ').unwrap_or((&folded, ""));
            Name { taxon, genus: genus.to_string(), rest: rest.to_string() }
        })
        .collect();
    let mut pairs = BTreeMap::new();
    same_half(&mut names, |n| (&n.genus, &n.rest), &mut pairs);
    same_half(&mut names, |n| (&n.rest, &n.genus), &mut pairs);
    pairs.into_iter().map(|((first, second), letters)| Pair { first, second, letters }).collect()
}

type Halves = fn(&Name) -> (&String, &String);

// Compares the second halves of names whose first halves are the same.
fn same_half(names: &mut [Name], halves: Halves, pairs: &mut BTreeMap<(TaxonId, TaxonId), usize>) {
    names.sort_by(|a, b| (halves(a), a.taxon).cmp(&(halves(b), b.taxon)));
    for group in names.chunk_by_mut(|a, b| halves(a).0 == halves(b).0) {
        compare(group, halves, pairs);
        if group.len() > WINDOW {
            // A slip at the beginning of a word leaves its end whole.
            group.sort_by(|a, b| halves(a).1.chars().rev().cmp(halves(b).1.chars().rev()));
            compare(group, halves, pairs);
        }
    }
}

fn compare(group: &[Name], halves: Halves, pairs: &mut BTreeMap<(TaxonId, TaxonId), usize>) {
    let words: Vec<(&str, usize, u32)> = group
        .iter()
        .map(|n| (halves(n).1.as_str(), halves(n).1.chars().count(), letters_of(halves(n).1)))
        .collect();
    for (i, &(a, a_len, a_letters)) in words.iter().enumerate() {
        for (j, &(b, b_len, b_letters)) in words.iter().enumerate().skip(i + 1).take(WINDOW) {
            // Two edits change at most four letters of the set.
            let far = a_len.abs_diff(b_len) > 2 || (a_letters ^ b_letters).count_ones() > 4;
            if far || a == b {
                continue;
            }
            let letters = strsim::osa_distance(a, b);
            // Short words are near to many others.
            let least = if letters == 1 { 3 } else { 6 };
            if letters <= 2 && a_len.min(b_len) >= least {
                let (x, y) = (group[i].taxon, group[j].taxon);
                pairs.insert((x.min(y), x.max(y)), letters);
            }
        }
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
