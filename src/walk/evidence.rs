//! What a walk says of the specimen: observations typed, leads taken, parts, condition.

use std::sync::OnceLock;

use crate::key::lexicon::Lexicon;
use crate::key::{ConditionId, Key};
use crate::sift::once::contradict;
use crate::sift::{Doubt, Observation, Specimen, Table, Unread, read_observation};
use crate::text::language::Language;

use super::{Answer, Event, Step};

/// A key made ready to reason with: its table and its sentences.
#[derive(Debug)]
pub struct Engine<'k> {
    pub key: &'k Key,
    table: OnceLock<Table>,
    lexicon: Lexicon,
    /// The sentences of the language that the person types in, where it is another.
    translated: Option<Lexicon>,
}

/// An observation as it was typed, with its number in the order of typing, from 1.
#[derive(Clone, Debug)]
pub struct Typed {
    pub number: usize,
    pub text: String,
    pub observations: Vec<Observation>,
}

/// Something typed that shuts out something said otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contradiction {
    /// The number of what was typed, as `withdraw` takes it.
    pub typed: usize,
    pub observed: Observation,
    pub other: Observation,
    pub against: Against,
}

/// Where the other was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// At this step of the trail, from 1.
    Step(usize),
    /// It was typed, with this number.
    Typed(usize),
}

impl<'k> Engine<'k> {
    pub fn new(key: &'k Key, language: &'static Language) -> Engine<'k> {
        let other = language.code != key.heading.language.code;
        Engine {
            key,
            table: OnceLock::new(),
            lexicon: key.lexicon(),
            translated: other.then(|| Lexicon::translated(&key.characters, language)),
        }
    }

    /// The table, compiled when it is first asked for: the first question is there without it.
    pub fn table(&self) -> &Table {
        self.table.get_or_init(|| Table::of(self.key))
    }

    /// Reads a typed observation: in the person's language, else in the key's own.
    ///
    /// # Errors
    /// What could not be read, and what was probably meant.
    pub fn read(&self, text: &str, condition: ConditionId) -> Result<Vec<Observation>, Unread> {
        let own = || read_observation(self.key, &self.lexicon, text, condition);
        let Some(lexicon) = &self.translated else { return own() };
        read_observation(self.key, lexicon, text, condition).or_else(|unread| {
            // The person's language tells what can be typed, where it knows any of the words.
            own().map_err(|other| match unread.is_near() {
                true => unread,
                false => other,
            })
        })
    }

    /// What was typed and not withdrawn, in order.
    pub fn typed(&self, events: &[Event]) -> Vec<Typed> {
        let mut out: Vec<Typed> = Vec::new();
        let mut withdrawn = Vec::new();
        let mut number = 0;
        for event in events {
            match event {
                Event::Observed { text, condition, doubt } => {
                    number += 1;
                    let condition = self.condition(condition);
                    // A text of another key's sentences says nothing here.
                    let Ok(read) = self.read(text, condition) else { continue };
                    let observations =
                        read.into_iter().map(|o| if *doubt { o.doubted(Doubt::Some) } else { o });
                    out.push(Typed {
                        number,
                        text: text.clone(),
                        observations: observations.collect(),
                    });
                }
                Event::Withdrawn { observation } => withdrawn.push(*observation),
                _ => {}
            }
        }
        out.retain(|t| !withdrawn.contains(&t.number));
        out
    }

    /// The specimen as it is now.
    pub fn specimen(&self, events: &[Event]) -> Specimen {
        let mut specimen = Specimen::default();
        for event in events {
            match event {
                Event::Condition { name } => specimen.condition = self.condition(name),
                Event::Part { name, borne: true } => {
                    specimen.absent.remove(name);
                }
                Event::Part { name, borne: false } => {
                    specimen.absent.insert(name.clone());
                }
                _ => {}
            }
        }
        specimen
    }

    fn condition(&self, name: &str) -> ConditionId {
        let found = self.key.conditions.iter().position(|c| c.name == name);
        found.map_or(ConditionId::FRESH, |i| ConditionId(i as u16))
    }

    /// What the leads say that were taken for certain on a route through the key with index
    /// `index`, each under the condition in which the specimen was when it was taken.
    pub fn taken(&self, index: usize, steps: &[Step], events: &[Event]) -> Vec<Observation> {
        self.told_by_leads(index, steps, events).into_iter().map(|(_, o)| o).collect()
    }

    /// The same with the number of the step at which it was taken, from 1.
    fn told_by_leads(
        &self,
        index: usize,
        steps: &[Step],
        events: &[Event],
    ) -> Vec<(usize, Observation)> {
        let mut out = Vec::new();
        for (i, step) in steps.iter().enumerate().filter(|(_, s)| s.stand.key == index) {
            if !step.answer.as_ref().is_some_and(Answer::is_certain) {
                continue;
            }
            let condition = self.condition_at(index, step, events);
            let words = self.key.lead_name(step.lead);
            for statement in self.key.lead(step.lead).statements() {
                let character = self.key.character(statement.character);
                let seen = Observation::of_statement(statement, character, condition);
                let seen = seen.in_words(format!(
                    "{} (lead {words})",
                    self.key.say(statement, self.key.heading.language)
                ));
                out.push((i + 1, seen));
            }
        }
        out
    }

    fn condition_at(&self, index: usize, step: &Step, events: &[Event]) -> ConditionId {
        let mut now = ConditionId::FRESH;
        let mut at_answer = now;
        for event in events {
            match event {
                Event::Condition { name } => now = self.condition(name),
                Event::Answered { key, couplet, .. }
                    if *key == index && *couplet == step.stand.couplet.0 =>
                {
                    at_answer = now;
                }
                _ => {}
            }
        }
        at_answer
    }

    /// What was seen in two ways that cannot both be right: of the leads taken against what was
    /// typed, then of what was typed against what was typed before.
    pub fn contradictions(
        &self,
        index: usize,
        steps: &[Step],
        events: &[Event],
    ) -> Vec<Contradiction> {
        let typed = self.typed(events);
        let taken = self.told_by_leads(index, steps, events);
        let mut out = Vec::new();
        for (i, new) in typed.iter().enumerate() {
            for o in &new.observations {
                let by_lead = taken.iter().filter(|(_, t)| contradict(o, t, true));
                out.extend(by_lead.map(|(step, t)| Contradiction {
                    typed: new.number,
                    observed: o.clone(),
                    other: t.clone(),
                    against: Against::Step(*step),
                }));
                for old in &typed[..i] {
                    let clash = old.observations.iter().filter(|t| contradict(o, t, false));
                    out.extend(clash.map(|t| Contradiction {
                        typed: new.number,
                        observed: o.clone(),
                        other: t.clone(),
                        against: Against::Typed(old.number),
                    }));
                }
            }
        }
        out
    }

    /// Everything that is evidence: what was typed, then what the leads of a route say.
    pub fn observations(&self, index: usize, steps: &[Step], events: &[Event]) -> Vec<Observation> {
        let typed = self.typed(events).into_iter().flat_map(|t| t.observations);
        typed.chain(self.taken(index, steps, events)).collect()
    }
}
