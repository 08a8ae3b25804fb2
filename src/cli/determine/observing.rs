//! The session's second door: what the person sees, whatever couplet is open.

use anyhow::Result;

use super::kept::Reckoned;
use super::pages;
use super::said::Said;
use super::session::Session;
use crate::cli::evidence as findings;
use crate::cli::paper::Paper;
use crate::key::{Key, Library, Stand};
use crate::sift::bits::Bits;
use crate::sift::report::Report;
use crate::sift::{Doubt, Observation, Unread, Verdict, missing, once};
use crate::text::language::Language;
use crate::walk::evidence::Engine;
use crate::walk::{End, Ending, Event, Route, Step, View};

/// The key whose characters are meant: that of the couplet in hand, of the first end, or the first
/// that declares any.
pub(super) fn in_hand(engines: &[Option<Engine<'_>>], view: &View) -> Option<usize> {
    let here = view.asked.as_ref().map(|r| r.stand.key).or_else(|| {
        view.ends.iter().find_map(|e| match e.ending {
            Ending::Taxa { key, .. } => Some(key),
            _ => None,
        })
    });
    here.filter(|k| engines[*k].is_some()).or_else(|| engines.iter().position(Option::is_some))
}

/// One engine for each key at hand that declares characters, in the order of the library.
pub(super) fn engines<'k>(
    library: &'k Library,
    language: &'static Language,
) -> Vec<Option<Engine<'k>>> {
    let of = |k: &'k Key| (!k.characters.is_empty()).then(|| Engine::new(k, language));
    library.keys.iter().map(of).collect()
}

/// A part that the key looks at, or the sentence that it looks at none of that name.
fn part_named(key: &Key, name: &str) -> std::result::Result<String, String> {
    let mut parts: Vec<&str> = key.characters.iter().filter_map(|c| c.part.as_deref()).collect();
    parts.sort_unstable();
    parts.dedup();
    // `no petals` may be meant of a state: only a part of the key is a part.
    let singular = name.trim_end_matches('s');
    match parts.iter().find(|p| **p == name || **p == singular) {
        Some(part) => Ok(part.to_string()),
        None => {
            Err(format!("The key looks at no part called `{name}`; it has {}.", parts.join(", ")))
        }
    }
}

/// `no flower`, `has flower`: said of a part of the plant; of what is no part but a character
/// (`has thorns`) it is an observation.
///
/// # Errors
/// The key has neither; the sentence says which parts it has.
pub(super) fn part_or_sight(
    engine: &Engine<'_>,
    events: &[Event],
    name: &str,
    borne: bool,
) -> std::result::Result<Event, String> {
    part_named(engine.key, name).map(|name| Event::Part { name, borne }).or_else(|unknown| {
        let text = format!("{} {name}", if borne { "has" } else { "no" });
        let condition = engine.specimen(events).condition;
        engine.read(&text, condition).map_err(|unread| match unread {
            // `no petals`, where petals are looked at and none of their states is meant.
            Unread::Nothing { can_be, .. } if !can_be.is_empty() => {
                let can_be = can_be.join("; ");
                format!("The key looks at no part called `{name}`; {can_be}.")
            }
            _ => unknown,
        })?;
        let condition = engine.key.condition(condition).name.clone();
        Ok(Event::Observed { text, condition, doubt: false })
    })
}

impl Session<'_, '_> {
    /// Does what was said of the specimen; whether the couplet is to be shown again.
    pub(super) fn observe(&mut self, said: Said, view: &View) -> Result<bool> {
        let Some(at) = self.engine_in_hand(view) else {
            return self.tell(
                "This key declares no characters, so it can only be walked couplet by couplet; `help` lists what can be typed.\n",
            );
        };
        match said {
            Said::Statement(text, doubt) => self.statement(at, &text, doubt, view),
            Said::Seen => self.page(at, view, |s, e, paper, _| {
                let typed = e.typed(s.walk.events());
                let taken = e.taken(at, &s.steps(view), s.walk.events());
                findings::seen(paper, e.key, &typed, &taken, s.language)
            }),
            Said::Withdraw(n) => self.withdraw(at, n, view),
            Said::Condition(name) => {
                self.say(Event::Condition { name: name.clone() })?;
                self.tell(&format!("From here on the specimen is looked at {name}.\n"))?;
                Ok(true)
            }
            Said::Part { name, borne } => self.part(at, &name, borne, view),
            Said::Ranking => self.page(at, view, |_, _, paper, r| findings::ranking(paper, r)),
            Said::Next => self.page(at, view, |_, _, paper, r| findings::next(paper, r)),
            Said::Missing => self.missing(at, view),
            Said::Finish => self.finish(at, view),
            _ => self.tell("That was not understood; `help` lists what can be typed.\n"),
        }
    }

    /// Whether a statement is one of the sentences of the key in hand.
    pub(super) fn understands(&self, text: &str, view: &View) -> bool {
        let engine = self.engine_in_hand(view).and_then(|at| self.engine(at));
        engine.is_some_and(|e| e.read(text, e.specimen(self.walk.events()).condition).is_ok())
    }

    fn engine_in_hand(&self, view: &View) -> Option<usize> {
        in_hand(&self.engines, view)
    }

    fn engine(&self, at: usize) -> Option<&Engine<'_>> {
        self.engines.get(at)?.as_ref()
    }

    fn evidence(&self, at: usize, steps: &[Step]) -> Vec<Observation> {
        let all = |e: &Engine<'_>| e.observations(at, steps, self.walk.events());
        self.engine(at).map_or_else(Vec::new, |e| once(&all(e)))
    }

    /// What was typed against a lead taken, or against something typed before.
    fn contradictions(&self, at: usize, view: &View) -> String {
        let Some(e) = self.engine(at) else { return String::new() };
        let list = e.contradictions(at, &self.steps(view), self.walk.events());
        findings::contradicting(&self.paper(), e.key, &list, self.language)
    }

    fn reckon(&self, at: usize, view: &View) -> Option<Report> {
        let e = self.engine(at)?;
        let observations = self.evidence(at, &self.steps(view));
        Some(findings::reckon(e.key, e.table(), &observations, &e.specimen(self.walk.events())))
    }

    fn page(
        &mut self,
        at: usize,
        view: &View,
        write: impl Fn(&Self, &Engine<'_>, &Paper, &Report) -> String,
    ) -> Result<bool> {
        let page = match (self.engine(at), self.reckon(at, view)) {
            (Some(e), Some(r)) => write(self, e, &self.paper(), &r),
            _ => String::new(),
        };
        self.tell(&page)
    }

    fn statement(&mut self, at: usize, text: &str, doubt: bool, view: &View) -> Result<bool> {
        let Some(e) = self.engine(at) else { return Ok(false) };
        let condition = e.specimen(self.walk.events()).condition;
        match e.read(text, condition) {
            Err(unread) => {
                let said = unread.to_string();
                let end = if said.ends_with('?') { "" } else { "." };
                let mut out = String::new();
                self.paper().paragraph(&mut out, "Not taken: ", &format!("{said}{end}"));
                self.tell(&out)
            }
            Ok(read) => {
                let doubted = |o: Observation| if doubt { o.doubted(Doubt::Some) } else { o };
                let read: Vec<Observation> = read.into_iter().map(doubted).collect();
                let echo = findings::taken_as(&self.paper(), e.key, &read, self.language);
                let name = e.key.condition(condition).name.clone();
                self.say(Event::Observed { text: text.to_string(), condition: name, doubt })?;
                self.tell(&echo)?;
                self.stand(at, view)
            }
        }
    }

    /// Where the evidence stands, in two lines; the couplet need not be shown again.
    fn stand(&mut self, at: usize, view: &View) -> Result<bool> {
        let mut page = self
            .reckon(at, view)
            .map(|r| findings::standing(&self.paper(), &r))
            .unwrap_or_default();
        match &view.asked {
            Some(route) => page.push_str(&self.agreeing(view, route)),
            None => page.push_str(&self.contradictions(at, view)),
        }
        self.tell(&page)
    }

    fn withdraw(&mut self, at: usize, n: usize, view: &View) -> Result<bool> {
        let known = self
            .engine(at)
            .is_some_and(|e| e.typed(self.walk.events()).iter().any(|t| t.number == n));
        if !known {
            return self.tell(&format!("There is no observation {n}; `seen` lists them.\n"));
        }
        self.say(Event::Withdrawn { observation: n })?;
        self.stand(at, view)
    }

    fn part(&mut self, at: usize, name: &str, borne: bool, view: &View) -> Result<bool> {
        let Some(e) = self.engine(at) else { return Ok(false) };
        let part = match part_or_sight(e, self.walk.events(), name, borne) {
            Ok(Event::Observed { text, .. }) => return self.statement(at, &text, false, view),
            Ok(Event::Part { name, .. }) => name,
            Ok(_) => return Ok(false),
            Err(unknown) => return self.tell(&format!("{unknown}\n")),
        };
        let text = if borne {
            format!("This specimen has its {part}.\n")
        } else {
            format!("This specimen lacks its {part}.\n")
        };
        self.say(Event::Part { name: part, borne })?;
        self.tell(&text)?;
        Ok(true)
    }

    fn missing(&mut self, at: usize, view: &View) -> Result<bool> {
        let Some(e) = self.engine(at) else { return Ok(false) };
        let observations = self.evidence(at, &self.steps(view));
        let specimen = e.specimen(self.walk.events());
        let left = self.left(at, view, &observations);
        let m = missing(e.table(), &left, |_| 1.0, &observations, &specimen);
        let page = findings::lacking(&self.paper(), e.key, e.table(), &m, &left, &observations);
        self.tell(&page)
    }

    /// The rows still open: possible by the couplets and agreeing with what was seen; where none
    /// is both, those possible by the couplets.
    fn left(&self, at: usize, view: &View, observations: &[Observation]) -> Bits {
        let Some(e) = self.engine(at) else { return Bits::none(0) };
        let possible = self.walk.possible(view);
        let rows = possible.iter().filter(|(k, _)| *k == at).filter_map(|(_, t)| e.table().row(*t));
        let walked = Bits::of(e.table().rows(), rows);
        let agreement = crate::sift::agree(e.table(), observations, 1);
        let mut both = walked.clone();
        both.and(agreement.agreeing());
        if both.is_empty() { walked } else { both }
    }

    /// Ends with what the observations say, whatever couplets are open.
    fn finish(&mut self, at: usize, view: &View) -> Result<bool> {
        let Some(e) = self.engine(at) else { return Ok(false) };
        let steps = self.steps(view);
        let observations = self.evidence(at, &steps);
        if observations.is_empty() {
            return self.tell("Nothing was observed yet, so there is nothing to finish with.\n");
        }
        let r = findings::reckon(e.key, e.table(), &observations, &e.specimen(self.walk.events()));
        let paper = self.paper();
        let mut page = findings::ranking(&paper, &r);
        let best = match &r.verdict.verdict {
            Verdict::Settled { row, .. } => Some(*row),
            Verdict::ShortList { rows } => rows.first().copied(),
            _ => None,
        };
        if let Some(row) = best {
            let taxon = e.table().taxon(row);
            page.push('\n');
            page.push_str(&findings::checked(&paper, e.key, e.table(), &observations, taxon));
        }
        paper.paragraph(
            &mut page,
            "",
            "A key only proves what a plant is not. Compare the whole account, and a named specimen or a specialist, before the name is used. `quit` leaves with this; or go on, the couplets are still open.",
        );
        self.reckoned = Some((self.walk.events().len(), Reckoned { key: at, report: r }));
        self.tell(&page)
    }

    /// What can be done at a couplet, with something that can be typed of its key.
    pub(super) fn doors(&self, route: &Route, letters: &[char]) -> String {
        let example = self.engine(route.stand.key).and_then(|e| {
            findings::example(e.key, &e.key.couplet(route.stand.couplet).leads, self.language)
        });
        pages::doors(&self.paper(), letters, self.screen.is_terminal(), example.as_deref())
    }

    /// Marks on the parts of a couplet's leads that this specimen cannot show.
    pub(super) fn marks(&self, route: &Route) -> Vec<Vec<Option<String>>> {
        let Some(e) = self.engine(route.stand.key) else { return Vec::new() };
        let specimen = e.specimen(self.walk.events());
        let couplet = e.key.couplet(route.stand.couplet);
        couplet
            .leads
            .iter()
            .map(|l| l.parts.iter().map(|p| findings::hidden(e.key, &specimen, p)).collect())
            .collect()
    }

    /// Under a couplet, once something was observed: how many taxa behind each lead agree with it.
    /// Where nothing of the couplet can be looked at, the best question that can.
    pub(super) fn agreeing(&self, view: &View, route: &Route) -> String {
        let Stand { key: at, couplet, .. } = route.stand;
        let Some(e) = self.engine(at) else { return String::new() };
        let mut out = String::new();
        let typed = e.typed(self.walk.events());
        if !typed.is_empty() {
            let observations: Vec<Observation> =
                typed.into_iter().flat_map(|t| t.observations).collect();
            let agreement = crate::sift::agree(e.table(), &observations, 0);
            let mut most = 0;
            let counts: Vec<String> = e
                .key
                .couplet(couplet)
                .leads
                .iter()
                .enumerate()
                .map(|(i, lead)| {
                    let id = crate::key::LeadId { couplet, index: i as u16 };
                    let behind = self.walk.behind_lead(at, id);
                    let rows = behind
                        .iter()
                        .filter(|(k, _)| *k == at)
                        .filter_map(|(_, t)| e.table().row(*t));
                    let n = rows.filter(|r| agreement.agreeing().contains(*r)).count();
                    most = most.max(n);
                    format!("{} {n}", lead.label.letter.unwrap_or('?'))
                })
                .collect();
            out.push_str(&self.contradictions(at, view));
            if most == 0 {
                out.push_str("No taxon behind these leads agrees with all that you saw: `seen` lists it, `ranking` tells what speaks against each name.\n");
            } else {
                out.push_str(&format!(
                    "Of the taxa behind each lead, these agree with what you saw: {}.\n",
                    counts.join(", ")
                ));
            }
        }
        let marks = self.marks(route);
        let blind = !marks.is_empty()
            && marks.iter().flatten().all(Option::is_some)
            && marks.iter().any(|m| !m.is_empty());
        if blind && let Some(r) = self.reckon(at, view) {
            out.push_str(
                "This specimen shows nothing of this couplet. The best that it can show:\n",
            );
            out.push_str(&findings::next(&self.paper(), &r));
        }
        out
    }

    /// The check of an end's names against their accounts, statement by statement.
    pub(super) fn held(&self, end: &End) -> String {
        let Ending::Taxa { key, taxa } = &end.ending else { return String::new() };
        let Some(e) = self.engine(*key) else { return String::new() };
        let observations = self.evidence(*key, &end.steps);
        let mut out = String::new();
        for taxon in taxa {
            if e.key.taxon(*taxon).has_account {
                out.push_str(&findings::checked(
                    &self.paper(),
                    e.key,
                    e.table(),
                    &observations,
                    *taxon,
                ));
                out.push('\n');
            }
        }
        out
    }
}
