//! `notebook gather`: a gathering gets the next number, with as much as is known now.

use std::io::{IsTerminal, Write};

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use super::part::{misspelt, parts_of};
use super::roadside::{Form, Given};
use crate::cli::{Outcome, Terminal};
use crate::notebook::caution::{RESTRAINT, too_few};
use crate::notebook::date::When;
use crate::notebook::number::{Citation, Number, fold_person};
use crate::notebook::record::field::Entry;
use crate::notebook::record::{Body, Gathering, Kind, Note, Record};
use crate::notebook::specimen::{Specimen, typed};
use crate::notebook::stage;
use crate::notebook::value::{Fields, Value};

/// Enter a gathering: it gets the next number; what is left out can be added later
///
/// On a terminal, without any field, it asks short questions.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren gather                    asks, one short line each
  hilum notebook --in oren gather --place \"lower field\" --stage flowering
  hilum notebook --in oren gather 1042 --date 2026-05 --parts \"sheet; bark\"
  hilum notebook --in oren gather --set \"fresh sap=milky\" --set \"permit=OR 7\"
  hilum notebook --in oren gather --set \"associated=Galium tricornutum | Vicia\"

At the questions
  Enter leaves out, or takes what stands in brackets; = repeats what the last
  gathering has; - goes back to the question before; a full stop ends the
  questions. Before it is recorded you see all of it; Ctrl-C records nothing.

  Numbers that run on from another notebook: give the next one once; from then
  on it counts.
  hilum notebook --in oren gather 2318 --place ridge

Fields for --set (several values are parted by |)
  with, place, country, country code, province, coordinates, datum, uncertainty,
  altitude, habitat, substrate, abundance, plants, habit, height, stage,
  fresh colour, fresh scent, fresh sap (any word after fresh), associated,
  permit, photographs, project, establishment, withhold, remarks

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct Gather {
    /// The number; without it the next one. `s.n.` for none
    #[arg(value_name = "NUMBER")]
    number: Option<String>,
    /// The date: 2026-05-02, 2 May 2026, 2026-05; without it today
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// The place in words
    #[arg(long, value_name = "WORDS")]
    place: Option<String>,
    /// 33.512, 36.298 or 33°30'44"N 36°17'56"E
    #[arg(long, value_name = "LAT, LON")]
    coordinates: Option<String>,
    /// How far off they may be, such as 30 m
    #[arg(long, value_name = "DISTANCE")]
    uncertainty: Option<String>,
    /// 640 m, 640-660 m, 2100 ft
    #[arg(long, value_name = "HEIGHT")]
    altitude: Option<String>,
    /// Where it grows: fallow terrace, wet ditch, oak wood
    #[arg(long, value_name = "WORDS")]
    habitat: Option<String>,
    /// flowering, fruiting, vegetative; several parted by |
    #[arg(long, value_name = "STAGE")]
    stage: Option<String>,
    /// Companions, parted by |
    #[arg(long, value_name = "NAMES")]
    with: Option<String>,
    /// How many plants stood there
    #[arg(long, value_name = "N")]
    plants: Option<String>,
    /// Parts taken, parted by ; such as "sheet; 2 seed packet"
    #[arg(long, value_name = "PARTS")]
    parts: Option<String>,
    /// A note in free words
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
    /// Any field of a gathering
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// Ask, though input comes from a pipe
    #[arg(long)]
    ask: bool,
}

impl Gather {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let writer = desk.writer()?.to_string();
        let mut fields = self.fields()?;
        let asks = self.ask
            || std::io::stdin().is_terminal()
                && fields.is_empty()
                && self.parts.is_none()
                && self.note.is_none();
        let bare = fields.is_empty() && self.parts.is_none() && self.note.is_none();
        if !asks && bare && self.number.is_none() && self.date.is_none() {
            bail!(
                "nothing was said of a gathering: give at least --place, --parts or --note, name \
                 the number to take it up alone, or answer questions with --ask"
            );
        }
        let mut date = desk::date(self.date.as_deref())?;
        let mut number = self.number.clone();
        let (mut parts, mut note) = (self.parts.clone(), self.note.clone());
        if is_first_today(&desk) {
            eprintln!("{}", textwrap::fill(RESTRAINT, terminal.width));
        }
        if asks {
            let next = next_number(&desk, &writer)?;
            let mut given = Given { number, date, fields, parts, note };
            let mut form = Form::open(latest(&desk, &writer)?, terminal.width)?;
            form.fill(&mut given, &next)?;
            Given { number, date, fields, parts, note } = given;
        }
        let citation = number_of(&desk, &writer, number.as_deref(), &date)?;
        let key = citation.key();
        if desk.ledger.catalogue().keys().any(|k| *k == key)
            && desk.specimen(&key)?.is_some_and(|s| !s.gatherings.is_empty())
        {
            bail!(
                "{citation} is there already; duplicates of one gathering are parts of it \
                 (`hilum notebook part {}`)",
                citation.number
            );
        }
        let gathering = gathering(&citation, date, fields)?;
        let parts = parts_of(parts.as_deref().unwrap_or_default())?;
        let mut told: Vec<String> = too_few(gathering.plants).into_iter().collect();
        if !asks {
            told.extend(stage::unclear(&gathering.stage));
            told.extend(parts.iter().filter_map(|p| misspelt(&p.what)));
        }
        for words in told {
            eprintln!("{}", textwrap::fill(&words, terminal.width));
        }
        let mut records: Vec<Record> = vec![desk.record(&citation, Body::Gathering(gathering))];
        for part in parts {
            records.push(desk.record(&citation, Body::Part(part)));
        }
        if let Some(text) = note {
            let mut note = Note::new(text);
            note.date = Some(desk::today());
            records.push(desk.record(&citation, Body::Note(note)));
        }
        let ids = desk.keep(&records)?;
        desk::recorded(terminal, Some(&citation), &ids, &citation.to_string())?;
        if asks && !terminal.json {
            let (place, number) = (place.typed(), desk::quoted(&citation));
            writeln!(terminal, "To name it: hilum determine KEY{place} --specimen {number}")?;
        }
        Ok(Outcome::Well)
    }

    /// What was given as options.
    fn fields(&self) -> Result<Fields> {
        let mut out = Fields::new();
        let given = [
            ("place", &self.place),
            ("coordinates", &self.coordinates),
            ("uncertainty", &self.uncertainty),
            ("altitude", &self.altitude),
            ("habitat", &self.habitat),
            ("stage", &self.stage),
            ("with", &self.with),
            ("plants", &self.plants),
        ];
        for (field, text) in given {
            if let Some(text) = text {
                put(&mut out, field, text);
            }
        }
        for set in &self.set {
            let Some((field, text)) = set.split_once('=') else {
                bail!("--set wants FIELD=VALUE, and this is \"{set}\"");
            };
            let field = field.trim();
            if !field.starts_with("fresh ")
                && let Some(why) = Kind::Gathering.unknown_field(field)
            {
                bail!("{why}");
            }
            put(&mut out, field, text);
        }
        Ok(out)
    }
}

/// Sets a field; `fresh sap` goes under `fresh`.
pub(super) fn put(fields: &mut Fields, field: &str, text: &str) {
    match field.strip_prefix("fresh ") {
        Some(name) => {
            let fresh =
                fields.entry("fresh".to_string()).or_insert_with(|| Value::Map(Fields::new()));
            if let Value::Map(map) = fresh {
                map.insert(name.to_string(), Value::text(text.trim()));
            }
        }
        None => {
            fields.insert(field.to_string(), typed(text));
        }
    }
}

/// The gathering that the fields make; a field that cannot be read is an error here, for the
/// person is still there to mend it.
pub(super) fn gathering(citation: &Citation, date: When, fields: Fields) -> Result<Gathering> {
    let mut all = Fields::new();
    all.insert("gathering".to_string(), Value::text(citation.number.to_string()));
    all.insert("collector".to_string(), Value::text(&citation.collector));
    all.extend(date.give().map(|v| ("date".to_string(), v)));
    all.extend(fields);
    let mut faults = Vec::new();
    let record = Record::from_fields(all, &mut faults);
    if let Some(fault) = faults.first() {
        bail!("{}", fault.finding.what);
    }
    match record.map(|r| r.body) {
        Some(Body::Gathering(g)) => Ok(g),
        _ => bail!("this is no gathering"),
    }
}

/// What the writer entered last.
fn latest(desk: &Desk, writer: &str) -> Result<Option<Specimen>> {
    let who = fold_person(writer);
    let words = desk.ledger.words();
    let digests = desk.ledger.files().iter().flat_map(|f| &f.known.digests);
    let gatherings = digests.filter(|d| d.kind() == Some(Kind::Gathering));
    let own = gatherings.filter_map(|d| {
        let citation = words.citation(d.subject)?;
        (fold_person(&citation.collector) == who).then_some((d.written, d.date, citation))
    });
    match own.max_by_key(|(written, date, _)| (*written, *date)) {
        Some((_, _, citation)) => desk.specimen(&citation.key()),
        None => Ok(None),
    }
}

/// The number after the writer's last, in the series of what was gathered last.
fn next_number(desk: &Desk, writer: &str) -> Result<Number> {
    let prefix = latest(desk, writer)?.map(|s| s.citation.number.prefix).unwrap_or_default();
    desk.ledger.catalogue().next_number(writer, &prefix).map_err(desk::told)
}

fn number_of(desk: &Desk, writer: &str, text: Option<&str>, date: &When) -> Result<Citation> {
    let catalogue = desk.ledger.catalogue();
    let number = match text {
        None => next_number(desk, writer)?,
        Some(text) => match Number::read(text) {
            Some(n) if n.running.is_none() && n.suffix.is_empty() => {
                catalogue.next_unnumbered(writer, &date.to_string())
            }
            Some(n) => n,
            None => {
                bail!("\"{text}\" is no collection number; write one such as 1042, A-17 or s.n.")
            }
        },
    };
    Ok(Citation::new(writer, number))
}

/// Whether nothing was gathered today yet: then restraint is spoken of, once.
fn is_first_today(desk: &Desk) -> bool {
    let today = desk::today().sort_key();
    let digests = desk.ledger.files().iter().flat_map(|f| &f.known.digests);
    let gathering = crate::notebook::record::Kind::Gathering;
    !digests.into_iter().any(|d| d.kind() == Some(gathering) && d.date == today)
}
