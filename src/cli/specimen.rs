//! What the command line says of a specimen: condition, parts, tools, place, month; and a file of
//! observations.

use std::collections::BTreeSet;

use anyhow::{Context, Result, bail};
use serde::Deserialize;

use crate::key::character::Tool;
use crate::key::lexicon::Lexicon;
use crate::key::{ConditionId, Key};
use crate::sift::{Doubt, Observation, Specimen, read_observation};
use crate::text::language;
use crate::text::months;

/// Options that describe the specimen in hand.
#[derive(clap::Args, Clone, Debug, Default)]
pub struct SpecimenArgs {
    /// The condition in which it is looked at: fresh, pressed, or one that the key declares
    #[arg(long, value_name = "NAME")]
    pub condition: Option<String>,
    /// The same as `--condition pressed`
    #[arg(long, conflicts_with = "condition")]
    pub pressed: bool,
    /// A part that it lacks, in the key's word (flower, fruit, root); may be repeated
    #[arg(long, value_name = "PART")]
    pub without: Vec<String>,
    /// The tools at hand, parted by commas: eye, lens, dissection, microscope
    #[arg(long, value_name = "TOOLS", value_delimiter = ',')]
    pub tools: Vec<String>,
    /// A word for the place where it grew, compared with what the accounts say is found where
    #[arg(long, value_name = "WORD")]
    pub place: Vec<String>,
    /// The month in which it was gathered in flower: May, or 5
    #[arg(long, value_name = "MONTH")]
    pub month: Option<String>,
}

impl SpecimenArgs {
    /// # Errors
    /// A condition or tool that there is not.
    pub fn specimen(&self, key: &Key) -> Result<Specimen> {
        let condition = match (&self.condition, self.pressed) {
            (_, true) => ConditionId::PRESSED,
            (Some(name), _) => condition(key, name)?,
            (None, false) => ConditionId::FRESH,
        };
        let mut tools = BTreeSet::new();
        for word in &self.tools {
            match Tool::ALL.iter().find(|(_, w)| *w == word.trim().to_lowercase()) {
                Some((tool, _)) => tools.insert(*tool),
                None => {
                    bail!("there is no tool `{word}`; there are eye, lens, dissection, microscope")
                }
            };
        }
        let mut specimen = Specimen::in_condition(condition);
        if !tools.is_empty() {
            specimen.tools = tools;
        }
        specimen.absent = self.without.iter().map(|p| p.to_lowercase()).collect();
        specimen.place = self.place.clone();
        specimen.month = self.month.as_deref().map(|m| month(key, m)).transpose()?;
        specimen.in_flower = self.month.is_some();
        Ok(specimen)
    }
}

/// A month by its number or its name, in the key's language before any other.
///
/// # Errors
/// It is no month, or several.
pub fn month(key: &Key, text: &str) -> Result<u8> {
    let mut languages = std::iter::once(key.heading.language).chain(language::ALL);
    let read = languages.find_map(|l| match months::read(text, l) {
        r if r.faults.is_empty() => Some(r.months),
        _ => None,
    });
    match read.as_deref() {
        Some([one]) => Ok(*one),
        _ if text.trim().parse::<u64>().is_ok() => {
            bail!("there is no month {}: write May, or 5", text.trim())
        }
        _ => bail!("`{}` is not one month: write May, or 5", text.trim()),
    }
}

/// A condition of the key by its name.
///
/// # Errors
/// The key has none of that name.
pub fn condition(key: &Key, name: &str) -> Result<ConditionId> {
    let low = name.trim().to_lowercase();
    match key.conditions.iter().position(|c| c.name == low) {
        Some(i) => Ok(ConditionId(i as u16)),
        None => {
            let known: Vec<&str> = key.conditions.iter().map(|c| c.name.as_str()).collect();
            bail!("the key has no condition `{name}`; it has {}", known.join(", "))
        }
    }
}

/// One observation of a file.
#[derive(Clone, Debug, Deserialize)]
#[serde(untagged)]
enum Noted {
    Text(String),
    Whole {
        observation: String,
        #[serde(default)]
        condition: Option<String>,
        #[serde(default)]
        doubt: bool,
    },
}

/// Reads a file of observations: YAML (a list of sentences, or of `observation`, `condition`,
/// `doubt`) or, where its name ends in .csv, a table with those columns.
///
/// # Errors
/// With the place of what could not be read.
pub fn observations(
    path: &str,
    key: &Key,
    lexicon: &Lexicon,
    otherwise: ConditionId,
) -> Result<Vec<Observation>> {
    let text = std::fs::read_to_string(path).with_context(|| format!("{path} cannot be read"))?;
    let noted: Vec<Noted> = if path.to_lowercase().ends_with(".csv") {
        csv::Reader::from_reader(text.as_bytes())
            .deserialize::<Row>()
            .map(|r| r.map(Noted::from))
            .collect::<Result<_, _>>()
            .with_context(|| format!("{path}: columns are observation, condition, doubt"))?
    } else {
        serde_yaml::from_str(&text)
            .with_context(|| format!("{path}: a list of observations, such as `- petals red`"))?
    };
    let mut out = Vec::new();
    for (i, n) in noted.into_iter().enumerate() {
        let (text, named, doubt) = match n {
            Noted::Text(text) => (text, None, false),
            Noted::Whole { observation, condition, doubt } => (observation, condition, doubt),
        };
        let at = match named.filter(|n| !n.trim().is_empty()) {
            Some(name) => {
                condition(key, &name).with_context(|| format!("{path}: observation {}", i + 1))?
            }
            None => otherwise,
        };
        let read = read_observation(key, lexicon, &text, at)
            .with_context(|| format!("{path}: observation {}", i + 1))?;
        out.extend(read.into_iter().map(|o| if doubt { o.doubted(Doubt::Some) } else { o }));
    }
    Ok(out)
}

#[derive(Deserialize)]
struct Row {
    observation: String,
    #[serde(default)]
    condition: Option<String>,
    #[serde(default)]
    doubt: Option<String>,
}

impl From<Row> for Noted {
    fn from(r: Row) -> Noted {
        let doubt = r.doubt.is_some_and(|d| {
            !matches!(d.trim().to_lowercase().as_str(), "" | "no" | "false" | "0")
        });
        Noted::Whole { observation: r.observation, condition: r.condition, doubt }
    }
}
