//! `notebook gather`: a gathering gets the next number, with as much as is known now.

use std::io::IsTerminal;

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use super::part::parts_of;
use super::prompt::{Prompt, Said};
use crate::cli::{Outcome, Terminal};
use crate::notebook::caution::{RESTRAINT, too_few};
use crate::notebook::date::When;
use crate::notebook::number::{Citation, Number};
use crate::notebook::record::field::Entry;
use crate::notebook::record::{Body, Gathering, Kind, Note, Record};
use crate::notebook::specimen::typed;
use crate::notebook::value::{Fields, Value};

/// Enter a gathering: it gets the next number; what is left out can be added later
///
/// On a terminal, without any field, it asks short questions: Enter leaves out, a full stop ends.
#[derive(Debug, Args)]
#[command(after_help = "\
Fields
  Every field of a gathering can be given as --set FIELD=VALUE; several values are parted by |:
    --set \"habitat=fallow terrace\" --set \"associated=Galium tricornutum | Vaccaria hispanica\"
    --set \"fresh sap=milky\"")]
pub struct Gather {
    /// The number; without it the next one. `s.n.` for none
    #[arg(value_name = "NUMBER")]
    number: Option<String>,
    /// The date: 2026-05-02, 2 May 2026, 2026-05; without it today
    #[arg(long)]
    date: Option<String>,
    /// The place in words
    #[arg(long)]
    place: Option<String>,
    /// 33.512, 36.298 or 33°30'44"N 36°17'56"E
    #[arg(long)]
    coordinates: Option<String>,
    /// How far off they may be, such as 30 m
    #[arg(long)]
    uncertainty: Option<String>,
    /// 640 m, 640-660 m, 2100 ft
    #[arg(long)]
    altitude: Option<String>,
    #[arg(long)]
    habitat: Option<String>,
    /// flowering, fruiting, vegetative; several parted by |
    #[arg(long)]
    stage: Option<String>,
    /// Companions, parted by |
    #[arg(long)]
    with: Option<String>,
    /// How many plants stood there
    #[arg(long)]
    plants: Option<String>,
    /// Parts taken, parted by ; such as "sheet; 2 seed packet"
    #[arg(long)]
    parts: Option<String>,
    /// A note in free words
    #[arg(long)]
    note: Option<String>,
    /// Any field of a gathering
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// Ask, though input comes from a pipe
    #[arg(long)]
    ask: bool,
}

/// The questions in the order in which they are asked at the roadside.
const QUESTIONS: &[(&str, &str)] = &[
    ("place", "Place"),
    ("coordinates", "Coordinates"),
    ("altitude", "Altitude"),
    ("habitat", "Habitat"),
    ("habit", "Habit"),
    ("height", "Height"),
    ("fresh colour", "Colour, fresh"),
    ("fresh scent", "Scent"),
    ("fresh sap", "Sap"),
    ("stage", "Stage (flowering | fruiting)"),
    ("plants", "Plants seen"),
    ("associated", "Growing with (parted by |)"),
];

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
        let mut date = desk::date(self.date.as_deref())?;
        let mut number = self.number.clone();
        let (mut parts, mut note) = (self.parts.clone(), self.note.clone());
        if is_first_today(&desk) {
            eprintln!("{}", textwrap::fill(RESTRAINT, terminal.width));
        }
        if asks {
            let next = desk.ledger.catalogue().next_number(&writer, "").map_err(desk::told)?;
            let mut form = Form { prompt: Prompt::open()?, enough: false };
            number = form.number(number, &next)?;
            date = form.date(date)?;
            for (field, question) in QUESTIONS {
                form.field(&mut fields, field, question)?;
            }
            parts = form.text("Parts taken (parted by ;)", parts)?;
            note = form.text("Note", note)?;
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
        if let Some(words) = too_few(gathering.plants) {
            eprintln!("{words}");
        }
        let mut records: Vec<Record> = vec![desk.record(&citation, Body::Gathering(gathering))];
        for part in parts_of(parts.as_deref().unwrap_or_default())? {
            records.push(desk.record(&citation, Body::Part(part)));
        }
        if let Some(text) = note {
            let mut note = Note::new(text);
            note.date = Some(desk::today());
            records.push(desk.record(&citation, Body::Note(note)));
        }
        let ids = desk.keep(&records)?;
        desk::recorded(terminal, Some(&citation), &ids, &citation.to_string())?;
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
fn put(fields: &mut Fields, field: &str, text: &str) {
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
fn gathering(citation: &Citation, date: When, fields: Fields) -> Result<Gathering> {
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

fn number_of(desk: &Desk, writer: &str, text: Option<&str>, date: &When) -> Result<Citation> {
    let catalogue = desk.ledger.catalogue();
    let number = match text {
        None => catalogue.next_number(writer, "").map_err(desk::told)?,
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

/// The questions under way.
struct Form {
    prompt: Prompt,
    enough: bool,
}

impl Form {
    /// Asks until the answer can be used.
    fn asked<T>(
        &mut self,
        question: &str,
        default: Option<&str>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>> {
        while !self.enough {
            match self.prompt.ask(question, default)? {
                Said::Nothing => return Ok(None),
                Said::Enough => self.enough = true,
                Said::Broken => bail!("broken off: nothing was recorded"),
                Said::Text(text) => match read(&text) {
                    Ok(value) => return Ok(Some(value)),
                    // From a pipe no better answer will come.
                    Err(why) if matches!(self.prompt, Prompt::Pipe) => bail!("{question}: {why}"),
                    Err(why) => self.prompt.say(&why),
                },
            }
        }
        Ok(None)
    }

    fn number(&mut self, given: Option<String>, next: &Number) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        let next = next.to_string();
        self.asked("Number", Some(&next), |t| match Number::read(t) {
            Some(_) => Ok(t.to_string()),
            None => Err("a number such as 1042, A-17 or s.n.".to_string()),
        })
    }

    fn date(&mut self, given: When) -> Result<When> {
        let today = given.to_string();
        let read = |t: &str| When::read(t).map_err(|e| e.to_string());
        Ok(self.asked("Date", Some(&today), read)?.unwrap_or(given))
    }

    /// A field of the gathering, checked as it will be read.
    fn field(&mut self, fields: &mut Fields, field: &str, question: &str) -> Result<()> {
        if fields.contains_key(field) {
            return Ok(());
        }
        let fits = |text: &str| {
            let mut one = Fields::new();
            put(&mut one, field, text);
            let probe = Citation::new("x", Number::plain(1));
            let date = desk::today();
            gathering(&probe, date, one).map(|_| text.to_string()).map_err(|e| e.to_string())
        };
        if let Some(text) = self.asked(question, None, fits)? {
            put(fields, field, &text);
        }
        Ok(())
    }

    fn text(&mut self, question: &str, given: Option<String>) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        self.asked(question, None, |t| Ok(t.to_string()))
    }
}
