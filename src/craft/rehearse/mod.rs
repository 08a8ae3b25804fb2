//! A key rehearsed: simulated readers take plants of every taxon through it, and misread.
//!
//! The reader. At each couplet he looks once at every character that its leads state and that the
//! specimen in hand shows. With the misreading rate of the character he sees something else: any
//! other state, each as likely (of steps a neighbouring one); of a number, one that another lead
//! asks for. What is left as prose he reads as one thing more, and misreads at the general rate.
//! Then he takes the lead that most of what he saw speaks for, less what speaks against it; where
//! several stand level, one of them by chance. Where nothing that he can see parts the leads, he
//! gives up (or, if so asked, guesses). Every look is a new one; the plant stays what it is.
//!
//! With one character a couplet this is the independent error of each decision: the share of right
//! names is (1 - e)^d at the end of d couplets. The general rate of 0.21 is what J. Wäldchen and
//! others 2022, People and Nature 4: 1603-1615, measured of 484 people (read: abstract).

mod desk;
mod exact;
mod repair;
mod sample;
mod sight;

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use serde::Serialize;

use crate::check::Examination;
use crate::check::reason::Ground;
use crate::check::reason::course::Way;
use crate::check::reason::courses::{Run, home};
use crate::check::study::weights;
use crate::key::couplet::Place;
use crate::key::{CharacterId, CoupletId, LeadId, Outcome};

pub use repair::{Change, Repair};
pub use sight::Specimens;

/// The share of characters that people misread.
pub const MISREADING: f64 = 0.21;

/// How the readers read.
#[derive(Clone, Debug)]
pub struct Readers {
    /// The rate at which a character is misread, and prose.
    pub misreading: f64,
    /// Other rates of some characters.
    pub of_character: BTreeMap<CharacterId, f64>,
    /// What they have in hand.
    pub specimens: Specimens,
    /// Where nothing parts the leads they take one by chance.
    pub guess: bool,
    /// So many readers a taxon are drawn where the shares cannot be worked out.
    pub drawn: usize,
    pub seed: u64,
    /// Draw even where the shares can be worked out.
    pub always_draw: bool,
}

impl Default for Readers {
    fn default() -> Readers {
        Readers {
            misreading: MISREADING,
            of_character: BTreeMap::new(),
            specimens: Specimens::default(),
            guess: false,
            drawn: 20_000,
            seed: 1,
            always_draw: false,
        }
    }
}

impl Readers {
    fn rate(&self, character: CharacterId) -> f64 {
        self.of_character.get(&character).copied().unwrap_or(self.misreading)
    }
}

/// What came of it.
#[derive(Clone, Debug, Serialize)]
pub struct Rehearsal {
    /// The mean share of right names, each taxon weighing the same.
    pub right: f64,
    /// Weighted by how common the taxa are; `None` where no account says.
    pub right_by_abundance: Option<f64>,
    /// The share that gave up, each taxon weighing the same.
    pub gave_up: f64,
    pub taxa: Vec<OneTaxon>,
    /// The couplets that lose readers on the right way, those that lose most first.
    pub losses: Vec<Loss>,
    /// What single changes would gain, the best first.
    pub repairs: Vec<Repair>,
    /// The seed, where some shares were drawn.
    pub seed: Option<u64>,
    pub cut_short: bool,
}

/// The readers of one taxon.
#[derive(Clone, Debug, Serialize)]
pub struct OneTaxon {
    pub taxon: String,
    pub right: f64,
    pub gave_up: f64,
    /// The standard error of `right`, where it was drawn.
    pub error: Option<f64>,
    /// Wrong ends, the most frequent first.
    pub confusions: Vec<Confusion>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Confusion {
    /// The name or names; empty for an end without one.
    pub name: String,
    pub share: f64,
}

#[derive(Clone, Debug, Serialize)]
pub struct Loss {
    pub couplet: String,
    /// The share of all readers that leaves the right way here, or gives up; each taxon weighs the
    /// same.
    pub share: f64,
    /// Of those that come here on the right way.
    pub of_arriving: f64,
}

/// Where the readers of one taxon end.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ends {
    pub leads: BTreeMap<LeadId, f64>,
    /// Gave up at a couplet.
    pub gave_up: BTreeMap<CoupletId, f64>,
    /// Left the right way at a couplet, or gave up there; and how many arrived on it.
    pub lost: BTreeMap<CoupletId, f64>,
    pub arrived: BTreeMap<CoupletId, f64>,
    /// So many readers were drawn; none where the shares are exact.
    pub drawn: Option<usize>,
}

/// One taxon with what its readers need.
pub(crate) struct Case<'e> {
    pub run: &'e Run,
    /// Its way to its name.
    pub way: Way,
    pub home: fixedbitset::FixedBitSet,
    pub hidden: BTreeSet<CharacterId>,
    pub weight: f64,
}

/// Lets readers take every taxon through the key. Taxa without any account are read by prose and
/// silence alone. `repairs`: how many couplets are looked into for a better key; none for 0.
pub fn rehearse(exam: &Examination, readers: &Readers, repairs: usize) -> Rehearsal {
    let ground = exam.ground();
    let cases = cases(exam, readers);
    let watch = exam.watch();
    watch.begin("simulated readers", cases.len());
    let ends: Vec<Option<Ends>> = cases
        .par_iter()
        .map(|case| {
            watch.step();
            (!watch.stopped()).then(|| of_one(ground, readers, case))
        })
        .collect();
    let cut_short =
        exam.graph.is_circular() || exam.courses().cut_short || ends.iter().any(Option::is_none);
    let (cases, ends): (Vec<Case>, Vec<Ends>) =
        cases.into_iter().zip(ends).filter_map(|(c, e)| Some((c, e?))).unzip();
    let taxa: Vec<OneTaxon> =
        cases.iter().zip(&ends).map(|(case, ends)| one(exam, case, ends)).collect();
    let n = taxa.len().max(1) as f64;
    let by_abundance = weights(exam.key).1.then(|| {
        let all: f64 = cases.iter().map(|c| c.weight).sum();
        cases.iter().zip(&taxa).map(|(c, t)| c.weight * t.right).sum::<f64>() / all
    });
    let repairs = match repairs {
        0 => Vec::new(),
        most => repair::best(exam, readers, &cases, &ends, most),
    };
    Rehearsal {
        right: taxa.iter().map(|t| t.right).sum::<f64>() / n,
        right_by_abundance: by_abundance,
        gave_up: sum(taxa.iter().map(|t| t.gave_up)) / n,
        losses: losses(exam, &ends),
        repairs,
        seed: ends.iter().any(|e| e.drawn.is_some()).then_some(readers.seed),
        taxa,
        cut_short,
    }
}

fn cases<'e>(exam: &'e Examination, readers: &Readers) -> Vec<Case<'e>> {
    // No reader is sent round in a circle.
    if exam.graph.is_circular() {
        return Vec::new();
    }
    let courses = exam.courses();
    let runs = courses.all();
    let (weight, _) = weights(exam.key);
    // Readers begin where the key begins.
    let start = exam.graph.start().map(|c| exam.graph.position(Place::Couplet(c)));
    runs.into_iter()
        .map(|run| Case {
            run,
            way: courses.way(exam.ground(), run),
            home: home(exam.ground(), &run.course.own),
            hidden: readers.specimens.hidden(exam.key, run.course.taxon),
            weight: weight[run.course.taxon.0 as usize],
        })
        .filter(|case| start.is_some_and(|s| case.home.contains(s)))
        .collect()
}

pub(crate) fn of_one(ground: &Ground, readers: &Readers, case: &Case) -> Ends {
    if !readers.always_draw
        && let Some(ends) = exact::ends(ground, readers, case)
    {
        return ends;
    }
    sample::ends(ground, readers, case)
}

fn one(exam: &Examination, case: &Case, ends: &Ends) -> OneTaxon {
    let mut right = 0.0;
    let mut wrong: BTreeMap<String, f64> = BTreeMap::new();
    for (lead, share) in &ends.leads {
        if case.run.course.own.contains(lead) {
            right += share;
        } else {
            let name = match &exam.lead(*lead).outcome {
                Outcome::Taxa(taxa) => {
                    let names = taxa.iter().map(|t| exam.key.taxon(*t).name.as_str());
                    names.collect::<Vec<_>>().join(" or ")
                }
                _ => String::new(),
            };
            *wrong.entry(name).or_default() += share;
        }
    }
    let mut confusions: Vec<Confusion> = wrong
        .into_iter()
        .filter(|(_, share)| *share > 0.0)
        .map(|(name, share)| Confusion { name, share })
        .collect();
    confusions.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.name.cmp(&b.name)));
    OneTaxon {
        taxon: exam.key.taxon(case.run.course.taxon).name.clone(),
        right,
        gave_up: sum(ends.gave_up.values().copied()),
        error: ends.drawn.map(|n| (right * (1.0 - right) / n as f64).sqrt()),
        confusions,
    }
}

// The sum of no floats is minus nothing, which nobody wants to read.
fn sum(of: impl Iterator<Item = f64>) -> f64 {
    of.fold(0.0, |a, b| a + b)
}

fn losses(exam: &Examination, ends: &[Ends]) -> Vec<Loss> {
    let mut at: BTreeMap<CoupletId, (f64, f64)> = BTreeMap::new();
    for e in ends {
        for (couplet, share) in &e.arrived {
            at.entry(*couplet).or_default().1 += share;
        }
        for (couplet, share) in &e.lost {
            at.entry(*couplet).or_default().0 += share;
        }
    }
    let n = ends.len().max(1) as f64;
    let mut out: Vec<(CoupletId, f64, f64)> = at
        .into_iter()
        .filter(|(_, (lost, _))| *lost > 0.0)
        .map(|(c, (lost, arrived))| (c, lost / n, lost / arrived.max(f64::MIN_POSITIVE)))
        .collect();
    out.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let loss = |(couplet, share, of_arriving)| Loss {
        couplet: exam.couplet_name(couplet),
        share,
        of_arriving,
    };
    out.into_iter().map(loss).collect()
}
