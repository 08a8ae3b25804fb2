//! The session for a program: answers line by line in, one JSON object a state out.

use std::io::{BufRead, Write};

use anyhow::Result;

use super::record::Record;
use super::said::Said;
use crate::key::Library;
use crate::text::language::Language;
use crate::walk::{Answer, Event, Walk};

/// Prints the state (see [`crate::walk::report::Report`]), reads a line as a person would type
/// it, and so on till the input ends. A line that is not understood answers with
/// `{"format":1,"error":"..."}` and changes nothing.
pub fn run(
    library: &Library,
    mut walk: Walk<'_>,
    language: &'static Language,
    mut record: Option<Record>,
    input: impl BufRead,
    mut output: impl Write,
) -> Result<()> {
    let conditions: Vec<&str> = library.main().conditions.iter().map(|c| c.name.as_str()).collect();
    let mut lines = input.split(b'\n');
    loop {
        let view = walk.view();
        serde_json::to_writer(&mut output, &walk.report(&view, language))?;
        writeln!(output)?;
        output.flush()?;
        loop {
            let Some(line) = lines.next().transpose()? else { return Ok(()) };
            let line = String::from_utf8_lossy(&line).into_owned();
            let leads: Vec<char> = view.asked.as_ref().map_or_else(Vec::new, |r| {
                let couplet = library.keys[r.stand.key].couplet(r.stand.couplet);
                couplet.leads.iter().filter_map(|l| l.label.letter).collect()
            });
            let said = Said::read(&line, &leads, &conditions);
            if said == Said::Quit {
                return Ok(());
            }
            match understood(&said, &view, &leads) {
                Some(Step::Say(event)) => {
                    if let Some(r) = &mut record {
                        r.say(&event)?;
                    }
                    walk.say(event);
                }
                Some(Step::Back) if walk.undo().is_some() => {
                    if let Some(r) = &mut record {
                        r.undo()?;
                    }
                }
                Some(Step::Forward) if walk.redo().is_some() => {
                    if let Some(r) = &mut record {
                        r.redo()?;
                    }
                }
                Some(Step::Show) => {}
                _ => {
                    let error = format!("not understood, or not possible now: {}", line.trim());
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
