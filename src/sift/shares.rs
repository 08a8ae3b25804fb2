//! Words of frequency as shares of plants: how often a taxon shows what its account says of it.

use crate::key::StateId;
use crate::key::statement::Choice;
use crate::text::amount::Extent;
use crate::text::frequency::Frequency;

use super::about::{Reach, extreme_of, usual_of};

/// What is said without a word of frequency never shrinks below this share beside words that
/// would leave it nothing (`usually white, almost always hairy, or red`).
const LEAST_STATED: f64 = 0.05;

/// The share of each alternative, summing to one: what a word of frequency stands for (see
/// [`crate::text::frequency::TABLE`]), the rest in equal parts to what is said without one. An
/// alternative that only occurs by misinterpretation keeps a share of nothing.
pub fn shares(words: &[Frequency]) -> Vec<f64> {
    let plain = words.iter().filter(|f| **f == Frequency::Stated).count();
    let others: f64 =
        words.iter().filter(|f| **f != Frequency::Stated).map(|f| f.row().share).sum();
    let each = if plain == 0 { 0.0 } else { (1.0 - others).max(LEAST_STATED) / plain as f64 };
    let raw: Vec<f64> =
        words.iter().map(|f| if *f == Frequency::Stated { each } else { f.row().share }).collect();
    let sum: f64 = raw.iter().sum();
    if sum > 0.0 {
        raw.iter().map(|s| s / sum).collect()
    } else {
        // Nothing but misinterpretations: none is more frequent than another.
        vec![1.0 / words.len().max(1) as f64; words.len()]
    }
}

/// The states of a statement with their shares, in the order of the states. A general word
/// divides its share equally among what it includes: the account does not say which.
pub fn of_choices<'a>(choices: impl IntoIterator<Item = &'a Choice>) -> Vec<(StateId, f64)> {
    let choices: Vec<&Choice> = choices.into_iter().filter(|c| !c.accepts.is_empty()).collect();
    let words: Vec<Frequency> = choices.iter().map(|c| c.frequency).collect();
    let mut out = std::collections::BTreeMap::new();
    for (choice, share) in choices.iter().zip(shares(&words)) {
        let each = share / choice.accepts.len() as f64;
        for state in choice.accepts.iter() {
            *out.entry(state).or_insert(0.0) += each;
        }
    }
    out.into_iter().collect()
}

/// The alternatives of a number with their shares. Limits out of order hold nothing and are left
/// out.
pub fn of_extents<'a>(extents: impl IntoIterator<Item = &'a Extent>, is_count: bool) -> Vec<Reach> {
    let extents: Vec<(&Extent, Reach)> = extents
        .into_iter()
        .map(|e| {
            let usual = usual_of(e, is_count);
            let extreme = extreme_of(e, is_count).join(&usual);
            (e, Reach { usual, extreme, share: 0.0 })
        })
        .filter(|(_, r)| !r.usual.is_void())
        .collect();
    let words: Vec<Frequency> = extents.iter().map(|(e, _)| e.frequency).collect();
    let given = shares(&words);
    extents.into_iter().zip(given).map(|((_, r), share)| Reach { share, ..r }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exception_takes_its_share_and_leaves_the_rest() {
        let s = shares(&[Frequency::Stated, Frequency::Rarely]);
        assert!((s[0] - 0.95).abs() < 1e-12 && (s[1] - 0.05).abs() < 1e-12);
        let s = shares(&[Frequency::Sometimes, Frequency::Sometimes]);
        assert_eq!(s, [0.5, 0.5]);
        let s = shares(&[Frequency::Stated, Frequency::ByMisinterpretation]);
        assert_eq!(s, [1.0, 0.0]);
        assert_eq!(shares(&[Frequency::ByMisinterpretation]), [1.0]);
        assert!(shares(&[]).is_empty());
    }
}
