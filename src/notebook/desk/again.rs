//! Re-examination: specimens named with an older issue of a key, run again from what was recorded.

use std::collections::BTreeSet;

use serde::Serialize;

use super::ask::asked_next;
use super::evidence::{Ready, key_used};
use super::leads::{self, End, Leads};
use crate::key::{ConditionId, Library};
use crate::notebook::number::Citation;
use crate::notebook::specimen::Specimen;
use crate::sift::report::{Options, report};
use crate::sift::{Observation, Verdict};
use crate::text::language::fold;
use crate::text::name;
use crate::walk::{Candidate, Walk};

/// A specimen run again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Again {
    pub specimen: Citation,
    /// The name that holds, as written.
    pub was: String,
    /// The issue that it was named with.
    pub issue: Option<String>,
    pub outcome: Outcome,
    /// What was recorded and is no sentence of the new issue.
    pub unread: Vec<String>,
}

/// What the new issue says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "outcome", rename_all = "kebab-case")]
pub enum Outcome {
    /// The same name.
    Same,
    /// Other names; the lead at which the old one was left behind, where a couplet decides.
    Changed { names: Vec<String>, at: Option<String> },
    /// What was recorded no longer decides: at this couplet, by looking at these.
    Undecided { at: Option<String>, look_at: Vec<String>, why: String },
}

/// Runs a specimen again, if its name rests on an older issue of this key; `None` if it does not.
pub fn again(library: &Library, ready: &[Ready], specimen: &Specimen) -> Option<Again> {
    let main = library.keys.first()?;
    let current = specimen.current()?;
    let det = &current.named.body;
    let used = det.key.as_ref()?;
    let now = key_used(main);
    if fold(&used.title) != fold(&now.title) || used.hash == now.hash {
        return None;
    }
    let evidence: Vec<_> =
        ready.iter().map(|r| r.evidence(specimen, ConditionId::PRESSED)).collect();
    let unread = evidence.first().map_or_else(Vec::new, |e| {
        e.unread.iter().map(|(says, why)| format!("{says}: {why}")).collect()
    });
    let observations: Vec<Vec<Observation>> =
        evidence.iter().map(|e| e.observations.clone()).collect();
    let outcome = if det.route.is_empty() {
        by_engine(ready, specimen, &det.name)?
    } else {
        by_route(library, specimen, &observations, &det.name)
    };
    Some(Again {
        specimen: specimen.citation.clone(),
        was: det.name.clone(),
        issue: used.issue.clone(),
        outcome,
        unread,
    })
}

/// Names without authors and doubt, for comparison.
fn folded(names: &[String]) -> BTreeSet<String> {
    names.iter().map(|n| name::read(n).map_or_else(|_| fold(n), |n| n.folded())).collect()
}

/// The names that a determination stands for: its own, or those it left open.
fn meant(specimen: &Specimen, written: &str) -> Vec<String> {
    let ranking = specimen.current().map_or(&[][..], |c| &c.named.body.ranking[..]);
    let open = written.ends_with(" sp.") && !ranking.is_empty();
    if open { ranking.iter().map(|r| r.name.clone()).collect() } else { vec![written.to_string()] }
}

fn by_route(
    library: &Library,
    specimen: &Specimen,
    observations: &[Vec<Observation>],
    was: &str,
) -> Outcome {
    let leads: Vec<Leads> = library.keys.iter().map(Leads::of).collect();
    let said = specimen.observations.iter().flat_map(|k| &k.body.seen);
    let taken: Vec<String> = said.filter(|s| s.lead.is_some()).map(|s| fold(&s.says)).collect();
    let route = leads::follow(library, &leads, observations, &taken);
    let label = |key: usize, couplet| library.keys[key].couplet(couplet).name();
    match route.end {
        End::Names(names) => {
            let before = folded(&meant(specimen, was));
            if folded(&names) == before {
                return Outcome::Same;
            }
            Outcome::Changed { names, at: left_behind(library, &route.steps, &before) }
        }
        End::Stop(why) => {
            let at = route.steps.last().map(|(key, lead)| label(*key, lead.couplet));
            Outcome::Undecided { at, look_at: Vec::new(), why }
        }
        End::Open { stand, ask } => Outcome::Undecided {
            at: Some(label(stand.key, stand.couplet)),
            look_at: ask,
            why: "what was recorded does not decide this couplet".to_string(),
        },
        End::Contradicted(stand) => Outcome::Undecided {
            at: Some(label(stand.key, stand.couplet)),
            look_at: Vec::new(),
            why: "what was recorded contradicts every lead of this couplet".to_string(),
        },
    }
}

/// The first lead on the route behind which the old name does not stand; where the key does not
/// lead to the old name at all any more, the lead that gave the new one.
fn left_behind(
    library: &Library,
    steps: &[(usize, crate::key::LeadId)],
    before: &BTreeSet<String>,
) -> Option<String> {
    let walk = Walk::new(library);
    let leads_to_it = |taxa: BTreeSet<Candidate>| {
        let mut names =
            taxa.into_iter().map(|(k, t)| folded(&[library.keys[k].taxon(t).full_name()]));
        names.any(|n| !n.is_disjoint(before))
    };
    let at = if leads_to_it(walk.behind(library.start()?)) {
        steps.iter().find(|(key, lead)| !leads_to_it(walk.behind_lead(*key, *lead)))
    } else {
        steps.last()
    };
    at.map(|(key, lead)| library.keys[*key].lead_name(*lead))
}

/// A name that rests on the characters alone, without a route.
fn by_engine(ready: &[Ready], specimen: &Specimen, was: &str) -> Option<Outcome> {
    let main = ready.first()?;
    let evidence = main.evidence(specimen, ConditionId::PRESSED);
    let observations = &evidence.observations;
    let options = Options::default();
    let said = report(main.key, &main.table, observations, &evidence.specimen, &options);
    let before = folded(&meant(specimen, was));
    let names = said.verdict.taxa.clone();
    let decided = matches!(said.verdict.verdict, Verdict::Settled { .. })
        || matches!(said.verdict.verdict, Verdict::ShortList { .. }) && names.len() == before.len();
    Some(if decided && folded(&names) == before {
        Outcome::Same
    } else if decided {
        Outcome::Changed { names, at: None }
    } else {
        let look_at = said.next.iter().take(3).map(|q| asked_next(main.key, q)).collect();
        Outcome::Undecided { at: None, look_at, why: said.verdict.words.clone() }
    })
}
