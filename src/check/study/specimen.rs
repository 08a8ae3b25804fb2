//! The specimen in hand: which taxa a key can still name when part of the plant is missing, when
//! it is pressed, or when there is no lens.
//!
//! A couplet can be answered where the lead that the plant takes and every other lead of it speak
//! of one visible character and share no usual value of it, or one end of two ranges at most; where both were left unread, where
//! they begin with the same word about a visible part.

use std::collections::BTreeMap;

use serde::Serialize;

use super::organs::{Organ, organ_of_prose, organs};
use super::pressing::lost;
use crate::check::Examination;
use crate::check::reason::course::Way;
use crate::check::reason::demand::Demand;
use crate::check::reason::intervals::Intervals;
use crate::check::reason::values::Values;
use crate::key::character::Tool;
use crate::key::couplet::Place;
use crate::key::{CharacterId, ConditionId, CoupletId, Key, LeadId, StateSet, TaxonId};
use crate::sift::meta::Meta;
use crate::text::language::fold;

/// What there is of a plant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scenario {
    LeavesOnly,
    FlowersOnly,
    FruitsOnly,
    PressedOnly,
    WithoutALens,
}

impl Scenario {
    pub const ALL: [(Scenario, &'static str); 5] = [
        (Scenario::LeavesOnly, "leaves only"),
        (Scenario::FlowersOnly, "flowers only"),
        (Scenario::FruitsOnly, "fruits or seeds only"),
        (Scenario::PressedOnly, "pressed, nothing noted"),
        (Scenario::WithoutALens, "without a lens"),
    ];

    pub fn words(self) -> &'static str {
        Scenario::ALL[self as usize].1
    }

    fn organ(self) -> Option<Organ> {
        match self {
            Scenario::LeavesOnly => Some(Organ::Leaf),
            Scenario::FlowersOnly => Some(Organ::Flower),
            Scenario::FruitsOnly => Some(Organ::Fruit),
            _ => None,
        }
    }
}

/// What a key does for such specimens.
#[derive(Clone, Debug, Serialize)]
pub struct InHand {
    pub scenario: Scenario,
    /// Characters of the key that can be looked at, of those that it declares.
    pub characters: usize,
    pub characters_of: usize,
    /// Taxa that are named, of all that the key has a route to.
    pub named: usize,
    pub of: usize,
    /// The couplets that stop them, those that stop most first.
    pub stops: Vec<StopAt>,
    pub taxa: Vec<OneTaxon>,
}

/// A couplet that cannot be answered.
#[derive(Clone, Debug, Serialize)]
pub struct StopAt {
    pub couplet: String,
    /// The taxa that it stops before any other couplet does.
    pub taxa: Vec<String>,
}

/// How far a taxon gets.
#[derive(Clone, Debug, Serialize)]
pub struct OneTaxon {
    pub taxon: String,
    /// The share of its plants that is named.
    pub named: f64,
    /// Where most of the others are stopped, and how many taxa are then still possible.
    pub stopped_at: Option<String>,
    pub left: usize,
}

/// What can be seen in a scenario.
pub(super) struct Sight<'e, 'k> {
    exam: &'e Examination<'k>,
    scenario: Scenario,
    organs: &'e [Organ],
    metas: &'e [Meta],
    /// Of which nothing is said of the press, and which it does not keep.
    lost: &'e [Option<&'static str>],
}

/// All scenarios, in order. Those of which a key has no character at all are left out.
pub fn in_hand(exam: &Examination) -> Vec<InHand> {
    let organs = organs(exam.key);
    let metas: Vec<Meta> = exam.key.characters.iter().map(Meta::of).collect();
    let lost = lost(exam);
    let courses = exam.courses();
    let runs = courses.all();
    let mut followed: Vec<Vec<Followed>> =
        vec![Vec::with_capacity(runs.len()); Scenario::ALL.len()];
    let sight =
        |(scenario, _)| Sight { exam, scenario, organs: &organs, metas: &metas, lost: &lost };
    let sights = Scenario::ALL.map(sight);
    for run in &runs {
        let way = courses.way(exam.ground(), run);
        for (sight, followed) in sights.iter().zip(&mut followed) {
            let (named, stopped) = sight.follow(&way);
            followed.push(Followed { taxon: run.course.taxon, named, stopped });
        }
    }
    sights.iter().zip(followed).map(|(sight, followed)| sight.in_hand(followed)).collect()
}

/// How far the plants of a taxon come: the share that is named, and where most of the others are
/// stopped.
#[derive(Clone)]
struct Followed {
    taxon: TaxonId,
    named: f64,
    stopped: Option<LeadId>,
}

impl<'e, 'k> Sight<'e, 'k> {
    pub(super) fn pressed(
        exam: &'e Examination<'k>,
        organs: &'e [Organ],
        metas: &'e [Meta],
        lost: &'e [Option<&'static str>],
    ) -> Sight<'e, 'k> {
        Sight { exam, scenario: Scenario::PressedOnly, organs, metas, lost }
    }

    fn in_hand(&self, followed: Vec<Followed>) -> InHand {
        let key = self.exam.key;
        let mut stops: BTreeMap<CoupletId, Vec<TaxonId>> = BTreeMap::new();
        let mut behind: BTreeMap<LeadId, usize> = BTreeMap::new();
        let mut taxa = Vec::with_capacity(followed.len());
        for Followed { taxon, named, stopped } in followed {
            let stopped_at = stopped.filter(|_| named < 0.5);
            if let Some(lead) = stopped_at {
                stops.entry(lead.couplet).or_default().push(taxon);
            }
            taxa.push(OneTaxon {
                taxon: key.taxon(taxon).name.clone(),
                named,
                stopped_at: stopped_at.map(|l| self.exam.couplet_name(l.couplet)),
                left: stopped_at.map_or(1, |l| *behind.entry(l).or_insert_with(|| self.left(l))),
            });
        }
        let mut stops: Vec<StopAt> = stops
            .into_iter()
            .map(|(couplet, taxa)| StopAt {
                couplet: self.exam.couplet_name(couplet),
                taxa: taxa.iter().map(|t| key.taxon(*t).name.clone()).collect(),
            })
            .collect();
        stops.sort_by_key(|s| std::cmp::Reverse(s.taxa.len()));
        InHand {
            scenario: self.scenario,
            characters: key.character_ids().filter(|c| self.sees(*c)).count(),
            characters_of: key.characters.len(),
            named: taxa.iter().filter(|t| t.named >= 0.5).count(),
            of: taxa.len(),
            stops,
            taxa,
        }
    }

    /// Whether a character can be looked at.
    fn sees(&self, character: CharacterId) -> bool {
        let i = character.0 as usize;
        match self.scenario {
            Scenario::PressedOnly => {
                !self.metas[i].is_lost(ConditionId::PRESSED) && self.lost[i].is_none()
            }
            Scenario::WithoutALens => self.exam.key.character(character).tool == Tool::Eye,
            _ => self.scenario.organ() == Some(self.organs[i]),
        }
    }

    /// The share of a taxon's plants that gets through to its name, and the lead at which most of
    /// the others are stopped.
    fn follow(&self, way: &Way) -> (f64, Option<LeadId>) {
        let ground = self.exam.ground();
        let mut leads: Vec<(LeadId, f64)> = way.taken.iter().map(|(l, s)| (*l, *s)).collect();
        leads.sort_by_key(|(l, _)| (ground.rank(Place::Couplet(l.couplet)), *l));
        let mut at: BTreeMap<CoupletId, f64> = BTreeMap::new();
        let mut at_lead: BTreeMap<LeadId, f64> = BTreeMap::new();
        let mut stopped: BTreeMap<LeadId, f64> = BTreeMap::new();
        let mut named = 0.0;
        for couplets in leads.chunk_by(|a, b| a.0.couplet == b.0.couplet) {
            let couplet = couplets[0].0.couplet;
            let all: f64 = couplets.iter().map(|(_, s)| s).sum();
            // Where the course begins, all of it arrives.
            let arrived =
                at.get(&couplet).copied().unwrap_or(if at.is_empty() { 1.0 } else { 0.0 });
            at.entry(couplet).or_insert(arrived);
            for (lead, share) in couplets {
                let pointed = at_lead.get(lead).copied().unwrap_or(0.0);
                let mut here = arrived * share / all.max(f64::MIN_POSITIVE);
                if !self.answers(*lead) {
                    *stopped.entry(*lead).or_default() += here;
                    here = 0.0;
                }
                here += pointed;
                match ground.target(*lead) {
                    Some(Place::Couplet(c)) => *at.entry(c).or_default() += here,
                    Some(Place::Lead(l)) => *at_lead.entry(l).or_default() += here,
                    None => named += here,
                }
            }
        }
        let most = stopped.iter().max_by(|a, b| a.1.total_cmp(b.1)).map(|(l, _)| *l);
        (named, most)
    }

    /// Whether a plant that takes a lead can be told from those that take any other.
    pub(super) fn answers(&self, lead: LeadId) -> bool {
        self.others(lead).all(|other| self.parts(lead, other))
    }

    fn others(&self, lead: LeadId) -> impl Iterator<Item = LeadId> + use<> {
        let leads = self.exam.couplet(lead.couplet).leads.len() as u16;
        let all = (0..leads).map(move |index| LeadId { couplet: lead.couplet, index });
        all.filter(move |l| *l != lead)
    }

    fn parts(&self, a: LeadId, b: LeadId) -> bool {
        let ground = self.exam.ground();
        let other = ground.demands(b);
        let read = ground.demands(a).of.iter().any(|one| {
            self.sees(one.character)
                && other.get(one.character).is_some_and(|two| self.differ(one, two))
        });
        read || self.parts_by_prose(a, b)
    }

    fn differ(&self, a: &Demand, b: &Demand) -> bool {
        if self.scenario != Scenario::PressedOnly {
            return a.usual.parts(&b.usual);
        }
        let meta = &self.metas[a.character.0 as usize];
        let described = self.exam.key.heading.described;
        match (&a.usual, &b.usual) {
            (Values::States(x), Values::States(y)) => {
                let look = |set: &StateSet| {
                    let mut out = StateSet::default();
                    for s in set.iter() {
                        out.extend(&meta.seen_as(s, described, ConditionId::PRESSED));
                    }
                    out
                };
                !look(x).overlaps(&look(y))
            }
            (Values::Numbers(x), Values::Numbers(y)) => {
                let factors = meta.factors(described, ConditionId::PRESSED);
                let (low, high) = factors.shares();
                let shrunk = |set: &Intervals| -> Vec<_> {
                    set.iter()
                        .filter_map(|i| {
                            let (l, h) = (i.scaled(low)?, i.scaled(high)?);
                            Some(crate::sift::cut::Interval { low: l.low, high: h.high })
                        })
                        .collect()
                };
                let values = |set| Values::Numbers(Intervals::of(shrunk(set)));
                values(x).parts(&values(y))
            }
            _ => false,
        }
    }

    fn parts_by_prose(&self, a: LeadId, b: LeadId) -> bool {
        let key = self.exam.key;
        let (one, two) = (prose(key, a), prose(key, b));
        one.iter().any(|(word, organ)| {
            let seen = self.scenario.organ().is_none_or(|o| o == *organ);
            seen && two.iter().any(|(w, _)| w == word)
        })
    }

    /// How many taxa are possible when this lead cannot be told from some of the others.
    fn left(&self, lead: LeadId) -> usize {
        let like = self.others(lead).filter(|o| !self.parts(lead, *o)).chain([lead]);
        let reached = self.exam.graph.reach(like.map(Place::Lead));
        self.exam.graph.taxa_of(self.exam.key, &reached).len()
    }
}

// The first word of each unread part of a lead, and what part of the plant it speaks of.
fn prose(key: &Key, lead: LeadId) -> Vec<(String, Organ)> {
    let singular = key.heading.language.singular;
    let unread = key.lead(lead).parts.iter().filter_map(|p| Some((p, p.prose?)));
    unread
        .map(|(part, span)| {
            let words = fold(key.source.slice(span));
            let first = words.split(' ').next().unwrap_or("");
            (singular(first).into_owned(), organ_of_prose(key, part))
        })
        .collect()
}
