//! What an editor wants to know of a whole key, beside the findings: where every taxon goes, what
//! can be named from the specimen in hand, and how good the key is.

pub mod organs;
pub mod pressing;
pub mod quality;
pub mod specimen;
pub mod table;

use serde::Serialize;

use crate::key::{Key, TaxonId};
use crate::sift::prior::NOTHING_SAID;

pub use pressing::{NoteFirst, before_pressing};
pub use quality::Quality;
pub use specimen::{InHand, Scenario, in_hand};
pub use table::{Outcomes, Row};

/// Everything of it.
#[derive(Clone, Debug, Serialize)]
pub struct Study {
    pub outcomes: Outcomes,
    pub in_hand: Vec<InHand>,
    pub before_pressing: Vec<NoteFirst>,
    pub quality: Option<Quality>,
    pub nearest: Vec<Near>,
}

/// Two taxa that few characters tell apart.
#[derive(Clone, Debug, Serialize)]
pub struct Near {
    pub first: String,
    pub second: String,
    /// How many characters tell them apart: 0, 1 or 2.
    pub by: usize,
}

/// The most pairs of taxa that are listed.
const MOST_NEAR: usize = 60;

impl Study {
    pub fn of(exam: &super::Examination) -> Study {
        Study {
            outcomes: Outcomes::of(exam),
            in_hand: in_hand(exam),
            before_pressing: before_pressing(exam),
            quality: Quality::of(exam),
            nearest: nearest(exam),
        }
    }
}

fn nearest(exam: &super::Examination) -> Vec<Near> {
    let apart = super::reason::apart::apart(exam.courses(), MOST_NEAR, exam.watch());
    let name = |t: TaxonId| exam.key.taxon(t).name.clone();
    let lists = [apart.none, apart.one, apart.two];
    let all = lists.into_iter().enumerate().flat_map(|(by, pairs)| {
        pairs.into_iter().map(move |(a, b)| Near { first: name(a), second: name(b), by })
    });
    all.take(MOST_NEAR).collect()
}

/// How common each taxon is beside the others, by its number: the weight of its account's word of
/// abundance. Where no account has one, all weigh the same, and the second part is false.
pub fn weights(key: &Key) -> (Vec<f64>, bool) {
    let said = key.taxa.iter().any(|t| t.abundance.is_some());
    let of = |t: &crate::key::Taxon| match (&t.abundance, said) {
        (Some((_, weight)), _) => *weight,
        (None, true) => NOTHING_SAID,
        (None, false) => 1.0,
    };
    (key.taxa.iter().map(of).collect(), said)
}
