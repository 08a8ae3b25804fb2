//! What can be counted of a key: its size, and how long its routes are against the least possible.
//!
//! A decision is one couplet answered. A pointer to one lead of another couplet asks nothing, so
//! it adds no decision.

use fixedbitset::FixedBitSet;
use serde::Serialize;

use super::couplet::{Outcome, Place};
use super::graph::Graph;
use super::model::{Key, Share};

/// The figures of one key file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// Keys in the file.
    pub keys: usize,
    pub couplets: usize,
    pub leads: usize,
    /// Couplets with three leads or more.
    pub polytomies: usize,
    /// The most leads that one couplet has.
    pub most_leads: usize,
    /// Leads that end: in a taxon, in several, in a stop, or in another file. A taxon keyed out
    /// twice counts twice.
    pub end_points: usize,
    /// Those among them that can be reached from the beginning.
    pub end_points_reached: usize,
    /// Taxa that some lead names.
    pub taxa: usize,
    /// Taxa with an account.
    pub accounts: usize,
    /// The routes from the beginning to the end points; `None` where a route is circular or none
    /// ends.
    pub routes: Option<Routes>,
    /// The least possible for as many end points as are reached, with two leads a couplet.
    pub least: Option<Least>,
    /// The same, were every couplet allowed as many leads as the widest one has; `None` where
    /// that is two.
    pub least_with_polytomies: Option<Least>,
    pub read: Share,
}

/// How many decisions the routes of a key take.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Routes {
    /// How many routes there are. Exact up to 2^53; where routes part and meet again and again
    /// their number outgrows a float, and is then given as the largest one.
    pub number: f64,
    /// The most decisions on any route.
    pub deepest: u32,
    /// The mean number of decisions over all routes, each counted once: in a key whose routes
    /// never meet, the mean over its end points.
    pub mean: f64,
}

/// The least possible number of decisions for a number of end points.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Least {
    pub deepest: u32,
    pub mean: f64,
}

/// The least possible total of the decisions to all of `end_points`, where a couplet may have up to
/// `leads` leads: with q the whole part of the logarithm, `n·q + (n - k^q) + ceil((n - k^q)/(k-1))`.
/// For two leads this is `n·q + 2(n - 2^q)`: D. E. Knuth, The Art of Computer Programming,
/// volume 3, section 5.3.1 (cited from memory). The form for more leads follows by the same
/// argument: every end point stands at depth q, and each of the k^q places that is opened once
/// more takes in k - 1 further end points.
pub fn least_total(end_points: u64, leads: u64) -> u64 {
    let (n, k) = (end_points, leads.max(2));
    if n <= 1 {
        return 0;
    }
    let (q, full) = whole_logarithm(n, k);
    let over = n - full;
    n.saturating_mul(q).saturating_add(over).saturating_add(over.div_ceil(k - 1))
}

/// The least possible number of decisions on the longest route: the logarithm of the end points to
/// the base of the leads, rounded up.
pub fn least_deepest(end_points: u64, leads: u64) -> u32 {
    let (n, k) = (end_points, leads.max(2));
    if n <= 1 {
        return 0;
    }
    let (q, full) = whole_logarithm(n, k);
    (q + u64::from(full < n)) as u32
}

impl Least {
    /// `None` without an end point.
    pub fn of(end_points: usize, leads: usize) -> Option<Least> {
        let (n, k) = (end_points as u64, leads as u64);
        (n > 0).then(|| Least {
            deepest: least_deepest(n, k),
            mean: least_total(n, k) as f64 / n as f64,
        })
    }
}

// The largest q with k^q <= n, and k^q.
fn whole_logarithm(n: u64, k: u64) -> (u64, u64) {
    let (mut q, mut full) = (0, 1_u64);
    while let Some(next) = full.checked_mul(k).filter(|next| *next <= n) {
        (q, full) = (q + 1, next);
    }
    (q, full)
}

impl Figures {
    pub fn of(key: &Key, graph: &Graph) -> Figures {
        let most_leads = key.couplets.iter().map(|c| c.leads.len()).max().unwrap_or(0);
        let reached = graph.reach(graph.start().map(Place::Couplet));
        let mut named = FixedBitSet::with_capacity(key.taxa.len());
        let (mut end_points, mut end_points_reached) = (0, 0);
        for (id, lead) in key.leads() {
            if let Outcome::Taxa(taxa) = &lead.outcome {
                named.extend(taxa.iter().map(|t| t.0 as usize));
            }
            if ends(&lead.outcome) {
                end_points += 1;
                end_points_reached += usize::from(reached.lead(id));
            }
        }
        Figures {
            keys: key.subkeys.len(),
            couplets: key.couplets.len(),
            leads: key.couplets.iter().map(|c| c.leads.len()).sum(),
            polytomies: key.couplets.iter().filter(|c| c.leads.len() > 2).count(),
            most_leads,
            end_points,
            end_points_reached,
            taxa: named.count_ones(..),
            accounts: key.taxa.iter().filter(|t| t.has_account).count(),
            routes: routes(key, graph),
            least: Least::of(end_points_reached, 2),
            least_with_polytomies: (most_leads > 2)
                .then(|| Least::of(end_points_reached, most_leads))
                .flatten(),
            read: key.share,
        }
    }
}

/// Whether a route ends here as its writer meant it to.
pub fn ends(outcome: &Outcome) -> bool {
    matches!(outcome, Outcome::Taxa(_) | Outcome::Stop(_) | Outcome::Elsewhere { .. })
}

fn routes(key: &Key, graph: &Graph) -> Option<Routes> {
    let start = Place::Couplet(graph.start()?);
    let mut tallies = vec![Tally::default(); graph.positions()];
    tallies[graph.position(start)] = Tally { routes: 1.0, ..Tally::default() };
    let mut all = Tally::default();
    for place in graph.forward()? {
        let here = tallies[graph.position(place)];
        if here.routes == 0.0 {
            continue;
        }
        // The decision is made where a couplet is left.
        let step = u32::from(matches!(place, Place::Couplet(_)));
        for next in graph.next(place) {
            tallies[graph.position(next)].add(here.longer(step));
        }
        if let Place::Lead(lead) = place
            && ends(&key.lead(lead).outcome)
        {
            all.add(here);
        }
    }
    let number = match all.blocks {
        0 => all.routes,
        blocks => all.routes * BLOCK.powi(blocks.min(2) as i32),
    };
    (all.routes > 0.0).then(|| Routes {
        number: number.min(f64::MAX),
        deepest: all.deepest,
        mean: all.steps / all.routes,
    })
}

/// Routes to a place: how many, and their steps in all. Both are counted in units of
/// `BLOCK^blocks`, so that they may grow past what a float holds; up to 2^53 they are exact.
#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    routes: f64,
    steps: f64,
    blocks: u32,
    deepest: u32,
}

// 2^600: the product of two numbers below it, or of one and any depth, is still a float.
const BLOCK: f64 = f64::from_bits((1023 + 600) << 52);

impl Tally {
    fn longer(self, by: u32) -> Tally {
        let steps = self.steps + self.routes * f64::from(by);
        Tally { steps, deepest: self.deepest + by, ..self }
    }

    fn add(&mut self, other: Tally) {
        let deepest = self.deepest.max(other.deepest);
        let (mut more, less) =
            if self.blocks >= other.blocks { (*self, other) } else { (other, *self) };
        let share = match more.blocks - less.blocks {
            0 => 1.0,
            1 => 1.0 / BLOCK,
            _ => 0.0,
        };
        more.routes += less.routes * share;
        more.steps += less.steps * share;
        if more.routes > BLOCK {
            more.routes /= BLOCK;
            more.steps /= BLOCK;
            more.blocks += 1;
        }
        *self = Tally { deepest, ..more };
    }
}

impl Figures {
    /// What the figures say, as sentences: the size of the key, then how long its routes are.
    pub fn in_words(&self) -> Vec<String> {
        let f = self;
        if f.couplets == 0 {
            return match f.accounts {
                0 => Vec::new(),
                n => vec![format!("No couplets; {} of taxa.", counted(n, "account"))],
            };
        }
        let mut size = format!("{}, {}", counted(f.couplets, "couplet"), counted(f.leads, "lead"));
        if f.keys > 1 {
            size = format!("{} with {size}", counted(f.keys, "key"));
        }
        size.push_str(&format!(
            ", {}, {}",
            counted(f.end_points, "end point"),
            match f.taxa {
                1 => "1 taxon".to_string(),
                n => format!("{n} taxa"),
            }
        ));
        if f.accounts > 0 {
            size.push_str(&format!(", {}", counted(f.accounts, "account")));
        }
        if f.end_points_reached < f.end_points {
            size.push_str(&format!(
                "; only {} can be reached",
                counted(f.end_points_reached, "end point")
            ));
        }
        let mut out = vec![format!("{size}.")];
        let (Some(routes), Some(least)) = (f.routes, f.least) else {
            out.push(
                "How long its routes are cannot be said while they are broken or circular.".into(),
            );
            return out;
        };
        if f.end_points_reached < 2 {
            return out;
        }
        let mut paths = format!(
            "The longest route takes {}, the mean {:.1}; the least possible for {} is {} and {:.1}",
            counted(routes.deepest as usize, "decision"),
            routes.mean,
            counted(f.end_points_reached, "end point"),
            least.deepest,
            least.mean,
        );
        if let Some(least) = f.least_with_polytomies {
            paths.push_str(&format!(
                " with two leads a couplet ({} and {:.1} with {})",
                least.deepest, least.mean, f.most_leads
            ));
        }
        out.push(format!("{paths}."));
        out
    }
}

fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
