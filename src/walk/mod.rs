//! A determination as a state machine: couplets, answers, doubt, undo. Knows no terminal.
//!
//! A walk is the list of what the person said ([`Event`]); everything else is worked out from it,
//! so that nothing is lost by going back, and a walk that was cut off is taken up by saying the
//! same again.

mod event;
pub mod evidence;
pub mod report;
mod route;
mod still;

pub use event::{Answer, Event};
pub use report::Report;
pub use route::{End, Ending, Route, Step};

pub use still::Candidate;

use crate::key::{LeadId, Library, Stand};

/// A determination under way.
#[derive(Clone, Debug)]
pub struct Walk<'k> {
    pub library: &'k Library,
    events: Vec<Event>,
    /// How many of the events hold; what follows was undone and can be done again.
    done: usize,
}

/// Where a walk stands.
#[derive(Clone, Debug)]
pub struct View {
    /// The couplet to be answered now, with the route to it; `None` where every branch has ended.
    pub asked: Option<Route>,
    /// Further branches that wait for an answer.
    pub waiting: Vec<Route>,
    /// What was reached, in the order of the leads.
    pub ends: Vec<End>,
    /// More branches than are followed at once were opened.
    pub cut_short: bool,
}

/// The most branches that are followed at once: beyond it a person can no longer use the answer.
pub const MOST_BRANCHES: usize = 512;

impl<'k> Walk<'k> {
    pub fn new(library: &'k Library) -> Walk<'k> {
        Walk { library, events: Vec::new(), done: 0 }
    }

    /// A walk with everything in `events` said already.
    pub fn resumed(library: &'k Library, events: Vec<Event>) -> Walk<'k> {
        let done = events.len();
        Walk { library, events, done }
    }

    /// What was said and not undone, in order.
    pub fn events(&self) -> &[Event] {
        &self.events[..self.done]
    }

    /// Says something; what was undone before it is given up.
    pub fn say(&mut self, event: Event) {
        self.events.truncate(self.done);
        self.events.push(event);
        self.done += 1;
    }

    /// Takes the last thing said back; `None` where nothing was said.
    pub fn undo(&mut self) -> Option<&Event> {
        self.done = self.done.checked_sub(1)?;
        self.events.get(self.done)
    }

    /// Says again what was taken back last.
    pub fn redo(&mut self) -> Option<&Event> {
        let event = self.events.get(self.done)?;
        self.done += 1;
        Some(event)
    }

    /// The answer that holds at a couplet, if it was answered.
    pub fn answer_at(&self, key: usize, couplet: crate::key::CoupletId) -> Option<&Answer> {
        self.events().iter().rev().find_map(|e| match e {
            Event::Answered { key: k, couplet: c, answer } if *k == key && *c == couplet.0 => {
                Some(Some(answer))
            }
            Event::Reopened { key: k, couplet: c } if *k == key && *c == couplet.0 => Some(None),
            _ => None,
        })?
    }

    /// Answers the couplet at `stand`.
    pub fn answer(&mut self, stand: Stand, answer: Answer) {
        self.say(Event::Answered { key: stand.key, couplet: stand.couplet.0, answer });
    }

    /// Asks a couplet again that was answered; later answers are kept for when the way comes by.
    pub fn reopen(&mut self, stand: Stand) {
        self.say(Event::Reopened { key: stand.key, couplet: stand.couplet.0 });
    }

    /// The leads that an answer takes, in order.
    pub(crate) fn taken(&self, stand: Stand, answer: &Answer) -> Vec<LeadId> {
        let leads = self.library.keys[stand.key].couplet(stand.couplet).leads.len() as u16;
        let all = || (0..leads).collect::<Vec<_>>();
        let indexes = match answer {
            Answer::Lead { lead } => vec![*lead],
            Answer::Either { leads } => leads.clone(),
            Answer::CannotTell => all(),
        };
        indexes
            .into_iter()
            .filter(|i| *i < leads)
            .map(|index| LeadId { couplet: stand.couplet, index })
            .collect()
    }
}
