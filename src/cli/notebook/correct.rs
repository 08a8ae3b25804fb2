//! `notebook correct`: a correction beside the record, which stays as it was written.

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk, recorded};
use crate::cli::{Outcome, Terminal};
use crate::notebook::fault::Fault;
use crate::notebook::record::{Body, Correction, Gathering, Id, Placed, Record, Subject};
use crate::notebook::specimen::{Kept, Specimen, fold, typed};
use crate::notebook::value::{Fields, Value};

/// Correct a record: by its id, or a gathering by its number
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  The gathering of 1042:
  hilum notebook --in oren correct 1042 --set \"place=upper field\"
  A part; `show --records` shows ids, and their first letters suffice:
  hilum notebook --in oren correct 7f3k2m9q4x0z --set \"status=missing\"
  hilum notebook --in oren correct 7f3k --withdraw --reason \"wrong sheet\"

What was written stays; the correction stands beside it.

With --json
  {\"format\":1, \"specimen\":null, \"recorded\":[ids]}")]
pub struct Correct {
    /// The id of a record (its first letters), or a specimen's number for its gathering
    what: String,
    /// A field to be read so; several values parted by |
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// A field to be read as if it were not there
    #[arg(long, value_name = "FIELD")]
    remove: Vec<String>,
    /// The whole record is to be read as if it were not there
    #[arg(long)]
    withdraw: bool,
    /// Why, for whoever reads it later
    #[arg(long, value_name = "WORDS")]
    reason: Option<String>,
}

impl Correct {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let target = self.target(&desk)?;
        let mut c = Correction::new();
        for set in &self.set {
            let Some((field, value)) = set.split_once('=') else {
                bail!("--set wants FIELD=VALUE, and this is \"{set}\"");
            };
            c.set.insert(field_meant(field).to_string(), typed(value));
        }
        c.remove = self.remove.iter().map(|f| field_meant(f).to_string()).collect();
        self::fresh(&desk, &target, &mut c)?;
        c.withdraw = self.withdraw;
        c.reason = self.reason;
        c.by = vec![desk.writer()?.to_string()];
        c.date = Some(desk::today());
        if c.is_idle() {
            bail!("nothing is corrected: give --set, --remove or --withdraw");
        }
        let record = Record::correcting(target.clone(), Some(desk.moment()), c);
        self::check(&desk, &target, &record)?;
        let ids = desk.keep(&[record])?;
        recorded(terminal, None, &ids, &format!("a correction of {target}"))?;
        Ok(Outcome::Well)
    }

    fn target(&self, desk: &Desk) -> Result<Id> {
        // A number goes before an id that happens to begin so.
        if let Some(key) = desk.known(&self.what)?
            && let Some(specimen) = desk.specimen(&key)?
        {
            return gathering_of(&specimen);
        }
        let found = desk.ledger.catalogue().record(&self.what).map_err(desk::told)?;
        match &found[..] {
            [one] => return Ok(one.record.id.clone()),
            [] => {}
            several => {
                let ids: Vec<&str> = several.iter().map(|p| p.record.id.as_str()).collect();
                bail!("several records begin so: {}", ids.join(", "));
            }
        }
        gathering_of(&desk.see(&self.what)?)
    }
}

fn gathering_of(specimen: &Specimen) -> Result<Id> {
    match &specimen.gatherings[..] {
        [one] => Ok(one.id.clone()),
        [] => bail!("{} has no gathering to correct", specimen.citation),
        several => {
            let place = |g: &Kept<Gathering>| g.body.place.clone().unwrap_or_default();
            let list: Vec<String> = several
                .iter()
                .map(|g| format!("{} ({} {})", g.id, g.body.date, place(g)))
                .collect();
            bail!("{} was given twice; name one of {}", specimen.citation, list.join(", "))
        }
    }
}

/// A field by the name that a page or a label gives it.
fn field_meant(field: &str) -> &str {
    match field.trim() {
        "growing with" => "associated",
        "permit number" => "permit",
        field => field,
    }
}

/// `fresh sap` and the like stand together under `fresh`: one is changed, the others stay.
fn fresh(desk: &Desk, target: &Id, c: &mut Correction) -> Result<()> {
    let own = |field: &String| field.starts_with("fresh ");
    let set: Vec<String> = c.set.keys().filter(|f| own(f)).cloned().collect();
    let gone: Vec<String> = c.remove.iter().filter(|f| own(f)).cloned().collect();
    if set.is_empty() && gone.is_empty() {
        return Ok(());
    }
    let mut all = Fields::new();
    for placed in desk.ledger.catalogue().record(target.as_str()).map_err(desk::told)? {
        let Subject::Specimen(citation) = &placed.record.subject else { continue };
        let specimen = desk.specimen(&citation.key())?;
        let stands = specimen.iter().flat_map(|s| &s.gatherings).find(|g| g.id == *target);
        all = stands.map(|g| g.body.fresh.clone()).unwrap_or_default();
    }
    for field in set {
        if let (Some(value), Some(name)) =
            (c.set.shift_remove(&field), field.strip_prefix("fresh "))
        {
            all.insert(name.to_string(), value);
        }
    }
    for field in gone {
        c.remove.retain(|f| *f != field);
        all.shift_remove(field.trim_start_matches("fresh "));
    }
    c.set.insert("fresh".to_string(), Value::Map(all));
    Ok(())
}

/// Refuses a correction that would make something of the record unreadable.
fn check(desk: &Desk, target: &Id, correction: &Record) -> Result<()> {
    let mut placed: Vec<Placed> =
        desk.ledger.catalogue().record(target.as_str()).map_err(desk::told)?;
    let is_correction = placed.iter().any(|p| matches!(p.record.body, Body::Correction(_)));
    if is_correction {
        return Ok(());
    }
    if let (Some(of), Body::Correction(c)) = (placed.first(), &correction.body) {
        let own = of.record.fields();
        for field in c.set.keys().chain(&c.remove).filter(|f| !own.contains_key(*f)) {
            if let Some(why) = of.record.kind().unknown_field(field) {
                bail!("{why}");
            }
        }
    }
    // What was wrong before is not the correction's fault.
    let mut before = Vec::new();
    if let Some(of) = placed.first() {
        Record::from_fields(of.record.fields(), &mut before);
    }
    placed.push(Placed { record: correction.clone(), file: String::new(), line: 1 });
    let mut faults = Vec::new();
    fold(placed, &mut faults);
    let new = |f: &&Fault| before.iter().all(|b| b.finding.what != f.finding.what);
    match faults.iter().find(new) {
        Some(fault) => bail!("{}; nothing was recorded", fault.finding.what),
        None => Ok(()),
    }
}
