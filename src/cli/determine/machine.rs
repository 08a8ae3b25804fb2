//! The session for a program: answers line by line in, one JSON object a state out.

use std::io::{BufRead, Write};

use anyhow::Result;
use serde::Serialize;

use super::kept::Reckoned;
use super::observing::{engines, in_hand, part_or_sight};
use super::record::Record;
use super::said::Said;
use crate::cli::evidence::reckon;
use crate::key::Library;
use crate::sift::report::{Observed, Ranked, VerdictSaid};
use crate::text::language::Language;
use crate::walk::evidence::Engine;
use crate::walk::report::Report;
use crate::walk::{Answer, Event, View, Walk};

/// What is printed: where the walk stands, and what the observations say. Fields are only added.
#[derive(Serialize)]
struct State {
    #[serde(flatten)]
    walk: Report,
    observations: Vec<Numbered>,
    /// `null` as long as nothing was observed, as the ranking is.
    verdict: Option<VerdictSaid>,
    ranking: Option<Ranked>,
    /// What to beware of with the names of the ranking and the verdict, each once.
    cautions: Vec<String>,
    /// The session was ended here with what the observations say.
    finished: bool,
}

/// An observation; the number is that by which it is withdrawn, `null` where a lead says it.
#[derive(Serialize)]
struct Numbered {
    number: Option<usize>,
    #[serde(flatten)]
    observed: Observed,
}

impl State {
    fn of(
        walk: &Walk<'_>,
        view: &View,
        engines: &[Option<Engine<'_>>],
        language: &'static Language,
    ) -> (State, Option<Reckoned>) {
        let mut state = State {
            walk: walk.report(view, language),
            observations: Vec::new(),
            verdict: None,
            ranking: None,
            cautions: Vec::new(),
            finished: false,
        };
        let engine = in_hand(engines, view).and_then(|at| Some((at, engines.get(at)?.as_ref()?)));
        let Some((at, engine)) = engine else { return (state, None) };
        let events = walk.events();
        let steps = match (&view.asked, view.ends.first()) {
            (Some(route), _) => route.steps.as_slice(),
            (None, Some(end)) => end.steps.as_slice(),
            _ => &[],
        };
        let mut numbers = Vec::new();
        for typed in engine.typed(events) {
            numbers.extend(typed.observations.iter().map(|_| Some(typed.number)));
        }
        let observations = engine.observations(at, steps, events);
        if observations.is_empty() {
            return (state, None);
        }
        numbers.resize(observations.len(), None);
        let r = reckon(engine.key, engine.table(), &observations, &engine.specimen(events));
        let numbered = numbers.into_iter().zip(r.observations.iter().cloned());
        state.observations =
            numbered.map(|(number, observed)| Numbered { number, observed }).collect();
        state.verdict = Some(r.verdict.clone());
        state.ranking = Some(r.ranking.clone());
        state.cautions = r.cautions.clone();
        (state, Some(Reckoned { key: at, report: r }))
    }
}

/// Prints the state, reads a line as a person would type it, and so on till the input ends. A line
/// that is not understood answers with `{"format":1,"error":"..."}` and changes nothing. Returns the
/// walk, and what the observations say where `finish` was said last.
pub fn run<'k>(
    library: &'k Library,
    mut walk: Walk<'k>,
    language: &'static Language,
    mut record: Option<Record>,
    input: impl BufRead,
    mut output: impl Write,
) -> Result<(Walk<'k>, Option<Reckoned>)> {
    let conditions: Vec<&str> = library.main().conditions.iter().map(|c| c.name.as_str()).collect();
    let engines = engines(library, language);
    let mut lines = input.split(b'\n');
    let mut finished = false;
    loop {
        let view = walk.view();
        let (mut state, reckoned) = State::of(&walk, &view, &engines, language);
        state.finished = finished;
        serde_json::to_writer(&mut output, &state)?;
        writeln!(output)?;
        output.flush()?;
        loop {
            let Some(line) = lines.next().transpose()? else {
                return Ok((walk, reckoned.filter(|_| finished)));
            };
            let line = String::from_utf8_lossy(&line).into_owned();
            let leads: Vec<char> = view.asked.as_ref().map_or_else(Vec::new, |r| {
                let couplet = library.keys[r.stand.key].couplet(r.stand.couplet);
                couplet.leads.iter().filter_map(|l| l.label.letter).collect()
            });
            let said = Said::read(&line, &leads, &conditions);
            if said == Said::Quit {
                return Ok((walk, reckoned.filter(|_| finished)));
            }
            if said == Said::Finish && reckoned.is_some() {
                finished = true;
                break;
            }
            let step = understood(&said, &view, &leads)
                .map_or_else(|| observed(&said, &walk, &view, &engines), Ok);
            // Whoever goes on has not finished; showing the same again changes nothing.
            finished &= !matches!(step, Ok(Step::Say(_) | Step::Back | Step::Forward));
            match step {
                Ok(Step::Say(event)) => {
                    if let Some(r) = &mut record {
                        r.say(&event)?;
                    }
                    walk.say(event);
                }
                Ok(Step::Back) if walk.undo().is_some() => {
                    if let Some(r) = &mut record {
                        r.undo()?;
                    }
                }
                Ok(Step::Forward) if walk.redo().is_some() => {
                    if let Some(r) = &mut record {
                        r.redo()?;
                    }
                }
                Ok(Step::Show) => {}
                unable => {
                    let why = unable.err().flatten();
                    let error = why.unwrap_or_else(|| {
                        format!("not understood, or not possible now: {}", line.trim())
                    });
                    serde_json::to_writer(
                        &mut output,
                        &serde_json::json!({"format": 1, "error": error}),
                    )?;
                    writeln!(output)?;
                    output.flush()?;
                    continue;
                }
            }
            break;
        }
    }
}

enum Step {
    Say(Event),
    Back,
    Forward,
    Show,
}

/// What was said of the specimen.
///
/// # Errors
/// Why it cannot be taken, where more can be said than that it was not understood.
fn observed(
    said: &Said,
    walk: &Walk<'_>,
    view: &View,
    engines: &[Option<Engine<'_>>],
) -> std::result::Result<Step, Option<String>> {
    let engine = in_hand(engines, view).and_then(|at| engines.get(at)?.as_ref()).ok_or(None)?;
    let events = walk.events();
    let event = match said {
        Said::Statement(text, doubt) => {
            let condition = engine.specimen(events).condition;
            engine.read(text, condition).map_err(|unread| Some(format!("not taken: {unread}")))?;
            let condition = engine.key.condition(condition).name.clone();
            Event::Observed { text: text.clone(), condition, doubt: *doubt }
        }
        Said::Withdraw(n) => {
            if !engine.typed(events).iter().any(|t| t.number == *n) {
                return Err(Some(format!("there is no observation {n}")));
            }
            Event::Withdrawn { observation: *n }
        }
        Said::Condition(name) => Event::Condition { name: name.clone() },
        Said::Part { name, borne } => part_or_sight(engine, events, name, *borne)?,
        Said::Finish => return Err(Some("nothing was observed yet to finish with".to_string())),
        _ => return Err(None),
    };
    Ok(Step::Say(event))
}

fn understood(said: &Said, view: &crate::walk::View, leads: &[char]) -> Option<Step> {
    let stand = view.asked.as_ref().map(|r| r.stand);
    let answer = |answer| {
        let stand = stand?;
        Some(Step::Say(Event::Answered { key: stand.key, couplet: stand.couplet.0, answer }))
    };
    let index = |c: &char| leads.iter().position(|l| l == c).map(|i| i as u16);
    match said {
        Said::Lead(c) => answer(Answer::Lead { lead: index(c)? }),
        Said::CannotTell => answer(Answer::CannotTell),
        Said::Either(letters) if letters.is_empty() => {
            answer(Answer::Either { leads: (0..leads.len() as u16).collect() })
        }
        Said::Either(letters) => {
            answer(Answer::Either { leads: letters.iter().map(index).collect::<Option<_>>()? })
        }
        Said::Step(n) => {
            let route = view
                .asked
                .as_ref()
                .map(|r| &r.steps)
                .or_else(|| view.ends.first().map(|e| &e.steps))?;
            let step = route.get(n.checked_sub(1)?).filter(|s| s.answer.is_some())?;
            Some(Step::Say(Event::Reopened { key: step.stand.key, couplet: step.stand.couplet.0 }))
        }
        Said::Back => Some(Step::Back),
        Said::Forward => Some(Step::Forward),
        Said::Remark(text) => Some(Step::Say(Event::Remarked { text: text.clone() })),
        Said::Again => Some(Step::Show),
        _ => None,
    }
}
