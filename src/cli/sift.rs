//! `sift`: the same question asked once, for scripts: what agrees with what was seen.

use std::io::Write;

use anyhow::{Result, anyhow};

use super::paper::Paper;
use super::specimen::{self, SpecimenArgs};
use super::{Outcome, Terminal, evidence, input};
use crate::key::ConditionId;
use crate::sift::bits::Bits;
use crate::sift::report::{self, Options};
use crate::sift::{Assumptions, Table, Verdict, before_pressing, missing, plan, read_observation};

/// Narrow a key down by whatever the specimen shows, asked once
///
/// With --json it prints one object: "key", "observations", "verdict", "agreement", "ranking",
/// "explanations", "next", "missing", "cautions". Fields are only ever added.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples
  hilum sift field-weeds 'petals red' 'leaf blade 34 mm'
  hilum sift field-weeds 'petals red or orange' 'sap not milky' --without flower
  hilum sift field-weeds 'pressed: petals purple' --month 5 --place barley
  hilum sift field-weeds --observations notes.yaml --json
  hilum sift field-weeds --before-pressing
        what to note of any plant before it is pressed
Exit status
  0  settled, or a short list
  1  still open, contradictory, or not in this key
  2  it could not run")]
pub struct Sift {
    /// A key file, `-`, or the name of a key inside the program
    #[arg(value_name = "KEY")]
    key: String,
    /// What was seen, in the key's own sentences or any part that fits one alone
    #[arg(value_name = "OBSERVATION")]
    observations: Vec<String>,
    /// A file of observations, YAML or CSV
    #[arg(long = "observations", value_name = "FILE")]
    file: Option<String>,
    #[command(flatten)]
    specimen: SpecimenArgs,
    /// How many misfits a name may have
    #[arg(long, value_name = "N", default_value_t = 1)]
    tolerance: usize,
    /// The share of characters that people misread (default: Waeldchen et al. 2022)
    #[arg(long, value_name = "SHARE", default_value_t = 0.21, value_parser = share)]
    misreading: f64,
    /// List what must be noted fresh before the plant is pressed
    #[arg(long)]
    before_pressing: bool,
    /// The fewest characters to look at that settle the name whatever the answers
    #[arg(long)]
    plan: bool,
}

pub(super) fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(x) if (0.0..1.0).contains(&x) => Ok(x),
        _ => Err("a share from 0 up to, not including, 1".into()),
    }
}

impl Sift {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        let key = input::key(&self.key)?;
        let lexicon = key.lexicon();
        let table = Table::of(&key);
        let specimen = self.specimen.specimen(&key)?;
        let mut observations = Vec::new();
        if let Some(file) = &self.file {
            observations.extend(specimen::observations(file, &key, &lexicon, specimen.condition)?);
        }
        for text in &self.observations {
            let read = read_observation(&key, &lexicon, text, specimen.condition);
            observations.extend(read.map_err(|e| anyhow!("{}", e.of(text)))?);
        }
        let assumptions = Assumptions { misreading: self.misreading, ..Assumptions::default() };
        let options = Options { tolerance: self.tolerance, assumptions, ..Options::default() };
        let r = report::report(&key, &table, &observations, &specimen, &options);
        let outcome = match r.verdict.verdict {
            Verdict::Settled { .. } | Verdict::ShortList { .. } => Outcome::Well,
            _ => Outcome::Found,
        };
        if terminal.json {
            terminal.print_json(&r)?;
            return Ok(outcome);
        }
        let paper = Paper { width: terminal.width, colour: terminal.colour };
        let mut page = String::new();
        if observations.is_empty() {
            let heading = key.cautions_for(&[]);
            evidence::cautions(&paper, &mut page, &heading);
        } else {
            page.push_str(&evidence::ranking(&paper, &r));
        }
        let agreement = crate::sift::agree(&table, &observations, self.tolerance);
        let left = if agreement.agreeing().is_empty() {
            agreement.tolerated()
        } else {
            agreement.agreeing()
        };
        if self.before_pressing {
            self.note_fresh(&paper, &key, &table, left, &observations, &mut page);
        } else {
            page.push_str("\nLook at next:\n");
            page.push_str(&evidence::next(&paper, &r));
            let m = missing(&table, left, |_| 1.0, &observations, &specimen);
            if left.count() > 1 {
                page.push('\n');
                page.push_str(&evidence::lacking(&paper, &key, &table, &m, left, &observations));
            }
        }
        if self.plan {
            let p = plan(&table, left, &observations, &specimen);
            let names: Vec<&str> =
                p.characters.iter().map(|c| key.character(*c).name.as_str()).collect();
            let sure =
                if p.proved { "no smaller set does" } else { "not proved to be the smallest" };
            page.push('\n');
            paper.paragraph(
                &mut page,
                "Plan: ",
                &format!(
                    "{} characters settle what can be settled ({sure}): {}.",
                    names.len(),
                    names.join(", ")
                ),
            );
        }
        paper.paragraph(&mut page, "", "A key only proves what a plant is not: compare the whole account (`hilum tell`) before a name is used.");
        terminal.write_all(page.as_bytes())?;
        Ok(outcome)
    }

    fn note_fresh(
        &self,
        paper: &Paper,
        key: &crate::key::Key,
        table: &Table,
        left: &Bits,
        observations: &[crate::sift::Observation],
        page: &mut String,
    ) {
        page.push_str("Before pressing, note:\n");
        let notes = before_pressing(table, left, observations, ConditionId::PRESSED);
        for n in &notes {
            let c = key.character(n.character);
            let why = if n.lost { "cannot be seen pressed" } else { "may look otherwise pressed" };
            paper.hanging(
                page,
                "  ",
                "    ",
                &format!("{} - {why}", c.asked(key.heading.language)),
                "",
            );
        }
        if notes.is_empty() {
            page.push_str("  nothing: what parts these taxa can be seen pressed as well\n");
        }
    }
}
