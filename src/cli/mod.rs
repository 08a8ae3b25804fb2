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

/// Under which help lists what every command takes, after what is the command's own.
const EVERYWHERE: &str = "With every command";

/// Reads plant identification keys written as plain text, proves them sound, and names plants
/// with them.
#[derive(Debug, Parser)]
#[command(name = "hilum", version, max_term_width = 100, arg_required_else_help = true)]
#[command(styles = terminal::HELP_STYLES, after_help = "\
Begin with
  hilum determine
        the keys inside the program; name a plant with one
  hilum check my.key
        every fault of a key, with its place and its remedy
  hilum check --explain label-twice  more about one of them
  hilum help check                   all that a command can do")]
struct Cli {
    /// Print JSON, for other programs to read
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    json: bool,

    /// When to use colour: auto (on a terminal, unless NO_COLOR is set), always, never
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", alias = "color")]
    #[arg(help_heading = EVERYWHERE, hide_possible_values = true, hide_default_value = true)]
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

    /// Every command and action that runs, with its words.
    fn leaves() -> Vec<(String, clap::Command)> {
        fn below(path: &str, command: &clap::Command, out: &mut Vec<(String, clap::Command)>) {
            for sub in command.get_subcommands().filter(|c| c.get_name() != "help") {
                let path = format!("{path} {}", sub.get_name());
                if !sub.has_subcommands() {
                    out.push((path.clone(), sub.clone()));
                }
                below(&path, sub, out);
            }
        }
        let mut out = Vec::new();
        below("hilum", &Cli::command(), &mut out);
        assert!(out.len() > 25, "{} commands", out.len());
        out
    }

    #[test]
    fn every_argument_says_what_it_is() {
        let mut silent = Vec::new();
        for (path, command) in leaves() {
            let arguments = command.get_arguments().filter(|a| a.get_id() != "help");
            let mute = arguments.filter(|a| a.get_help().is_none_or(|h| h.to_string().is_empty()));
            silent.extend(mute.map(|a| format!("{path} {}", a.get_id())));
        }
        assert!(silent.is_empty(), "{silent:#?}");
    }

    /// The words of a command line as a shell would part them, up to a pipe or to a remark in the
    /// margin (after two blanks).
    fn words(line: &str) -> Vec<String> {
        let end = |(at, _): &(usize, &str)| {
            let quoted = |q: char| line[..*at].matches(q).count() % 2 == 1;
            !quoted('"') && !quoted('\'')
        };
        let ends = [" | ", " > ", "  "].iter().filter_map(|e| line.match_indices(e).find(end));
        let end = ends.map(|(at, _)| at).min().unwrap_or(line.len());
        shlex::split(&line[..end]).unwrap_or_else(|| panic!("a quote is left open: {line}"))
    }

    #[test]
    fn every_command_shows_examples_that_it_understands() {
        let whole = Cli::command();
        let after = |c: &clap::Command| c.get_after_help().map(|h| h.to_string());
        let mut pages = vec![("hilum".to_string(), after(&whole).unwrap_or_default())];
        for (path, command) in leaves() {
            let text = after(&command).unwrap_or_default();
            assert!(text.contains("Examples"), "{path} shows no example");
            let about = command.get_long_about().map(|a| a.to_string()).unwrap_or_default();
            let json = |t: &str| t.contains("With --json") || t.contains("JSON Lines");
            assert!(json(&text) || json(&about), "{path} says nothing of --json");
            pages.push((path, text));
        }
        let (mut tried, mut wide) = (0, Vec::new());
        for (path, text) in pages {
            for line in text.lines() {
                if line.chars().count() > 80 {
                    wide.push(format!("{path}: {line}"));
                }
                let Some(at) = line.find("hilum ").filter(|_| line.starts_with("  ")) else {
                    continue;
                };
                // A word of prose, not a command.
                if !line[..at].trim().is_empty() && !line[..at].trim().ends_with('|') {
                    continue;
                }
                let words = words(&line[at..]);
                match Cli::try_parse_from(&words) {
                    Ok(_) => tried += 1,
                    Err(e) if !e.use_stderr() => tried += 1,
                    Err(e) => panic!("{path}: {words:?}: {e}"),
                }
            }
        }
        assert!(wide.is_empty(), "wider than a terminal of 80 columns: {wide:#?}");
        assert!(tried > 60, "{tried} examples");
    }

    #[test]
    fn the_fields_of_a_gathering_stand_in_its_help() {
        let gather = leaves().into_iter().find(|(path, _)| path.ends_with(" gather"));
        let text = gather.and_then(|(_, c)| Some(c.get_after_help()?.to_string()));
        let text = text.expect("gather has help").replace('\n', " ");
        let list = text.split("Fields for --set").nth(1).expect("it lists the fields");
        // These are written by the program, or have an option of their own.
        let own = ["date", "date as written", "source"];
        for field in crate::notebook::record::Kind::Gathering.fields() {
            let there = list.split([',', ')']).any(|f| {
                let f = f.split_whitespace().collect::<Vec<_>>().join(" ");
                f == *field || f.starts_with(&format!("{field} "))
            });
            assert!(there || own.contains(field), "{field} is not in the list: {list}");
        }
    }
}
