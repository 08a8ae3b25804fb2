//! Questions to whoever sits at the terminal.

use std::io::{BufRead, Write};

use crate::craft::adopt::Options;
use crate::craft::adopt::characters::Proposal;
use crate::craft::adopt::report::Question;
use crate::text::shown::shown;

use super::Terminal;

/// One line of an answer; `None` where the input has ended.
fn answer(terminal: &mut Terminal, prompt: &str) -> anyhow::Result<Option<String>> {
    write!(terminal, "{prompt}")?;
    terminal.flush()?;
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line)?;
    Ok((read > 0).then(|| line.trim().to_string()))
}

/// Puts the questions of a report; answers go into `options`. Whether anything was answered.
pub(super) fn questions(
    questions: &[Question],
    options: &mut Options,
    terminal: &mut Terminal,
) -> anyhow::Result<bool> {
    let mut answered = false;
    for question in questions {
        writeln!(terminal, "{}.", shown(&question.what))?;
        match question.about {
            "layout" => {
                for (i, name) in question.answers.iter().enumerate() {
                    writeln!(terminal, "  {}  {}", i + 1, shown(name))?;
                }
                let Some(said) = answer(terminal, "Which is it? (Enter for the first) ")? else {
                    break;
                };
                let chosen = said
                    .parse::<usize>()
                    .ok()
                    .and_then(|n| question.answers.get(n.checked_sub(1)?));
                if let Some(name) = chosen {
                    options.layout = Some(name.clone());
                    answered = true;
                }
            }
            _ => {
                let guess = question.answers.first();
                let prompt = match guess {
                    Some(guess) => {
                        format!("Which genus is it? (y for {}, Enter to leave it) ", shown(guess))
                    }
                    None => "Which genus is it? (Enter to leave it) ".to_string(),
                };
                let Some(said) = answer(terminal, &prompt)? else { break };
                let genus = match (said.as_str(), guess) {
                    ("", _) => continue,
                    ("y" | "yes", Some(guess)) => guess.clone(),
                    (name, _) => name.to_string(),
                };
                options.genus = Some(genus);
                answered = true;
            }
        }
    }
    Ok(answered)
}

/// Goes through the proposals; `y` takes one, `a` it and all the rest, `q` none of the rest.
pub(super) fn characters(offered: &mut [Proposal], terminal: &mut Terminal) -> anyhow::Result<()> {
    let count = offered.len();
    let mut rest: Option<bool> = None;
    for (i, proposal) in offered.iter_mut().enumerate() {
        if let Some(accept) = rest {
            proposal.accept = accept;
            continue;
        }
        proposal.accept = false;
        let says = match &proposal.measure {
            Some(unit) if unit == "count" => "a count".to_string(),
            Some(unit) => format!("a measure in {unit}"),
            None => proposal.states.join(", "),
        };
        writeln!(terminal, "\n{} of {count}: {}", i + 1, shown(&proposal.sentence))?;
        writeln!(terminal, "  {}", shown(&says))?;
        writeln!(
            terminal,
            "  from couplet {}: {}",
            shown(&proposal.couplets.join(", ")),
            shown(&proposal.statements.join(" / "))
        )?;
        match answer(terminal, "Declare it? y, n, a (this and all others), q (no more) ")?
            .as_deref()
        {
            Some("y" | "yes") => proposal.accept = true,
            Some("a") => {
                proposal.accept = true;
                rest = Some(true);
            }
            Some("q") | None => rest = Some(false),
            Some(_) => {}
        }
    }
    Ok(())
}
