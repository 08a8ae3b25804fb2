//! `notebook part`: a part kept under a number.

use anyhow::{Result, bail};
use clap::Args;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::record::part::{STATUS, USUAL};
use crate::notebook::record::{Body, Part};

/// Add a part under a number: sheet, seed packet, fruit box, wood block, bark, spirit ...
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren part 1042 sheet --count 2 --sent-to \"Lund\"
  hilum notebook --in oren part 1042 \"seed packet\" --ripe --individuals 12
  hilum notebook --in oren part 1042 \"wood block\" --store \"cabinet 3, drawer 2\"

The usual parts
  sheet, seed packet, fruit box, wood block, bark, spirit, phytolith sample,
  DNA sample

With --json
  {\"format\":1, \"specimen\":{\"collector\", \"number\"}, \"recorded\":[ids]}")]
pub struct PartOf {
    /// The specimen's number
    number: String,
    /// What it is; any word goes
    what: String,
    /// How many alike
    #[arg(long)]
    count: Option<u32>,
    /// pressed, dried, in 70 % alcohol ...
    #[arg(long)]
    condition: Option<String>,
    /// Where it lies
    #[arg(long)]
    store: Option<String>,
    /// in collection, missing, on loan, used up, destroyed, deaccessioned
    #[arg(long)]
    status: Option<String>,
    /// From how many plants it was taken
    #[arg(long)]
    individuals: Option<u32>,
    /// The seeds or fruits are ripe
    #[arg(long)]
    ripe: bool,
    /// Where duplicates went
    #[arg(long = "sent-to", value_name = "WHERE")]
    sent_to: Vec<String>,
    /// Anything more about the part
    #[arg(long, value_name = "WORDS")]
    remarks: Option<String>,
}

impl PartOf {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let mut desk = Desk::open(place)?;
        let citation = desk.see(&self.number)?.citation;
        if let Some(status) = self.status.as_deref().filter(|s| !STATUS.contains(s)) {
            bail!("\"{status}\" is no status; there are {}", STATUS.join(", "));
        }
        if let Some(words) = misspelt(&self.what) {
            eprintln!("hilum: {words}");
        }
        let mut part = Part::new(self.what);
        part.count = self.count;
        part.condition = self.condition;
        part.store = self.store;
        part.status = self.status;
        part.individuals = self.individuals;
        part.ripe = self.ripe;
        part.sent_to = self.sent_to;
        part.remarks = self.remarks;
        let what = part.what.clone();
        let record = desk.record(&citation, Body::Part(part));
        let ids = desk.keep(&[record])?;
        if let Some(id) = ids.first() {
            let line = format!("{citation}, {what} ({id})");
            desk::recorded(terminal, Some(&citation), &ids, &line)?;
        }
        Ok(Outcome::Well)
    }
}

/// `sheet; 2 seed packet; wood block`: parts with their counts.
pub fn parts_of(text: &str) -> Result<Vec<Part>> {
    let mut out = Vec::new();
    for words in text.split(';').map(str::trim).filter(|w| !w.is_empty()) {
        let (count, what) = match words.split_once(' ') {
            Some((n, rest)) if n.parse::<u32>().is_ok() => (n.parse().ok(), rest.trim()),
            _ => (None, words),
        };
        let what = what.trim_start_matches(['×', 'x']).trim();
        if what.is_empty() || what.chars().all(|c| c.is_ascii_digit()) {
            bail!("\"{words}\" is no part; there are {}", USUAL.join(", "));
        }
        // "2 seed packets" is the usual word in the plural
        let singular = what.strip_suffix('s').filter(|s| USUAL.contains(s)).unwrap_or(what);
        let mut part = Part::new(singular.to_string());
        part.count = count.filter(|n| *n != 1);
        out.push(part);
    }
    Ok(out)
}

/// Of a part's name that is nearly one of the usual ones: what may have been meant. Any word goes,
/// but the gaps of a collection are counted by the usual ones.
pub fn misspelt(what: &str) -> Option<String> {
    let near = |usual: &&str| {
        let far = strsim::damerau_levenshtein(usual, &what.to_lowercase());
        (1..=2).contains(&far) && usual.len() > 4 * far
    };
    let meant = USUAL.iter().copied().find(near)?;
    Some(format!(
        "the part \"{what}\" is kept, but is none of the usual ones; perhaps \"{meant}\" is meant"
    ))
}
