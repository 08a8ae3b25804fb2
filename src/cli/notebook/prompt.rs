//! Short questions: Enter leaves out, a full stop leaves out all that follows.

use std::io::{BufRead, IsTerminal, Write};

use anyhow::Result;
use rustyline::DefaultEditor;
use rustyline::error::ReadlineError;

/// Where answers come from: a person at a terminal, or lines from a pipe.
pub enum Prompt {
    Terminal(Box<DefaultEditor>),
    Pipe,
}

/// What came of a question.
#[derive(Debug, PartialEq, Eq)]
pub enum Said {
    Text(String),
    /// Left out.
    Nothing,
    /// This and all further questions are left out.
    Enough,
    /// The person broke off: nothing is to be recorded.
    Broken,
}

impl Prompt {
    pub fn open() -> Result<Prompt> {
        Ok(if std::io::stdin().is_terminal() {
            Prompt::Terminal(Box::new(DefaultEditor::new()?))
        } else {
            Prompt::Pipe
        })
    }

    /// Asks; `default` is shown in brackets and taken by Enter.
    pub fn ask(&mut self, question: &str, default: Option<&str>) -> Result<Said> {
        let shown = match default {
            Some(d) => format!("{question} [{d}]: "),
            None => format!("{question}: "),
        };
        let line = match self {
            Prompt::Terminal(editor) => match editor.readline(&shown) {
                Ok(line) => line,
                Err(ReadlineError::Interrupted) => return Ok(Said::Broken),
                Err(ReadlineError::Eof) => return Ok(Said::Enough),
                Err(e) => return Err(e.into()),
            },
            Prompt::Pipe => {
                let mut line = Vec::new();
                if std::io::stdin().lock().read_until(b'\n', &mut line)? == 0 {
                    return Ok(Said::Enough);
                }
                String::from_utf8_lossy(&line).into_owned()
            }
        };
        Ok(match (line.trim(), default) {
            (".", _) => Said::Enough,
            ("", Some(d)) => Said::Text(d.to_string()),
            ("", None) => Said::Nothing,
            (text, _) => Said::Text(text.to_string()),
        })
    }

    /// Says something between questions.
    pub fn say(&self, text: &str) {
        let mut err = std::io::stderr();
        let _ = writeln!(err, "{text}");
    }
}
