//! `determine`: the session that names a plant, couplet by couplet.

mod joined;
mod kept;
mod lookup;
mod machine;
mod observing;
mod pages;
mod record;
mod said;
mod screen;
mod session;
mod specimen;

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use anyhow::{Context, Result, bail};

use super::notebook::Place;
use super::{Outcome, Terminal, input};
use crate::key::{Library, bundled};
use crate::text::finding::Severity;
use crate::text::language::Language;
use crate::walk::Walk;
pub use lookup::{Found, find_taxon};
use record::{Head, Kept, Record};
use session::{Left, Session};
use specimen::InHand;

/// Name a plant: couplet by couplet, with undo, doubt and a record
///
/// With input from a pipe it reads one answer a line. With --json it prints one JSON object a
/// state: {"format":1, "asked":{"couplet", "step", "leads":[{"letter", "statements", "taxa"}]},
/// "possible":[names], "ends":[{"ending", "names", "cautions", "route", "uncertain"}],
/// "observations":[{"number", "text", "character", "value", "condition", "doubt"}], "verdict",
/// "ranking", "cautions"}. A line of its input is what a person would type: a lead's letter,
/// `either`, `cannot tell`, `back`, or what is seen, such as `Petals red`, `withdraw 1`, `pressed`,
/// `no flower`. Observations with a number were typed, others come from the leads taken; verdict
/// and ranking are those of `hilum sift --json`, null as long as nothing was observed. A line that
/// is not understood is answered with {"format":1, "error"} and changes nothing. `finish` answers
/// with "finished": true. With --specimen a last line says what was recorded when the input ends:
/// {"format":1, "specimen", "recorded":[ids], "name"}.
#[derive(clap::Args, Debug)]
#[command(after_help = "\
Examples
  hilum determine                        list the keys inside the program
  hilum determine field-weeds            open one of them
  hilum determine my.key grasses.key     a key file, and another it points into
  hilum determine --resume               take up the last session
  hilum determine field-weeds --in oren --specimen 1042
  printf 'a\\nb\\n' | hilum determine tree-leaves

Exit status
  0  every branch has ended: with a name, or with the key's reason for none
  1  the session was left open
  2  it could not run")]
pub struct Determine {
    /// A key file, `-`, or the name of a key inside the program; then further files it points into
    #[arg(value_name = "KEY")]
    keys: Vec<String>,
    /// Show the key in this language, as far as it is translated (en, de, fr)
    #[arg(long, value_name = "CODE")]
    language: Option<String>,
    /// Take up a session that was left or cut off; without FILE the last one
    #[arg(long, value_name = "FILE", num_args = 0..=1, conflicts_with = "record")]
    resume: Option<Option<PathBuf>>,
    /// Write the session's record to FILE, which must not exist yet
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Keep no record
    #[arg(long, conflicts_with_all = ["record", "resume"])]
    no_record: bool,
    /// Name a specimen of the notebook: begins with what was recorded of it, appends what comes
    #[arg(long, value_name = "NUMBER")]
    specimen: Option<String>,
    /// The condition in which the specimen is; without it fresh on the day, pressed afterwards
    #[arg(long, value_name = "NAME", requires = "specimen")]
    condition: Option<String>,
    #[command(flatten)]
    place: Place,
}

impl Determine {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        let kept = match &self.resume {
            None => None,
            Some(Some(path)) => Some(Kept::read(path)?),
            Some(None) => Some(Kept::latest()?),
        };
        let names = match &kept {
            Some(k) if self.keys.is_empty() => k.head.keys.clone(),
            _ => self.keys.clone(),
        };
        if names.is_empty() {
            return list(terminal);
        }
        let library = input::library(&names)?;
        faults(&library);
        if library.start().is_none() {
            bail!("{} has no couplet; `hilum check {0}` says what it lacks", names[0]);
        }
        let language = self.language(kept.as_ref(), &library)?;
        let mut head = head(&names, &library, language);
        let person =
            std::io::stdin().is_terminal() && std::io::stdout().is_terminal() && !terminal.json;
        if let Some(k) = &kept {
            resumed(k, &head);
        }
        let in_hand = self.in_hand(kept.as_ref(), &library)?;
        head.specimen = in_hand.as_ref().map(InHand::on);
        let mut record = self.record(kept.as_ref(), &head, person)?;
        let known = in_hand.as_ref().map(|h| h.known.clone()).unwrap_or_default();
        if let (Some(record), None) = (&mut record, &kept) {
            // A session taken up again begins with the same.
            known.iter().try_for_each(|event| record.say(event))?;
        }
        let recorded = record.is_some();
        let walk = Walk::resumed(&library, kept.map_or(known, |k| k.events));
        if terminal.json {
            let input = std::io::stdin().lock();
            let (walk, reckoned) =
                machine::run(&library, walk, language, record, input, &mut *terminal)?;
            if let Some(in_hand) = in_hand {
                let finished = walk.view().asked.is_none();
                in_hand.keep(&walk, language, finished, reckoned.as_ref())?.print_json(terminal)?;
            }
            return Ok(Outcome::Well);
        }
        let colour = terminal.colour;
        let (left, (walk, reckoned)) = if person {
            let mut screen = screen::Prompt::open()?;
            let mut session = Session::new(&library, walk, language, record, &mut screen, colour);
            (session.run()?, session.into_walk())
        } else {
            let mut screen = screen::Piped::new(std::io::stdin().lock(), &mut *terminal);
            let mut session = Session::new(&library, walk, language, record, &mut screen, colour);
            (session.run()?, session.into_walk())
        };
        if let Some(in_hand) = in_hand {
            let finished = left == Left::Finished;
            let kept = in_hand.keep(&walk, language, finished, reckoned.as_ref());
            // The session's own record has it all, where there is one.
            let again = || "the session is kept; take it up again with `hilum determine --resume`";
            let kept = if recorded { kept.with_context(again)? } else { kept? };
            kept.tell(&mut *terminal)?;
        }
        Ok(match left {
            Left::Finished => Outcome::Well,
            Left::Open => Outcome::Found,
        })
    }

    /// The specimen that was named, or that of the session that is taken up.
    fn in_hand(&self, kept: Option<&Kept>, library: &Library) -> Result<Option<InHand>> {
        let condition = self.condition.as_deref();
        let before = kept.and_then(|k| k.head.specimen.as_ref());
        match (&self.specimen, before) {
            (Some(number), _) => InHand::open(&self.place, number, condition, library).map(Some),
            (None, Some(on)) => {
                let place = self.place.clone().or(on.notebook.clone());
                InHand::open(&place, &on.citation, condition, library).map(Some)
            }
            (None, None) => Ok(None),
        }
    }

    fn record(&self, kept: Option<&Kept>, head: &Head, person: bool) -> Result<Option<Record>> {
        if let Some(k) = kept {
            return Record::go_on(k).map(Some);
        }
        // A pipe is recorded only on request: its input is a record already.
        if self.no_record || (self.record.is_none() && !person) {
            return Ok(None);
        }
        match Record::begin(self.record.as_deref(), head) {
            Ok(r) => Ok(Some(r)),
            Err(e) if self.record.is_none() => {
                eprintln!("hilum: this session is not recorded: {e:#}");
                Ok(None)
            }
            Err(e) => Err(e),
        }
    }

    fn language(&self, kept: Option<&Kept>, library: &Library) -> Result<&'static Language> {
        let own = library.main().heading.language;
        let Some(code) = self.language.as_deref().or(kept.map(|k| k.head.language.as_str())) else {
            return Ok(own);
        };
        match Language::of(code) {
            Some(l) => Ok(l),
            None => {
                let known: Vec<&str> = crate::text::language::ALL.iter().map(|l| l.code).collect();
                bail!(
                    "there is no word table for the language `{code}`; there are {}",
                    known.join(", ")
                )
            }
        }
    }
}

/// Faults of the key do not stop a determination, but whoever uses it has to know.
fn faults(library: &Library) {
    for key in &library.keys {
        let errors = key.findings.iter().filter(|f| f.severity == Severity::Error).count();
        if errors > 0 {
            let name = key.source.name();
            eprintln!(
                "hilum: {name} has {errors} fault(s) in it; `hilum check {name}` shows them. Go on with care."
            );
        }
    }
}

fn head(names: &[String], library: &Library, language: &Language) -> Head {
    let h = &library.main().heading;
    let prints: Vec<String> = library.keys.iter().map(|k| k.print()).collect();
    Head {
        hilum_session: 1,
        keys: names.iter().map(|n| absolute(n)).collect(),
        title: h.title.clone(),
        issue: h.issue.clone(),
        print: prints.join(" "),
        language: language.code.to_string(),
        begun: jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%S%.3fZ").to_string(),
        specimen: None,
    }
}

/// A path that holds from any folder; names of bundled keys stay as they are.
fn absolute(name: &str) -> String {
    let path = std::path::Path::new(name);
    if name == "-" || !path.exists() {
        return name.to_string();
    }
    std::path::absolute(path)
        .map_or_else(|_| name.to_string(), |p| p.to_string_lossy().into_owned())
}

fn resumed(kept: &Kept, now: &Head) {
    eprintln!(
        "Taken up: {} ({} things said), {}",
        kept.head.title,
        kept.events.len(),
        kept.path.display()
    );
    if kept.torn {
        eprintln!(
            "hilum: the record's last line was cut off; what it held is not known and was set aside."
        );
    }
    if kept.head.print != now.print {
        eprintln!(
            "hilum: the key has changed since (issue {} then, {} now): go through the trail again.",
            kept.head.issue.as_deref().unwrap_or("none"),
            now.issue.as_deref().unwrap_or("none"),
        );
    }
}

/// The keys inside the program.
fn list(terminal: &mut Terminal) -> Result<Outcome> {
    if terminal.json {
        let keys: Vec<_> = bundled::ALL
            .iter()
            .map(|b| serde_json::json!({"name": b.name, "title": b.title()}))
            .collect();
        terminal.print_json(&serde_json::json!({"format": 1, "keys": keys}))?;
        return Ok(Outcome::Well);
    }
    writeln!(terminal, "Keys inside the program:\n")?;
    for b in bundled::ALL {
        let key = b.key();
        let taxa = key.taxa.iter().filter(|t| t.rank >= crate::key::taxon::Rank::Species).count();
        writeln!(terminal, "  {:<18} {} ({taxa} taxa)", b.name, b.title())?;
    }
    writeln!(terminal, "\nOpen one:          hilum determine {}", bundled::ALL[0].name)?;
    writeln!(terminal, "Or your own file:  hilum determine FILE.key")?;
    Ok(Outcome::Well)
}
