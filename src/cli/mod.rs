//! The commands: one file each, and the only place that knows a terminal.
//!
//! Exit status: 0 where all is well, 1 where a command found what it looks for (errors in a key, a
//! file that is not tidy), 2 where it could not run.

mod adopt;
mod batch;
mod check;
mod compare;
mod determine;
mod evidence;
mod frames;
pub mod input;
mod label;
mod notebook;
mod paper;
mod progress;
mod rehearse;
mod sift;
mod specimen;
mod tell;
mod terminal;
mod tidy;

use std::io::Write;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

pub use terminal::{Colour, Terminal};

/// Reads plant identification keys written as plain text, proves them sound, and names plants
/// with them.
#[derive(Debug, Parser)]
#[command(name = "hilum", version, max_term_width = 100, arg_required_else_help = true)]
#[command(styles = terminal::HELP_STYLES, after_help = "\
Begin with
  hilum determine                    the keys inside the program; name a plant with one
  hilum check my.key                 every fault of a key, with its place and its remedy
  hilum check --explain label-twice  more about one of them
  hilum help check                   all that a command can do")]
struct Cli {
    /// Print JSON, for other programs to read
    #[arg(long, global = true)]
    json: bool,

    /// When to use colour; NO_COLOR is honoured
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", alias = "color")]
    colour: Colour,

    #[command(subcommand)]
    command: Command,
}

/// Declares the list of commands: for each its name and the arguments that its file declares. A
/// file's arguments have a method `run` and a doc comment, which is the command's help.
macro_rules! commands {
    ($($name:ident($arguments:ty),)*) => {
        #[derive(Debug, Subcommand)]
        enum Command {
            $($name($arguments),)*
        }

        impl Command {
            fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
                match self {
                    $(Command::$name(command) => command.run(terminal),)*
                }
            }
        }
    };
}

commands! {
    Adopt(adopt::Adopt),
    Batch(batch::Batch),
    Check(check::Check),
    Compare(compare::Compare),
    Rehearse(rehearse::Rehearse),
    Determine(determine::Determine),
    Sift(sift::Sift),
    Tell(tell::Tell),
    Tidy(tidy::Tidy),
    Notebook(notebook::Notebook),
    Label(label::LabelSheets),
}

/// What a command came to, when it could run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Exit status 0.
    Well,
    /// Exit status 1: it found what it looks for.
    Found,
    /// Exit status 2: part of what was asked could not be done, and the command has said so.
    Failed,
}

/// The whole program: reads the arguments, runs a command, and says how it went.
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // A closed pipe is no error, not even under `--help`.
            let _ = error.print();
            return ExitCode::from(error.exit_code() as u8);
        }
    };
    let mut terminal = Terminal::new(cli.colour, cli.json);
    let result = cli.command.run(&mut terminal);
    let flushed = terminal.flush().map_err(anyhow::Error::from);
    match result.and_then(|outcome| flushed.map(|()| outcome)) {
        Ok(outcome) => ExitCode::from(outcome as u8),
        Err(error) if is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => {
            terminal.complain(&error);
            ExitCode::from(2)
        }
    }
}

// Whoever reads our output has read enough.
fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause
            .downcast_ref::<std::io::Error>()
            .is_some_and(|io| io.kind() == std::io::ErrorKind::BrokenPipe)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_well_formed() {
        Cli::command().debug_assert();
    }
}
