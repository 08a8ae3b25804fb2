//! What an editor wants to know of a whole key, beside the findings: where every taxon goes, what
//! can be named from the specimen in hand, and how good the key is.

pub mod organs;
pub mod pressing;
pub mod quality;
pub mod specimen;
pub mod table;

use serde::Serialize;

use crate::check::reason::apart::{apart, told_by};
use crate::check::reason::forms::Forms;
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
    /// The nearest pairs: the first of them.
    pub nearest: Vec<Near>,
    /// How many there are of each kind.
    pub pairs: Vec<Pairs>,
}

/// Two taxa that few characters tell apart.
#[derive(Clone, Debug, Serialize)]
pub struct Near {
    pub first: String,
    pub second: String,
    /// How many characters tell them apart: 0, 1 or 2.
    pub by: usize,
    /// Which.
    pub characters: Vec<String>,
}

/// How many pairs of taxa so many characters tell apart.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub struct Pairs {
    pub by: usize,
    pub pairs: usize,
    /// Besides: one account says nothing of most characters of the other.
    pub silent: usize,
    /// Besides: there are too many to look into each.
    pub not_looked_into: usize,
}

/// The most pairs of taxa that are listed.
const MOST_NEAR: usize = 60;

/// The most pairs of each kind that are looked into.
const MOST_LOOKED_INTO: usize = 4000;

impl Study {
    pub fn of(exam: &super::Examination) -> Study {
        let (nearest, pairs) = nearest(exam);
        Study {
            outcomes: Outcomes::of(exam),
            in_hand: in_hand(exam),
            before_pressing: before_pressing(exam),
            quality: Quality::of(exam),
            nearest,
            pairs,
        }
    }
}

fn nearest(exam: &super::Examination) -> (Vec<Near>, Vec<Pairs>) {
    let courses = exam.courses();
    let apart = apart(courses, MOST_LOOKED_INTO, exam.watch());
    let name = |t: TaxonId| exam.key.taxon(t).name.clone();
    let (mut nearest, mut counts) = (Vec::new(), Vec::new());
    for (by, pairs) in [apart.none, apart.one, apart.two].into_iter().enumerate() {
        let mut of = Pairs { by, ..Pairs::default() };
        of.not_looked_into = apart.counts[by] - pairs.len();
        for (a, b) in pairs {
            let (Some(one), Some(other)) = (courses.get(a), courses.get(b)) else { continue };
            if is_silent(&one.forms, &other.forms) {
                of.silent += 1;
                continue;
            }
            of.pairs += 1;
            if nearest.len() < MOST_NEAR {
                let told = told_by(&one.forms, &other.forms);
                let characters = told.iter().map(|c| exam.key.character(*c).name.clone());
                let characters = characters.collect();
                nearest.push(Near { first: name(a), second: name(b), by, characters });
            }
        }
        counts.push(of);
    }
    (nearest, counts)
}

// Whether one of two accounts says nothing of most characters of the other.
fn is_silent(one: &Forms, other: &Forms) -> bool {
    let common = one.iter().filter(|(c, _)| other.get(*c).is_some()).count();
    let most = one.iter().count().max(other.iter().count());
    2 * common < most
}

impl Pairs {
    /// `3 pairs; 12 more where an account says nothing of most characters of the other`.
    pub fn in_words(&self) -> String {
        let pair = |n: usize| if n == 1 { "1 pair".to_string() } else { format!("{n} pairs") };
        let mut said = pair(self.pairs);
        if self.silent > 0 {
            said += &format!(
                "; {} left out, for one account says nothing of most characters of the other",
                self.silent
            );
        }
        if self.not_looked_into > 0 {
            said += &format!("; {} not looked into", self.not_looked_into);
        }
        said
    }
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
