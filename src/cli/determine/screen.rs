//! Where a session reads and writes: a terminal with line editing, or a pipe.

use std::borrow::Cow;
use std::io::{self, BufRead, Write};
use std::sync::{Arc, Mutex};

use rustyline::completion::{Completer, Pair};
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::validate::Validator;
use rustyline::{
    Cmd, ConditionalEventHandler, Context, Editor, Event, EventContext, EventHandler, Helper,
    KeyCode, KeyEvent, Modifiers, RepeatCount,
};

/// What came of asking for a line.
#[derive(Debug, PartialEq, Eq)]
pub enum Line {
    Text(String),
    /// One key that answered at once, without Enter.
    Key(char),
    /// The input has ended.
    End,
    /// The person broke off (Ctrl-C).
    Broken,
}

/// A session's two ends.
pub trait Screen {
    /// Shows `text`, which ends its own lines.
    fn show(&mut self, text: &str) -> io::Result<()>;
    /// Asks for a line; the letters in `instant` are answers that need no Enter on a terminal.
    fn ask(&mut self, prompt: &str, instant: &[char], words: &[String]) -> io::Result<Line>;
    /// How many columns there are now.
    fn width(&self) -> usize;
    /// Whether a person sits in front of it.
    fn is_terminal(&self) -> bool;
}

/// Lines from a pipe, plain text out.
pub struct Piped<R, W> {
    input: R,
    output: W,
}

impl<R: BufRead, W: Write> Piped<R, W> {
    pub fn new(input: R, output: W) -> Self {
        Piped { input, output }
    }
}

impl<R: BufRead, W: Write> Screen for Piped<R, W> {
    fn show(&mut self, text: &str) -> io::Result<()> {
        self.output.write_all(text.as_bytes())?;
        self.output.flush()
    }

    fn ask(&mut self, _prompt: &str, _instant: &[char], _words: &[String]) -> io::Result<Line> {
        let mut line = Vec::new();
        if self.input.read_until(b'\n', &mut line)? == 0 {
            return Ok(Line::End);
        }
        let line = String::from_utf8_lossy(&line).trim_end_matches(['\n', '\r']).to_string();
        Ok(Line::Text(line))
    }

    fn width(&self) -> usize {
        80
    }

    fn is_terminal(&self) -> bool {
        false
    }
}

/// A terminal with history, completion and hints.
pub struct Prompt {
    editor: Editor<Words, rustyline::history::MemHistory>,
    instant: Arc<Mutex<Instant>>,
}

/// The keys that answer at once, and the one that was pressed.
#[derive(Default)]
struct Instant {
    letters: Vec<char>,
    pressed: Option<char>,
}

impl Prompt {
    /// # Errors
    /// The terminal cannot be set up.
    pub fn open() -> io::Result<Prompt> {
        let config = rustyline::Config::builder()
            .completion_type(rustyline::CompletionType::List)
            .auto_add_history(false)
            .build();
        let history = rustyline::history::MemHistory::new();
        let mut editor = Editor::with_history(config, history).map_err(io::Error::other)?;
        editor.set_helper(Some(Words::default()));
        let instant: Arc<Mutex<Instant>> = Arc::default();
        let keys =
            ('a'..='z').chain(['?', '*', '-', '+']).map(|c| (KeyEvent::new(c, Modifiers::NONE), c));
        let backspace = [
            (KeyEvent(KeyCode::Backspace, Modifiers::NONE), '-'),
            (KeyEvent(KeyCode::Char('H'), Modifiers::CTRL), '-'),
        ];
        for (event, key) in keys.chain(backspace) {
            let handler = AtOnce {
                key,
                instant: Arc::clone(&instant),
                rub: event.0 == KeyCode::Backspace || event.1 == Modifiers::CTRL,
            };
            editor.bind_sequence(Event::from(event), EventHandler::Conditional(Box::new(handler)));
        }
        Ok(Prompt { editor, instant })
    }
}

impl Screen for Prompt {
    fn show(&mut self, text: &str) -> io::Result<()> {
        let mut out = anstream::stdout();
        out.write_all(text.as_bytes())?;
        out.flush()
    }

    fn ask(&mut self, prompt: &str, instant: &[char], words: &[String]) -> io::Result<Line> {
        if let Ok(mut i) = self.instant.lock() {
            i.letters = instant.to_vec();
            i.pressed = None;
        }
        if let Some(helper) = self.editor.helper_mut() {
            helper.words = words.to_vec();
        }
        let line = self.editor.readline(prompt);
        let pressed = self.instant.lock().ok().and_then(|mut i| i.pressed.take());
        match line {
            Ok(line) => {
                if let Some(key) = pressed.filter(|_| line.is_empty()) {
                    return Ok(Line::Key(key));
                }
                if line.trim().len() > 1 {
                    let _ = self.editor.add_history_entry(line.as_str());
                }
                Ok(Line::Text(line))
            }
            Err(ReadlineError::Eof) => Ok(Line::End),
            Err(ReadlineError::Interrupted) => Ok(Line::Broken),
            // The window changed its size: the line is asked for again.
            Err(ReadlineError::Signal(_)) => Ok(Line::Text(String::new())),
            Err(ReadlineError::Io(e)) => Err(e),
            Err(e) => Err(io::Error::other(e)),
        }
    }

    fn width(&self) -> usize {
        let columns = terminal_size::terminal_size().map_or(80, |(w, _)| usize::from(w.0));
        columns.clamp(30, 100)
    }

    fn is_terminal(&self) -> bool {
        true
    }
}

/// NO_COLOR, when present and not empty, whatever its value (no-color.org).
fn no_color() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty())
}

/// A key that answers at once while the line is empty.
struct AtOnce {
    key: char,
    instant: Arc<Mutex<Instant>>,
    /// Backspace: only on an empty line does it mean "back".
    rub: bool,
}

impl ConditionalEventHandler for AtOnce {
    fn handle(&self, _: &Event, _: RepeatCount, _: bool, ctx: &EventContext<'_>) -> Option<Cmd> {
        if !ctx.line().is_empty() {
            return None;
        }
        let mut instant = self.instant.lock().ok()?;
        if self.key.is_ascii_alphabetic() && !instant.letters.contains(&self.key) {
            return None;
        }
        // Nothing is asked that could be answered with one key.
        if instant.letters.is_empty() && !self.rub && matches!(self.key, '?' | '*') {
            return None;
        }
        instant.pressed = Some(self.key);
        Some(Cmd::AcceptLine)
    }
}

/// Completes and hints the words that may be typed.
#[derive(Default)]
struct Words {
    words: Vec<String>,
}

impl Words {
    fn beginning<'a>(&'a self, line: &'a str) -> impl Iterator<Item = &'a String> + 'a {
        let low = line.trim_start().to_lowercase();
        self.words.iter().filter(move |w| !low.is_empty() && w.to_lowercase().starts_with(&low))
    }
}

impl Completer for Words {
    type Candidate = Pair;

    fn complete(
        &self,
        line: &str,
        pos: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<Pair>)> {
        let start = line.len() - line.trim_start().len();
        let pairs = self
            .beginning(&line[..pos])
            .take(40)
            .map(|w| Pair { display: w.clone(), replacement: w.clone() })
            .collect();
        Ok((start.min(pos), pairs))
    }
}

impl Hinter for Words {
    type Hint = String;

    fn hint(&self, line: &str, pos: usize, _: &Context<'_>) -> Option<String> {
        // Without colour a hint could not be told from what was typed.
        if pos < line.len() || line.trim().len() < 2 || no_color() {
            return None;
        }
        let typed = line.trim_start();
        let word = self.beginning(line).next()?;
        word.get(typed.len()..).map(str::to_string)
    }
}

impl Highlighter for Words {
    fn highlight_hint<'h>(&self, hint: &'h str) -> Cow<'h, str> {
        Cow::Owned(format!("\x1b[2m{hint}\x1b[0m"))
    }
}

impl Validator for Words {}
impl Helper for Words {}
