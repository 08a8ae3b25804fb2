//! The terminal: what is printed, in colour or without, and how wide it may be.

use std::io::{self, BufWriter, IsTerminal, Write};

use anstream::AutoStream;
use anstyle::{AnsiColor, Style};
use clap::ValueEnum;
use clap::builder::Styles;

use crate::text::parse::is_unseen;
use crate::text::shown::shown;

pub(super) const STRONG: Style = Style::new().bold();
pub(super) const ERROR: Style = AnsiColor::BrightRed.on_default().bold();
pub(super) const WARNING: Style = AnsiColor::Yellow.on_default().bold();
pub(super) const NOTE: Style = AnsiColor::BrightCyan.on_default().bold();
pub(super) const FAINT: Style = Style::new().dimmed();

pub(super) const HELP_STYLES: Styles = Styles::styled()
    .header(STRONG)
    .usage(STRONG)
    .literal(AnsiColor::BrightCyan.on_default())
    .error(ERROR)
    .invalid(WARNING);

/// The widest that text is set, however wide the window is.
const WIDEST: usize = 120;

/// When to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    #[default]
    Auto,
    Always,
    Never,
}

/// Where a command prints. Text may hold terminal codes; they are taken out where colour is not
/// wanted.
pub struct Terminal {
    out: BufWriter<AutoStream<io::Stdout>>,
    /// Whether colour is used.
    pub colour: bool,
    /// Columns that text may fill.
    pub width: usize,
    /// Whether JSON is asked for instead of text.
    pub json: bool,
}

impl Terminal {
    pub fn new(colour: Colour, json: bool) -> Terminal {
        let stdout = io::stdout();
        let choice = match colour {
            Colour::Always => anstream::ColorChoice::AlwaysAnsi,
            Colour::Never => anstream::ColorChoice::Never,
            Colour::Auto => AutoStream::choice(&stdout),
        };
        let width = match terminal_size::terminal_size_of(&stdout) {
            Some((terminal_size::Width(columns), _)) => usize::from(columns).clamp(40, WIDEST),
            None => 100,
        };
        Terminal {
            colour: choice != anstream::ColorChoice::Never,
            out: BufWriter::new(AutoStream::new(stdout, choice)),
            width,
            json,
        }
    }

    /// Prints `value` as one JSON document. Characters that cannot be seen, or that turn a line
    /// about, are escaped in it.
    ///
    /// # Errors
    /// Where standard output cannot be written to.
    pub fn print_json(&mut self, value: &impl serde::Serialize) -> anyhow::Result<()> {
        let text = serde_json::to_string_pretty(value)?;
        let mut out = String::with_capacity(text.len() + 1);
        for c in text.chars() {
            if c != '\n' && is_unseen(c) {
                let mut units = [0; 2];
                for unit in c.encode_utf16(&mut units) {
                    out.push_str(&format!("\\u{unit:04x}"));
                }
            } else {
                out.push(c);
            }
        }
        out.push('\n');
        self.out.write_all(out.as_bytes())?;
        Ok(())
    }

    /// Writes a text that is a file's own, byte for byte; on a terminal what cannot be seen in it
    /// is written out.
    ///
    /// # Errors
    /// Where standard output cannot be written to.
    pub fn write_file(&mut self, text: &str) -> anyhow::Result<()> {
        self.out.flush()?;
        let mut out = io::stdout().lock();
        if out.is_terminal() {
            for line in text.lines() {
                writeln!(out, "{}", shown(line))?;
            }
        } else {
            out.write_all(text.as_bytes())?;
        }
        out.flush()?;
        Ok(())
    }

    /// Writes a file's own bytes, whatever they are.
    ///
    /// # Errors
    /// Where standard output cannot be written to.
    pub fn write_bytes(&mut self, bytes: &[u8]) -> anyhow::Result<()> {
        self.out.flush()?;
        let mut out = io::stdout().lock();
        out.write_all(bytes)?;
        out.flush()?;
        Ok(())
    }

    /// Says something on standard error, where standard output is a text of its own.
    ///
    /// # Errors
    /// Where standard output cannot be written to.
    pub fn say_beside(&mut self, words: &str) -> anyhow::Result<()> {
        // What was printed so far comes first.
        self.out.flush()?;
        let _ = write!(self.beside(), "{words}");
        Ok(())
    }

    fn beside(&self) -> AutoStream<io::Stderr> {
        let coloured = if self.colour || io::stderr().is_terminal() {
            anstream::ColorChoice::Auto
        } else {
            anstream::ColorChoice::Never
        };
        AutoStream::new(io::stderr(), coloured)
    }

    /// Says on standard error why a command could not run.
    pub fn complain(&mut self, error: &anyhow::Error) {
        // What was printed so far comes first.
        let _ = self.out.flush();
        let mut err = self.beside();
        let mut words = shown(&format!("{error:#}")).into_owned();
        // A terminal would break the line in the middle of a word.
        if io::stderr().is_terminal() {
            let size = terminal_size::terminal_size_of(io::stderr());
            let width = size.map_or(WIDEST, |(w, _)| usize::from(w.0).clamp(20, WIDEST));
            let options = textwrap::Options::new(width).initial_indent("       ");
            words = textwrap::fill(&words, options).trim_start().to_string();
        }
        let _ = writeln!(err, "{ERROR}error{ERROR:#}: {words}");
    }
}

impl Write for Terminal {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.out.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}
