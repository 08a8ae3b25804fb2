//! Searching the list: by number, name, place, date, part, status.

use super::catalogue::Summary;
use super::date::When;
use super::number::fold_person;
use super::specimen::Specimen;
use crate::text::language::fold;
use crate::text::name;

/// What is wanted; every condition that is set must hold.
#[derive(Clone, Debug, Default)]
pub struct Search {
    pub collector: Option<String>,
    /// From and to, both included.
    pub numbers: Option<(u64, u64)>,
    /// Any part of the name that holds, or of the family.
    pub name: Option<String>,
    /// Any part of place or habitat.
    pub place: Option<String>,
    pub since: Option<When>,
    pub until: Option<When>,
    /// A part of this kind is there.
    pub part: Option<String>,
    /// A part has this standing (missing, on loan ...).
    pub status: Option<String>,
    pub state: Option<State>,
}

/// How far a name has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It has no name.
    Unnamed,
    /// Its name carries doubt, or stops at the genus.
    Doubtful,
    /// No one has confirmed its name.
    Unconfirmed,
    Confirmed,
}

impl Search {
    /// Whether a specimen is wanted.
    pub fn wants(&self, s: &Summary) -> bool {
        let within = |text: &Option<String>, word: &str| {
            text.as_ref().is_some_and(|t| fold(t).contains(word))
        };
        let any = |wanted: &Option<String>, texts: &[&Option<String>]| {
            wanted.as_ref().is_none_or(|w| texts.iter().any(|t| within(t, &fold(w))))
        };
        let collector = self
            .collector
            .as_ref()
            .is_none_or(|who| fold_person(&s.citation.collector).contains(&fold_person(who)));
        let number = self.numbers.is_none_or(|(from, to)| {
            s.citation.number.running.is_some_and(|n| (from..=to).contains(&n))
        });
        // A date that is known only by its year is taken for its first day.
        let since = self.since.as_ref().is_none_or(|w| s.date >= w.sort_key());
        let until = self.until.as_ref().is_none_or(|w| s.date != (0, 0, 0) && s.date <= last(w));
        let part = self
            .part
            .as_ref()
            .is_none_or(|p| s.parts.iter().any(|q| fold(&q.what).contains(&fold(p))));
        let status =
            self.status.as_ref().is_none_or(|w| s.parts.iter().any(|q| fold(&q.status) == fold(w)));
        collector
            && number
            && any(&self.name, &[&s.name, &s.family])
            && any(&self.place, &[&s.place, &s.habitat])
            && since
            && until
            && part
            && status
            && self.state.is_none_or(|state| State::holds(state, s))
    }
}

impl State {
    fn holds(self, s: &Summary) -> bool {
        let doubtful = || match s.name.as_deref().map(name::read) {
            Some(Ok(n)) => n.is_qualified() || n.species.is_none() && n.formula.is_empty(),
            Some(Err(_)) => true,
            None => false,
        };
        match self {
            State::Unnamed => s.name.is_none(),
            State::Doubtful => doubtful(),
            State::Unconfirmed => s.name.is_some() && !s.confirmed,
            State::Confirmed => s.confirmed,
        }
    }
}

/// The last day that a date may mean.
fn last(when: &When) -> (i16, i8, i8) {
    let p = when.last.unwrap_or(when.first);
    (p.year, p.month.unwrap_or(12), p.day.unwrap_or(31))
}

impl Specimen {
    /// Whether any text that was ever written of it, and stands, holds these words.
    pub fn mentions(&self, words: &str) -> bool {
        let wanted = fold(words);
        let within = |text: &str| fold(text).contains(&wanted);
        let standing = self.standing().iter().any(|r| {
            let fields = r.fields();
            fields.values().any(|v| within(&v.in_a_line()))
        });
        let reasons = self.corrections.iter().filter_map(|(_, k)| k.body.reason.as_deref());
        standing || reasons.into_iter().any(within)
    }
}
