//! `notebook see`: what is seen on a specimen, in a key's sentences or in free words.

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal, input};
use crate::notebook::desk::Ready;
use crate::notebook::record::{Body, Observation, Seen};

/// Record what is seen: statements parted by semicolons
///
/// With --key each must be one of the key's sentences, and is recorded with its character, value
/// and unit as well.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren see 1042 \"Petals red; sap milky\" --condition fresh
  hilum notebook --in oren see 1042 \"Leaf blade 34 mm\" --key field-weeds
  hilum notebook --in oren see 1042 \"Seeds 0.8 mm\" --by \"B. Lund\" --date 2026-07

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct See {
    /// The specimen's number
    number: String,
    /// What is seen, such as "Petals red; blade 34 mm"
    #[arg(required = true)]
    statements: Vec<String>,
    /// fresh, pressed, or a condition of the key; without it fresh on the day of the gathering,
    /// pressed afterwards
    #[arg(long, value_name = "NAME")]
    condition: Option<String>,
    /// The key whose sentences these are
    #[arg(long, value_name = "KEY")]
    key: Option<String>,
    /// Who saw it; without it, who writes
    #[arg(long)]
    by: Vec<String>,
    /// When; without it today
    #[arg(long)]
    date: Option<String>,
}

impl See {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let specimen = desk.see(&self.number)?;
        let usual = if desk::is_fresh(&specimen) { "fresh" } else { "pressed" };
        let condition = self.condition.clone().unwrap_or_else(|| usual.to_string());
        let citation = specimen.citation;
        let said = self.statements.iter().flat_map(|s| s.split(';'));
        let said: Vec<&str> = said.map(str::trim).filter(|s| !s.is_empty()).collect();
        let mut observation = match &self.key {
            None => Observation::new(said.iter().map(|s| Seen::new(s.to_string())).collect()),
            Some(name) => with_key(name, &said, &condition)?,
        };
        if observation.seen.is_empty() {
            bail!("nothing was said to be seen");
        }
        observation.condition = Some(condition.clone());
        observation.by =
            if self.by.is_empty() { vec![desk.writer()?.to_string()] } else { self.by };
        observation.date = Some(desk::date(self.date.as_deref())?);
        let n = observation.seen.len();
        let record = desk.record(&citation, Body::Observation(observation));
        let ids = desk.keep(&[record])?;
        let line = format!("{citation}, {n} seen {condition}");
        desk::recorded(terminal, Some(&citation), &ids, &line)?;
        Ok(Outcome::Well)
    }
}

/// What is said in a key's own sentences.
fn with_key(name: &str, said: &[&str], now: &str) -> Result<Observation> {
    let key = input::key(name)?;
    let ready = Ready::of(&key);
    let Some(condition) = ready.condition(now) else {
        let known: Vec<&str> = key.conditions.iter().map(|c| c.name.as_str()).collect();
        bail!("the key knows no condition \"{now}\"; it has {}", known.join(", "));
    };
    let mut seen = Vec::new();
    for text in said {
        let one = ready.seen(text, condition);
        let one = one.map_err(|e| anyhow::anyhow!("not recorded: {e}"))?;
        seen.push(one);
    }
    let mut observation = Observation::new(seen);
    observation.key = Some(ready.used());
    Ok(observation)
}
