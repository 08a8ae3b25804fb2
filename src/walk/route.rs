//! Routes through a library: what the answers so far lead to.

use super::{Answer, MOST_BRANCHES, View, Walk};
use crate::key::couplet::Outcome;
use crate::key::{LeadId, Library, Onward, Stand, TaxonId};

/// A lead taken, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    pub stand: Stand,
    pub lead: LeadId,
    /// `None` where a pointer named this very lead.
    pub answer: Option<Answer>,
}

/// The steps to a couplet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Route {
    pub steps: Vec<Step>,
    pub stand: Stand,
}

/// What a route came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct End {
    pub steps: Vec<Step>,
    pub ending: Ending,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Taxa of the library's key with index `key`; several where the key does not part them.
    Taxa { key: usize, taxa: Vec<TaxonId> },
    /// The key stops here, for this reason.
    Stop(String),
    /// A faulty lead that goes nowhere.
    Nowhere,
    /// The key goes on in a file that is not at hand.
    NotAtHand { key: String, file: String },
    /// The route came back to a couplet it had passed.
    Circle(Stand),
}

impl End {
    /// The steps at which more than one lead was followed.
    pub fn uncertain(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(|s| s.answer.as_ref().is_some_and(|a| !a.is_certain()))
    }
}

impl Walk<'_> {
    /// Follows every answer from the start.
    pub fn view(&self) -> View {
        let mut view =
            View { asked: None, waiting: Vec::new(), ends: Vec::new(), cut_short: false };
        let Some(start) = self.library.start() else { return view };
        // Branches still to be followed, the next one last.
        let mut open = vec![Route { steps: Vec::new(), stand: start }];
        let mut followed = 0;
        while let Some(route) = open.pop() {
            followed += 1;
            if followed > MOST_BRANCHES {
                view.cut_short = true;
                break;
            }
            self.follow(route, &mut open, &mut view);
        }
        // In the order of the leads, whatever the order in which branches were followed.
        view.ends.sort_by(|a, b| {
            let way = |e: &End| e.steps.iter().map(|s| (s.stand.key, s.lead)).collect::<Vec<_>>();
            way(a).cmp(&way(b))
        });
        view
    }

    /// Goes along one branch until it ends, forks or meets a couplet without an answer.
    fn follow(&self, mut route: Route, open: &mut Vec<Route>, view: &mut View) {
        loop {
            let stand = route.stand;
            let back = route.steps.iter().any(|s| {
                (s.stand.key, s.stand.couplet, s.stand.lead)
                    == (stand.key, stand.couplet, stand.lead)
            });
            if back {
                view.ends.push(End { steps: route.steps, ending: Ending::Circle(stand) });
                return;
            }
            let (leads, answer) = match stand.lead {
                // A pointer to one lead leaves nothing to choose.
                Some(index) => (vec![LeadId { couplet: stand.couplet, index }], None),
                None => match self.answer_at(stand.key, stand.couplet) {
                    Some(answer) => (self.taken(stand, answer), Some(answer.clone())),
                    None => {
                        if view.asked.is_none() {
                            view.asked = Some(route);
                        } else {
                            view.waiting.push(route);
                        }
                        return;
                    }
                },
            };
            let mut ways = leads.into_iter().map(|lead| {
                let mut steps = route.steps.clone();
                steps.push(Step { stand, lead, answer: answer.clone() });
                (lead, steps)
            });
            let Some((lead, steps)) = ways.next() else {
                // An answer to a couplet that has no such lead any more: the key has changed.
                view.asked.get_or_insert(route.clone());
                return;
            };
            let mut others = Vec::new();
            for (lead, steps) in ways {
                match next(self.library, stand.key, lead, steps) {
                    Ok(route) => others.push(Branch::Open(route)),
                    Err(end) => others.push(Branch::Ended(end)),
                }
            }
            if others.is_empty() {
                match next(self.library, stand.key, lead, steps) {
                    Ok(on) => route = on,
                    Err(end) => {
                        view.ends.push(end);
                        return;
                    }
                }
                continue;
            }
            // Forked: the first branch is followed next, the others after it.
            for branch in others.into_iter().rev() {
                match branch {
                    Branch::Open(route) => open.push(route),
                    Branch::Ended(end) => view.ends.push(end),
                }
            }
            match next(self.library, stand.key, lead, steps) {
                Ok(on) => open.push(on),
                Err(end) => view.ends.push(end),
            }
            return;
        }
    }
}

enum Branch {
    Open(Route),
    Ended(End),
}

fn next(library: &Library, key: usize, lead: LeadId, steps: Vec<Step>) -> Result<Route, End> {
    let ending = match library.onward(key, lead) {
        Onward::To(stand) => return Ok(Route { steps, stand }),
        Onward::NotAtHand { key, file } => Ending::NotAtHand { key, file },
        Onward::End => match &library.keys[key].lead(lead).outcome {
            Outcome::Taxa(taxa) => Ending::Taxa { key, taxa: taxa.clone() },
            Outcome::Stop(reason) => Ending::Stop(reason.clone()),
            _ => Ending::Nowhere,
        },
    };
    Err(End { steps, ending })
}
