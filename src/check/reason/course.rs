//! One taxon on its way through the key, as its account describes it.
//!
//! Where the account fits one lead of a couplet and no other, its plants take it. Where it fits
//! several, they divide evenly. Where it says nothing, or a lead could not be read, they are
//! trusted to go where their name stands, if nothing on that way speaks against it. A form once seen stays: white petals at one couplet are
//! white at the next.

use std::collections::{BTreeMap, BTreeSet};

use fixedbitset::FixedBitSet;

use super::Ground;
use super::forms::{Cell, Forms, What};
use super::step::{Fit, kinds};
use crate::key::couplet::Place;
use crate::key::{CharacterId, CoupletId, LeadId, TaxonId};

/// A taxon whose plants travel in more than so many groups beside the first is followed with less
/// memory: its groups are joined wherever they meet.
const MOST_GROUPS: usize = 2_000;

/// Plants that leave the way to their name and are fewer than this are not followed further: no
/// population is so large that it holds one of them.
const LEAST_SHARE: f64 = 1e-9;

/// So many of the characters that an account leaves out are named.
pub const MOST_LEFT_OUT: usize = 8;

/// What plants show, where that sets them apart from others of their taxon.
pub type Showing = Vec<(CharacterId, Vec<Cell>)>;

/// Where the plants of a taxon go.
#[derive(Clone, Debug)]
pub struct Course {
    pub taxon: TaxonId,
    /// The leads that end in its own name; or, where none does, in the nearest group above it.
    pub own: Vec<LeadId>,
    /// That group.
    pub by_group: Option<TaxonId>,
    /// Where its plants end, in the order of the leads.
    pub ends: Vec<End>,
    /// Where plants leave the way to their name, in the order of the leads.
    pub turns: Vec<Turn>,
    /// Where some of its plants fit no lead, in the order of the couplets.
    pub stuck: Vec<Stuck>,
    /// Characters stated in leads that it takes on that way, of which its account says nothing: the
    /// first of them, and how many there are.
    pub left_out: Vec<CharacterId>,
    pub left_out_count: usize,
    /// A couplet on that way asks for something that its account says itself.
    pub tested: bool,
    /// Whether every group of plants could be followed on its own.
    pub exact: bool,
    /// The share of its plants that takes a lead that closes a circle: they are not followed.
    pub round: f64,
}

/// The way of a taxon's plants to their name, lead by lead. As long as the route, and as many
/// routes as there are taxa: found anew where it is wanted, and given up after that.
#[derive(Clone, Debug, Default)]
pub struct Way {
    /// The share of the plants that takes each lead without having left the way.
    pub taken: BTreeMap<LeadId, f64>,
    /// Couplets to which they come on it.
    pub arrived: BTreeSet<CoupletId>,
}

impl Way {
    /// The share of the plants that takes a lead.
    pub fn takes(&self, lead: LeadId) -> f64 {
        self.taken.get(&lead).copied().unwrap_or(0.0)
    }
}

/// Plants at the end of a route.
#[derive(Clone, Debug)]
pub struct End {
    pub lead: LeadId,
    /// Their share of the taxon's plants.
    pub share: f64,
    /// The share that was never trusted and never divided.
    pub sure: f64,
    /// Some of them are no exceptions.
    pub usual: bool,
    /// Where they left the way to their name.
    pub left: Option<Left>,
}

/// A turn off the way to the own name.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    pub lead: LeadId,
    pub showing: Showing,
}

/// The plants that take such a turn.
#[derive(Clone, Debug)]
pub struct Turn {
    pub left: Left,
    pub share: f64,
    /// The share that was neither trusted nor divided up to here. What follows cannot bring it
    /// back.
    pub sure: f64,
    pub usual: bool,
}

/// Plants that fit no lead of a couplet.
#[derive(Clone, Debug)]
pub struct Stuck {
    pub couplet: CoupletId,
    pub share: f64,
    pub sure: f64,
    pub usual: bool,
    pub showing: Showing,
    /// They had left the way to their name before.
    pub astray: bool,
}

/// Plants on the way that can be told apart from others by what is left of their forms.
struct Group {
    restricted: Showing,
    left: Option<usize>,
    usual: bool,
    share: f64,
    sure: f64,
}

type Mark = (Vec<(CharacterId, Vec<What>)>, Option<usize>, bool);

/// A place where plants wait: a couplet, or one lead of it.
type Waiting = BTreeMap<(u32, CoupletId, Option<u16>), BTreeMap<Mark, Group>>;

/// The taxon, and what is known before it sets out.
pub(super) struct Traveller<'g> {
    pub ground: &'g Ground<'g>,
    pub forms: &'g Forms,
    pub starts: &'g [Place],
    pub course: Course,
    /// The places from which its own name can be reached.
    pub home: FixedBitSet,
    /// Where the way is noted, lead by lead, if that is wanted.
    pub way: Option<&'g mut Way>,
    /// The characters of [`Course::left_out`].
    pub left_out: BTreeSet<CharacterId>,
}

impl Traveller<'_> {
    pub(super) fn travel(mut self) -> Course {
        let mut waiting: Waiting = BTreeMap::new();
        let mut lefts: Vec<Left> = Vec::new();
        let mut groups = 0;
        let each = 1.0 / self.starts.len().max(1) as f64;
        for &start in self.starts {
            let group =
                Group { restricted: vec![], left: None, usual: true, share: each, sure: each };
            self.wait(&mut waiting, start, group);
        }
        while let Some(((_, couplet, only), here)) = waiting.pop_first() {
            // One group has to pass here in any case.
            groups += here.len() - 1;
            if groups > MOST_GROUPS {
                self.course.exact = false;
            }
            for group in here.into_values() {
                self.step(couplet, only, group, &mut waiting, &mut lefts);
            }
        }
        self.finish()
    }

    fn is_home(&self, place: Place) -> bool {
        self.home.contains(self.ground.graph.position(place))
    }

    fn wait(&self, waiting: &mut Waiting, place: Place, mut group: Group) {
        let ground = self.ground;
        let (couplet, only) = match place {
            Place::Couplet(c) => (c, None),
            Place::Lead(l) => (l.couplet, Some(l.index)),
        };
        // What is not asked any more need not be remembered.
        group.restricted.retain(|(c, _)| ground.is_live(place, *c));
        if !self.course.exact {
            group.restricted.clear();
        }
        let of = |(c, cells): &(CharacterId, Vec<Cell>)| {
            (*c, cells.iter().map(|cell| cell.what.clone()).collect())
        };
        // Where too many groups travel, it is only kept apart whether they left the way.
        let left = group.left.map(|l| if self.course.exact { l } else { usize::MAX });
        let mark = (group.restricted.iter().map(of).collect(), left, group.usual);
        let here = waiting.entry((ground.rank(place), couplet, only)).or_default();
        match here.get_mut(&mark) {
            Some(old) => {
                old.share += group.share;
                old.sure += group.sure;
            }
            None => {
                here.insert(mark, group);
            }
        }
    }

    fn step(
        &mut self,
        couplet: CoupletId,
        only: Option<u16>,
        group: Group,
        waiting: &mut Waiting,
        lefts: &mut Vec<Left>,
    ) {
        let on_the_way = group.left.is_none();
        if on_the_way {
            self.arrive(couplet);
        }
        let kinds = kinds(self.ground, self.forms, couplet, only, &group.restricted);
        self.course.exact &= !kinds.cut_short;
        for kind in kinds.all {
            let first = only.unwrap_or(0);
            let lead = |i: usize| LeadId { couplet, index: first + i as u16 };
            let usual = group.usual && kind.showing.iter().all(|(c, cells)| self.usual(*c, cells));
            let (share, sure) = (group.share * kind.share, group.sure * kind.share);
            let chosen = self.chosen(&kind.fits, lead);
            if chosen.is_empty() {
                self.course.stuck.push(Stuck {
                    couplet,
                    share,
                    sure,
                    usual,
                    showing: kind.showing,
                    astray: !on_the_way,
                });
                continue;
            }
            let open = kind.fits.iter().filter(|f| **f != Fit::No).count();
            let part = 1.0 / chosen.len() as f64;
            for i in chosen {
                let lead = lead(i);
                if self.ground.closes(lead) {
                    self.course.round += share * part;
                    // What is asked beyond it is not known.
                    self.course.tested = true;
                    continue;
                }
                let mut restricted = group.restricted.clone();
                restricted.retain(|(c, _)| kind.showing.iter().all(|(k, _)| k != c));
                for (c, cells) in &kind.showing {
                    restricted.push((*c, evened(cells)));
                }
                restricted.sort_by_key(|(c, _)| *c);
                let mut left = group.left;
                if left.is_none() {
                    if self.is_home(Place::Lead(lead)) {
                        self.take(lead, share * part);
                    } else if share * part < LEAST_SHARE {
                        continue;
                    } else {
                        let turn = Left { lead, showing: kind.showing.clone() };
                        let certain = if open == 1 { sure } else { 0.0 };
                        self.turn(&turn, share * part, certain, usual);
                        left = Some(lefts.iter().position(|l| *l == turn).unwrap_or_else(|| {
                            lefts.push(turn);
                            lefts.len() - 1
                        }));
                    }
                }
                let sure = if open == 1 { sure } else { 0.0 };
                let group = Group { restricted, left, usual, share: share * part, sure };
                match self.ground.target(lead) {
                    Some(place) => self.wait(waiting, place, group),
                    None => self.course.ends.push(End {
                        lead,
                        share: group.share,
                        sure: group.sure,
                        usual,
                        left: left.map(|l| lefts[l].clone()),
                    }),
                }
            }
        }
    }

    fn arrive(&mut self, couplet: CoupletId) {
        if !self.course.tested {
            let mut said = self.ground.asked(couplet).iter().filter_map(|c| self.forms.get(*c));
            self.course.tested = said.any(|s| s.implied_by.is_none());
        }
        if let Some(way) = &mut self.way {
            way.arrived.insert(couplet);
        }
    }

    fn take(&mut self, lead: LeadId, share: f64) {
        let stated = self.ground.demands(lead).of.iter().filter(|d| d.implied_by.is_none());
        let silent = stated.map(|d| d.character).filter(|c| self.forms.get(*c).is_none());
        self.left_out.extend(silent);
        if let Some(way) = &mut self.way {
            *way.taken.entry(lead).or_default() += share;
        }
    }

    fn turn(&mut self, left: &Left, share: f64, sure: f64, usual: bool) {
        let same = |t: &&mut Turn| t.left == *left && t.usual == usual;
        match self.course.turns.iter_mut().find(same) {
            Some(t) => {
                t.share += share;
                t.sure += sure;
            }
            None => self.course.turns.push(Turn { left: left.clone(), share, sure, usual }),
        }
    }

    /// The leads that plants take, by their number among those offered.
    fn chosen(&self, fits: &[Fit], lead: impl Fn(usize) -> LeadId) -> Vec<usize> {
        let of = |fit: Fit| (0..fits.len()).filter(move |i| fits[*i] == fit);
        let home = |i: &usize| self.is_home(Place::Lead(lead(*i)));
        let whole: Vec<usize> = of(Fit::Yes).collect();
        if whole.iter().any(home) {
            return whole;
        }
        let mut trusted: Vec<usize> = of(Fit::Open).filter(home).collect();
        // Nobody is trusted to go round in a circle.
        if trusted.iter().any(|i| !self.ground.closes(lead(*i))) {
            trusted.retain(|i| !self.ground.closes(lead(*i)));
        }
        match (trusted.is_empty(), whole.is_empty()) {
            (false, _) => trusted,
            (true, false) => whole,
            (true, true) => of(Fit::Open).collect(),
        }
    }

    // Cells that are all exceptions, of a character that has a usual form.
    fn usual(&self, character: CharacterId, cells: &[Cell]) -> bool {
        cells.iter().any(|c| c.usual)
            || self.forms.get(character).is_none_or(|s| s.cells.iter().all(|c| !c.usual))
    }

    fn finish(self) -> Course {
        let mut course = self.course;
        course.left_out_count = self.left_out.len();
        course.left_out = self.left_out.into_iter().take(MOST_LEFT_OUT).collect();
        course.ends.sort_by(|a, b| {
            (a.lead, a.left.as_ref().map(|l| l.lead))
                .cmp(&(b.lead, b.left.as_ref().map(|l| l.lead)))
        });
        course.ends.dedup_by(|b, a| {
            let same = a.lead == b.lead && a.left == b.left && a.usual == b.usual;
            if same {
                a.share += b.share;
                a.sure += b.sure;
            }
            same
        });
        course.stuck.sort_by_key(|s| s.couplet);
        course.turns.sort_by_key(|t| t.left.lead);
        course
    }
}

// The shares of what is left, summing to one again.
fn evened(cells: &[Cell]) -> Vec<Cell> {
    let all: f64 = cells.iter().map(|c| c.share).sum();
    cells
        .iter()
        .map(|c| Cell { share: c.share / all.max(f64::MIN_POSITIVE), ..c.clone() })
        .collect()
}

impl Course {
    /// A course before it is run.
    pub(super) fn new(taxon: TaxonId, own: Vec<LeadId>, by_group: Option<TaxonId>) -> Course {
        Course {
            taxon,
            own,
            by_group,
            ends: Vec::new(),
            turns: Vec::new(),
            stuck: Vec::new(),
            left_out: Vec::new(),
            left_out_count: 0,
            tested: false,
            exact: true,
            round: 0.0,
        }
    }

    /// The share of its plants that reaches its own name.
    pub fn right(&self) -> f64 {
        self.ends.iter().filter(|e| self.own.contains(&e.lead)).map(|e| e.share).sum()
    }

    /// The share that reaches one of its places.
    pub fn at(&self, lead: LeadId) -> f64 {
        self.ends.iter().filter(|e| e.lead == lead).map(|e| e.share).sum()
    }
}
