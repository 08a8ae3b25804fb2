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

/// Writes a text set to the terminal's width, each line behind `indent`.
fn tell(terminal: &mut Terminal, indent: &str, text: &str) -> anyhow::Result<()> {
    let options =
        textwrap::Options::new(terminal.width).initial_indent(indent).subsequent_indent(indent);
    for line in textwrap::wrap(&shown(text), options) {
        writeln!(terminal, "{line}")?;
    }
    Ok(())
}

/// Puts the questions of a report; answers go into `options`. Whether anything was answered.
pub(super) fn questions(
    questions: &[Question],
    options: &mut Options,
    terminal: &mut Terminal,
) -> anyhow::Result<bool> {
    let mut answered = false;
    for question in questions {
        tell(terminal, "", &format!("{}.", question.what))?;
        match question.about {
            "layout" => {
                for (i, name) in question.answers.iter().enumerate() {
                    writeln!(terminal, "  {}  {}", i + 1, shown(name))?;
                }
                let count = question.answers.len();
                let mut prompt = "Which is it? (Enter for the first) ".to_string();
                loop {
                    let Some(said) = answer(terminal, &prompt)? else { return Ok(answered) };
                    if said.is_empty() {
                        break;
                    }
                    let place = said.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
                    let chosen = place.and_then(|n| question.answers.get(n)).or_else(|| {
                        question.answers.iter().find(|a| a.eq_ignore_ascii_case(&said))
                    });
                    if let Some(name) = chosen {
                        options.layout = Some(name.clone());
                        answered = true;
                        break;
                    }
                    prompt = format!("A number from 1 to {count}, please (Enter for the first) ");
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
        writeln!(terminal)?;
        tell(terminal, "", &format!("{} of {count}: {}", i + 1, proposal.sentence))?;
        tell(terminal, "  ", &says)?;
        let from = proposal.couplets.join(", ");
        tell(terminal, "  ", &format!("from couplet {from}: {}", proposal.statements.join(" / ")))?;
        let mut prompt = "Declare it? y, n, a (this and all others), q (no more) ";
        loop {
            match answer(terminal, prompt)?.map(|a| a.to_lowercase()).as_deref() {
                Some("y" | "yes") => proposal.accept = true,
                Some("n" | "no") => {}
                Some("a" | "all") => {
                    proposal.accept = true;
                    rest = Some(true);
                }
                Some("q" | "quit") | None => rest = Some(false),
                Some(_) => {
                    prompt = "Say y, n, a or q: ";
                    continue;
                }
            }
            break;
        }
    }
    Ok(())
}
