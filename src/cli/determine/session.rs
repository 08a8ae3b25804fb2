//! The loop of a session: show the couplet, take an answer, keep the record.

use anyhow::Result;

use super::kept::Reckoned;
use super::record::Record;
use super::said::Said;
use super::screen::{Line, Screen};
use super::{observing, pages};
use crate::cli::paper::{Paper, plural};
use crate::key::{Library, Stand};
use crate::text::language::Language;
use crate::walk::evidence::Engine;
use crate::walk::{Answer, Ending, Event, Route, View, Walk};

/// A session under way.
pub struct Session<'k, 's> {
    pub(super) library: &'k Library,
    pub(super) walk: Walk<'k>,
    pub(super) language: &'static Language,
    record: Option<Record>,
    pub(super) screen: &'s mut dyn Screen,
    colour: bool,
    /// One for each key at hand that declares characters, in the order of the library.
    pub(super) engines: Vec<Option<Engine<'k>>>,
    /// What the observations said when the person ended with them, and how much had been said by
    /// then.
    pub(super) reckoned: Option<(usize, Reckoned)>,
    /// Letters that answered at once since the last line.
    pub(super) letters_pressed: Vec<char>,
}

/// How a session was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// Every branch has ended.
    Finished,
    /// The person went away; it can be taken up again.
    Open,
}

impl<'k, 's> Session<'k, 's> {
    pub fn new(
        library: &'k Library,
        walk: Walk<'k>,
        language: &'static Language,
        record: Option<Record>,
        screen: &'s mut dyn Screen,
        colour: bool,
    ) -> Self {
        let engines = observing::engines(library, language);
        Session {
            library,
            walk,
            language,
            record,
            screen,
            colour,
            engines,
            reckoned: None,
            letters_pressed: Vec::new(),
        }
    }

    /// The walk as it was left, and what the observations say where the last thing said was
    /// `finish`.
    pub fn into_walk(self) -> (Walk<'k>, Option<Reckoned>) {
        let said = self.walk.events().len();
        let reckoned = self.reckoned.filter(|(at, _)| *at == said).map(|(_, report)| report);
        (self.walk, reckoned)
    }

    pub(super) fn paper(&self) -> Paper {
        Paper { width: self.screen.width(), colour: self.colour }
    }

    /// Runs till every branch has ended or the person leaves.
    pub fn run(&mut self) -> Result<Left> {
        let view = self.walk.view();
        let taxa = self.walk.possible(&view).len();
        let opening = pages::opening(&self.paper(), self.library.main(), taxa);
        self.screen.show(&opening)?;
        let mut fresh = true;
        loop {
            let view = self.walk.view();
            let Some(route) = view.asked.clone() else {
                if fresh {
                    self.ends(&view)?;
                }
                match self.after_the_end()? {
                    After::Leave => return Ok(Left::Finished),
                    After::GoOn => fresh = true,
                    After::Stay => fresh = false,
                }
                continue;
            };
            if fresh {
                self.couplet(&view, &route)?;
            }
            let letters = self.letters(route.stand);
            let words = self.words();
            let said = match self.screen.ask("> ", &letters, &words)? {
                Line::Key(key) => {
                    self.pressed(key);
                    self.read(&key.to_string(), &letters)
                }
                Line::Text(line) => match self.joined(&line, &letters)? {
                    Some(Said::Quit) => Said::Quit,
                    Some(said) => {
                        fresh = self.act_anew(said)?;
                        continue;
                    }
                    None => self.read(&line, &letters),
                },
                Line::End | Line::Broken => Said::Quit,
            };
            if said == Said::Quit {
                self.farewell(&view)?;
                return Ok(Left::Open);
            }
            fresh = self.act(said, Some(&route), &view)?;
        }
    }

    pub(super) fn read(&self, line: &str, letters: &[char]) -> Said {
        let conditions: Vec<&str> =
            self.library.main().conditions.iter().map(|c| c.name.as_str()).collect();
        Said::read(line, letters, &conditions)
    }

    fn letters(&self, stand: Stand) -> Vec<char> {
        let leads = &self.library.keys[stand.key].couplet(stand.couplet).leads;
        leads.iter().filter_map(|l| l.label.letter).collect()
    }

    /// What completion offers: commands, taxa, terms.
    fn words(&self) -> Vec<String> {
        let mut out: Vec<String> = [
            "either",
            "cannot tell",
            "back",
            "forward",
            "trail",
            "possible",
            "seen",
            "ranking",
            "next",
            "missing",
            "finish",
            "again",
            "help",
            "quit",
        ]
        .iter()
        .map(|s| s.to_string())
        .collect();
        for key in &self.library.keys {
            out.extend(key.taxa.iter().map(|t| format!("account {}", t.name)));
            out.extend(key.terms.iter().map(|t| format!("term {}", t.word)));
            for c in &key.characters {
                let states =
                    (0..c.states().len()).map(|i| c.state_word(i, self.language).to_string());
                out.extend(states.map(|s| c.fill_in(&s, self.language)));
            }
        }
        out
    }

    fn couplet(&mut self, view: &View, route: &Route) -> Result<()> {
        let asked = self.walk.asked(route, self.language);
        let possible = self.walk.possible(view).len();
        let marks = self.marks(route);
        let mark = |lead: usize, part: usize| marks.get(lead)?.get(part)?.clone();
        let mut page = pages::couplet(&self.paper(), &asked, possible, view.waiting.len(), &mark);
        page.push_str(&self.agreeing(view, route));
        let before = self.answered_before(route.stand);
        if let Some(before) = before {
            page.push_str(&format!("Answered before: {before}.\n"));
        }
        if view.cut_short {
            page.push_str("More branches are open than can be followed: go back and settle one.\n");
        }
        page.push_str(&self.doors(route, &self.letters(route.stand)));
        self.tell(&page)?;
        Ok(())
    }

    /// What was said at a couplet that is asked again.
    fn answered_before(&self, stand: Stand) -> Option<String> {
        let letters = self.letters(stand);
        self.walk.events().iter().rev().find_map(|e| match e {
            Event::Answered { key, couplet, answer }
                if (*key, *couplet) == (stand.key, stand.couplet.0) =>
            {
                Some(match answer {
                    Answer::Lead { lead } => {
                        letters.get(usize::from(*lead)).map_or("?".into(), char::to_string)
                    }
                    Answer::Either { .. } => "either".into(),
                    Answer::CannotTell => "cannot tell".into(),
                })
            }
            _ => None,
        })
    }

    /// Does what was said where the walk has changed since it was asked.
    fn act_anew(&mut self, said: Said) -> Result<bool> {
        let view = self.walk.view();
        let route = view.asked.clone();
        // What was shown last does not hold any more.
        self.act(said, route.as_ref(), &view)?;
        Ok(true)
    }

    /// Does what was said; whether the couplet is to be shown again.
    fn act(&mut self, said: Said, route: Option<&Route>, view: &View) -> Result<bool> {
        match (said, route) {
            (Said::Lead(letter), Some(route)) => {
                let lead = self.letters(route.stand).iter().position(|l| *l == letter).unwrap_or(0) as u16;
                self.answer(route.stand, Answer::Lead { lead })
            }
            (Said::Either(letters), Some(route)) => self.either(route.stand, &letters),
            (Said::CannotTell, Some(route)) => self.answer(route.stand, Answer::CannotTell),
            (Said::Back, _) => self.back(),
            (Said::Forward, _) => self.forward(),
            (Said::Step(n), _) => self.step(n, view),
            (Said::Again, _) => Ok(true),
            (Said::Trail, _) => {
                let steps = self.steps(view);
                let taken: Vec<_> = steps.iter().map(|s| self.walk.taken_step(s, self.language)).collect();
                self.tell(&pages::trail(&self.paper(), &taken))
            }
            (Said::Possible, _) => self.possible(view),
            (Said::Account(name), _) => self.account(&name),
            (Said::Term(word), _) => {
                let page: Vec<String> =
                    self.library.keys.iter().take(1).map(|k| pages::term(&self.paper(), k, &word)).collect();
                self.tell(&page.concat())
            }
            (Said::Help, _) => self.tell(&pages::help(&self.paper())),
            (Said::Remark(text), _) => {
                self.say(Event::Remarked { text })?;
                self.tell("Noted.\n")
            }
            (Said::Save(file), _) => self.save(&file, view),
            (Said::Lead(_) | Said::Either(_) | Said::CannotTell, None) => {
                self.tell("There is no couplet to answer: every branch has ended. `back` takes the last answer back.\n")
            }
            (other, _) => self.observe(other, view),
        }
    }

    pub(super) fn tell(&mut self, page: &str) -> Result<bool> {
        let page = self.paper().fit(page);
        self.screen.show(&page)?;
        Ok(false)
    }

    pub(super) fn say(&mut self, event: Event) -> Result<()> {
        if let Some(record) = &mut self.record {
            record.say(&event)?;
        }
        self.walk.say(event);
        Ok(())
    }

    fn answer(&mut self, stand: Stand, answer: Answer) -> Result<bool> {
        self.say(Event::Answered { key: stand.key, couplet: stand.couplet.0, answer })?;
        Ok(true)
    }

    fn either(&mut self, stand: Stand, letters: &[char]) -> Result<bool> {
        let own = self.letters(stand);
        let mut leads: Vec<u16> = Vec::new();
        for letter in letters {
            match own.iter().position(|l| l == letter) {
                Some(i) => leads.push(i as u16),
                None => return self.tell(&format!("This couplet has no lead {letter}.\n")),
            }
        }
        leads.sort_unstable();
        leads.dedup();
        match leads.len() {
            0 => self.answer(stand, Answer::Either { leads: (0..own.len() as u16).collect() }),
            1 => self.answer(stand, Answer::Lead { lead: leads[0] }),
            _ => self.answer(stand, Answer::Either { leads }),
        }
    }

    fn back(&mut self) -> Result<bool> {
        if !self.take_back()? {
            return self.tell("There is nothing to take back.\n");
        }
        Ok(true)
    }

    /// Takes the last thing back that was said; whether there was any.
    pub(super) fn take_back(&mut self) -> Result<bool> {
        let any = self.walk.undo().is_some();
        if let Some(record) = self.record.as_mut().filter(|_| any) {
            record.undo()?;
        }
        Ok(any)
    }

    fn forward(&mut self) -> Result<bool> {
        if self.walk.redo().is_none() {
            return self.tell("Nothing was taken back.\n");
        }
        if let Some(record) = &mut self.record {
            record.redo()?;
        }
        Ok(true)
    }

    /// The steps of the branch in hand, or of the first end.
    pub(super) fn steps(&self, view: &View) -> Vec<crate::walk::Step> {
        match (&view.asked, view.ends.first()) {
            (Some(route), _) => route.steps.clone(),
            (None, Some(end)) => end.steps.clone(),
            _ => Vec::new(),
        }
    }

    fn step(&mut self, n: usize, view: &View) -> Result<bool> {
        let steps = self.steps(view);
        match n.checked_sub(1).and_then(|i| steps.get(i)) {
            Some(step) if step.answer.is_some() => {
                let event = Event::Reopened { key: step.stand.key, couplet: step.stand.couplet.0 };
                self.say(event)?;
                Ok(true)
            }
            Some(_) => {
                self.tell("That step was the key's own pointer: there was nothing to answer.\n")
            }
            None => {
                self.tell(&format!("The trail has {} steps; `trail` lists them.\n", steps.len()))
            }
        }
    }

    fn ends(&mut self, view: &View) -> Result<()> {
        let named = view.ends.iter().filter(|e| matches!(e.ending, Ending::Taxa { .. })).count();
        if view.ends.len() > 1 {
            let text = format!(
                "{} branches have ended, {named} of them with a name. Compare the accounts.\n",
                view.ends.len()
            );
            self.tell(&text)?;
        }
        for i in 0..view.ends.len() {
            let page = pages::end(
                &self.paper(),
                &self.walk,
                &view.ends[i],
                self.language,
                &self.held(&view.ends[i]),
            );
            self.screen.show(&page)?;
        }
        // The pages of the first ends may have left the screen.
        if view.ends.len() > 1 {
            let ends = view.ends.iter().map(|e| self.walk.reached(e, self.language));
            let names: Vec<String> = ends
                .map(|r| match r.names.as_slice() {
                    [] => "no name".to_string(),
                    names => names.join(" or "),
                })
                .collect();
            self.tell(&format!("All branches: {}\n", names.join("; ")))?;
        }
        if view.ends.is_empty() {
            self.screen.show("This key has no couplet to ask.\n")?;
        }
        Ok(())
    }

    fn after_the_end(&mut self) -> Result<After> {
        self.tell(
            "\nEnter leaves · - back · step 3 asks a step again · account NAME · save FILE · help\n",
        )?;
        let words = self.words();
        let line = match self.screen.ask("> ", &[], &words)? {
            Line::Key(key) => {
                self.pressed(key);
                key.to_string()
            }
            Line::Text(line) => match self.joined(&line, &[])? {
                Some(Said::Quit) => return Ok(After::Leave),
                Some(said) => {
                    return Ok(if self.act_anew(said)? { After::GoOn } else { After::Stay });
                }
                None => line,
            },
            Line::End | Line::Broken => return Ok(After::Leave),
        };
        let said = self.read(&line, &[]);
        if matches!(said, Said::Again | Said::Quit) {
            return Ok(After::Leave);
        }
        let view = self.walk.view();
        Ok(if self.act(said, None, &view)? { After::GoOn } else { After::Stay })
    }

    fn farewell(&mut self, view: &View) -> Result<()> {
        let possible = self.walk.possible(view).len();
        let mut text =
            format!("Left with {possible} {} possible.\n", plural(possible, "taxon", "taxa"));
        match &self.record {
            Some(record) if !self.walk.events().is_empty() => {
                let path = record.path().display();
                text.push_str(&format!("Take it up again: hilum determine --resume {path}\n"));
            }
            _ => {}
        }
        self.tell(&text)?;
        Ok(())
    }
}

enum After {
    Leave,
    GoOn,
    Stay,
}
