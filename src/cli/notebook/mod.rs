//! `notebook`: the collector's ledger at the command line, one file an action.

pub(super) mod again;
mod begin;
mod check;
mod collection;
mod correct;
pub(super) mod desk;
mod export;
mod gather;
mod import;
mod leaving;
mod list;
mod merge;
mod name;
mod names;
mod note;
mod numbers;
mod part;
mod prompt;
mod roadside;
mod see;
mod show;

use std::path::PathBuf;

use anyhow::Result;
use clap::{Args, Subcommand};

pub(super) use desk::Desk;

use super::{Outcome, Terminal};

/// Keep the collector's notebook: numbers, parts, what was seen, every name
///
/// A notebook is a folder of plain YAML documents that you can read, edit and keep under git. It
/// is appended to and never rewritten: to change something, correct it.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren begin --collector \"A. K. Ashdown\"
  hilum notebook --in oren gather
        asks for what belongs to a gathering
  hilum notebook --in oren gather --place \"lower field\" --parts \"sheet; bark\"
  hilum notebook --in oren see 1042 \"Petals red; sap milky\" --condition fresh
  hilum notebook --in oren name 1042 \"Papaver cf. rhoeas L.\"
  hilum notebook --in oren show 1042
  hilum notebook --in oren leaving field-weeds
        what to look at before leaving the site
  hilum notebook --in oren again my.key
        names that a new issue of a key touches
  hilum notebook --in oren export --archive season.zip

The folder is the one of --in, else of HILUM_NOTEBOOK, else the one you are in.

Exit status
  0  done
  1  faults, gaps or work for the desk were found
  2  it could not be done")]
pub struct Notebook {
    #[command(flatten)]
    place: Place,

    #[command(subcommand)]
    action: Action,
}

/// Under which help lists what names a notebook.
const NOTEBOOK: &str = "Which notebook";

/// Which notebook, and who writes.
#[derive(Clone, Debug, Args)]
pub struct Place {
    /// The notebook's folder; without it that of HILUM_NOTEBOOK, else the one you are in
    #[arg(long = "in", value_name = "FOLDER", global = true, help_heading = NOTEBOOK)]
    folder: Option<PathBuf>,
    /// Who writes; without it the collector of this machine
    #[arg(long, value_name = "NAME", global = true, help_heading = NOTEBOOK)]
    writer: Option<String>,
}

impl Place {
    /// The notebook in a folder, with the writer of this machine.
    pub fn of(folder: PathBuf) -> Place {
        Place { folder: Some(folder), writer: None }
    }

    /// The same, in `folder` where none was named.
    pub fn or(mut self, folder: PathBuf) -> Place {
        self.folder.get_or_insert(folder);
        self
    }

    /// ` --in FOLDER` as a person types it, where a folder was named; for what to do next.
    pub fn typed(&self) -> String {
        let folder = self.folder.as_ref().map(|f| f.display().to_string());
        match folder.as_deref().map(shlex::try_quote) {
            Some(Ok(words)) => format!(" --in {words}"),
            _ => String::new(),
        }
    }
}

/// Declares the actions: for each its name and the arguments that its file declares.
macro_rules! actions {
    ($($name:ident($arguments:ty),)*) => {
        #[derive(Debug, Subcommand)]
        enum Action {
            $($name($arguments),)*
        }

        impl Action {
            fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
                match self {
                    $(Action::$name(action) => action.run(place, terminal),)*
                }
            }
        }
    };
}

actions! {
    Begin(begin::Begin),
    Gather(gather::Gather),
    Part(part::PartOf),
    See(see::See),
    Name(name::Name),
    Confirm(name::Confirm),
    Note(note::NoteOn),
    Correct(correct::Correct),
    Show(show::Show),
    List(list::List),
    Numbers(numbers::Numbers),
    Collection(collection::Collected),
    Leaving(leaving::LeavingSite),
    Again(again::RunAgain),
    Names(names::Names),
    Import(import::Import),
    Export(export::Export),
    Merge(merge::Merge),
    Check(check::Check),
}

impl Notebook {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        self.action.run(&self.place, terminal)
    }
}
