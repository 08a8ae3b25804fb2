//! `notebook name` and `confirm`: a determination, by a person or by a key's reckoning.

use std::io::Write;

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::notebook::desk::{Ready, named};
use crate::notebook::record::{Body, Determination};
use crate::sift::report::{Options, report};
use crate::text::name::read;

/// Record a name: as you write it, or as a key reckons it from what was seen
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren name 1042 \"Papaver cf. rhoeas L.\"
  hilum notebook --in oren name 1042 \"Papaver dubium\" --by \"B. Lund\" --date 2027
  hilum notebook --in oren name 1042 --key field-weeds             reckoned
  hilum notebook --in oren name 1042 --key field-weeds --dry-run   only shown

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct Name {
    /// The specimen's number
    number: String,
    /// The name as it is to be written: Papaver cf. rhoeas L.
    #[arg(required_unless_present = "key")]
    name: Option<String>,
    /// Reckon the name from what was recorded, with this key; a name given beside it is yours, the
    /// evidence the key's
    #[arg(long, value_name = "KEY")]
    key: Option<String>,
    /// The condition in which the specimen is now; without it fresh on the day of the gathering,
    /// pressed afterwards
    #[arg(long, value_name = "NAME")]
    condition: Option<String>,
    /// Who determined it; without it, who writes
    #[arg(long)]
    by: Vec<String>,
    /// When; without it today
    #[arg(long)]
    date: Option<String>,
    /// The family, for labels; a key gives its own
    #[arg(long)]
    family: Option<String>,
    /// Anything more about the name
    #[arg(long, value_name = "WORDS")]
    remarks: Option<String>,
    /// Show what would be recorded, and record nothing
    #[arg(long)]
    dry_run: bool,
}

/// Confirm the name that holds
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren confirm 1042 --by \"B. Lund\"
  hilum notebook --in oren confirm 1042 --remarks \"seen with ripe fruit\"

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct Confirm {
    /// The specimen's number
    number: String,
    /// Who confirms it; without it, who writes
    #[arg(long)]
    by: Vec<String>,
    /// When; without it today
    #[arg(long)]
    date: Option<String>,
    /// Anything more about the name
    #[arg(long, value_name = "WORDS")]
    remarks: Option<String>,
}

impl Name {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let specimen = desk.see(&self.number)?;
        let mut det = match &self.key {
            None => Determination::of(self.name.clone().unwrap_or_default()),
            Some(key) => {
                let key = input::key(key)?;
                let ready = Ready::of(&key);
                let usual = if desk::is_fresh(&specimen) { "fresh" } else { "pressed" };
                let now = self.condition.as_deref().unwrap_or(usual);
                let Some(condition) = ready.condition(now) else {
                    bail!("the key knows no condition \"{now}\"");
                };
                let evidence = ready.evidence(&specimen, condition);
                for (says, why) in &evidence.unread {
                    eprintln!("hilum: not used: {says}: {why}");
                }
                if evidence.observations.is_empty() {
                    bail!(
                        "nothing was recorded of {} that the key can use; `hilum notebook see {} \
                         --key ...` records it",
                        specimen.citation,
                        specimen.citation.number
                    );
                }
                let options = Options::default();
                let said = report(
                    &key,
                    &ready.table,
                    &evidence.observations,
                    &evidence.specimen,
                    &options,
                );
                let reckoned = named::from_report(&key, &said);
                match (reckoned, &self.name) {
                    (Some(det), None) => det,
                    (Some(det), Some(name)) => {
                        let own = Determination::of(name);
                        Determination { name: own.name, qualifier: own.qualifier, ..det }
                    }
                    (None, Some(name)) => Determination::of(name),
                    (None, None) => bail!(
                        "{}; give a name beside the key, or see more of the specimen",
                        said.verdict.words
                    ),
                }
            }
        };
        if let Err(e) = read(&det.name) {
            eprintln!(
                "hilum: \"{}\" is not written as the Code writes names ({}); it is kept as it is. {}",
                det.name, e.what, e.remedy
            );
        }
        det.by = if self.by.is_empty() { vec![desk.writer()?.to_string()] } else { self.by };
        det.date = Some(desk::date(self.date.as_deref())?);
        det.family = self.family.or(det.family);
        det.remarks = self.remarks;
        let verdict = det.verdict.as_ref().map(|v| format!(" - {v}")).unwrap_or_default();
        let line = format!("{}: {}{verdict}", specimen.citation, det.name);
        let record = desk.record(&specimen.citation, Body::Determination(det));
        if self.dry_run {
            write!(terminal, "{}", desk::lines_shown(&record.document()))?;
            writeln!(terminal)?;
            return Ok(Outcome::Well);
        }
        let ids = desk.keep(&[record])?;
        desk::recorded(terminal, Some(&specimen.citation), &ids, &line)?;
        Ok(Outcome::Well)
    }
}

impl Confirm {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let specimen = desk.see(&self.number)?;
        let Some(current) = specimen.current() else {
            bail!("{} has no name to confirm", specimen.citation);
        };
        let mut det = Determination::of(&current.named.body.name);
        det.family = current.named.body.family.clone();
        det.confirms = Some(current.named.id.to_string());
        det.by = if self.by.is_empty() { vec![desk.writer()?.to_string()] } else { self.by };
        det.date = Some(desk::date(self.date.as_deref())?);
        det.remarks = self.remarks;
        let name = det.name.clone();
        let record = desk.record(&specimen.citation, Body::Determination(det));
        let ids = desk.keep(&[record])?;
        let line = format!("{}, confirmed as {name}", specimen.citation);
        desk::recorded(terminal, Some(&specimen.citation), &ids, &line)?;
        Ok(Outcome::Well)
    }
}
