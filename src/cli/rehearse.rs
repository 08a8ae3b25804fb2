//! `rehearse`: simulated readers take a key, and misread.

use std::io::Write;

use anyhow::{Context, bail};
use clap::Args;
use serde::Serialize;

use crate::check::Examination;
use crate::check::reason::words::percent;
use crate::craft::rehearse::{MISREADING, Readers, Rehearsal, Specimens, rehearse};
use crate::key::character::Tool;
use crate::key::{CharacterId, ConditionId, Key};
use crate::text::language::fold;
use crate::text::months;
use crate::text::shown::shown;

use super::terminal::{FAINT, STRONG};
use super::{Outcome, Terminal, input, progress};

/// Let simulated readers take a key: who reaches the right name, who is confused with whom, and
/// what the best single repair would gain
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum rehearse weeds.key
        everyone misreads 21 in 100 characters
  hilum rehearse --misread 0.05 weeds.key   practised readers
  hilum rehearse --misread-of 'sap=0.5' --misread-of 'stamens=0.3' weeds.key
  hilum rehearse --without fruit --no-lens weeds.key
  hilum rehearse --month Apr weeds.key
        only what bears flowers, or fruits, in April shows them
  hilum rehearse --condition pressed weeds.key

The readers
  At each couplet a reader looks once at every character that the leads state
  and the specimen shows. At the misreading rate he sees another state instead
  (of steps the next one, of a number one that another lead asks for). He takes
  the lead that most of what he saw speaks for. Where nothing that he can see
  parts the leads he gives up. Plants are as the accounts describe them; what is
  not read there, or in the key, is read as prose, and misread like anything
  else.

  21 in 100 is what 484 people misread of 25 character states: Waeldchen and
  others 2022, People and Nature 4: 1603-1615.

With --json
  {\"format\":1, \"file\", \"misreading\", \"right\", \"right_by_abundance\", \"gave_up\",
  \"taxa\":[{\"taxon\", \"right\", \"gave_up\", \"error\", \"confusions\":[{\"name\",
  \"share\"}]}], \"losses\", \"repairs\", \"seed\", \"cut_short\"};
  shares are parts of one")]
pub struct Rehearse {
    /// A key file, `-` for standard input, or the name of a key that comes with the program
    #[arg(value_name = "KEY")]
    key: String,

    /// The share of characters that readers misread
    #[arg(long, value_name = "RATE", default_value_t = MISREADING)]
    misread: f64,

    /// The rate of one character: `sap=0.5`. Can be given more than once
    #[arg(long, value_name = "CHARACTER=RATE")]
    misread_of: Vec<String>,

    /// A part that the specimens lack: flower, fruit, leaf, stem, root, or a part of the key
    #[arg(long, value_name = "PART")]
    without: Vec<String>,

    /// The readers have no lens, no knife and no microscope
    #[arg(long)]
    no_lens: bool,

    /// The condition of the specimens: fresh, pressed, or one that the key declares
    #[arg(long, value_name = "NAME", default_value = "fresh")]
    condition: String,

    /// The month in which the specimens were gathered
    #[arg(long, value_name = "MONTH")]
    month: Option<String>,

    /// Where nothing parts the leads, take one by chance
    #[arg(long)]
    guess: bool,

    /// How many couplets and confusions are looked into for repairs; 0 for none
    #[arg(long, value_name = "N", default_value_t = 10)]
    repairs: usize,

    /// Draw so many readers of each taxon instead of working the shares out
    #[arg(long, value_name = "N")]
    draw: Option<usize>,

    /// The seed of drawn readers
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,

    /// Show every taxon and every couplet
    #[arg(long)]
    all: bool,
}

/// Of taxa, confusions, couplets and repairs so many are shown without `--all`.
const MOST: usize = 12;

impl Rehearse {
    pub(super) fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
        let key = input::key(&self.key)?;
        let readers = self.readers(&key)?;
        let watch = progress::watch();
        let exam = Examination::watched(&key, &[], None, watch);
        let rehearsal = rehearse(&exam, &readers, self.repairs);
        progress::finish();
        if terminal.json {
            terminal.print_json(&Document {
                format: 1,
                file: key.source.name(),
                misreading: self.misread,
                rehearsal: &rehearsal,
            })?;
        } else {
            self.print(&key, &rehearsal, terminal)?;
        }
        if rehearsal.cut_short {
            let why = match watch.stopped() {
                true => "broken off: not every taxon was taken through the key",
                false => "a route of the key is circular: `hilum check` shows where",
            };
            terminal.complain(&anyhow::anyhow!("{why}"));
            return Ok(Outcome::Failed);
        }
        Ok(Outcome::Well)
    }

    fn readers(&self, key: &Key) -> anyhow::Result<Readers> {
        let mut readers = Readers {
            misreading: rate(self.misread)?,
            guess: self.guess,
            drawn: self.draw.unwrap_or(Readers::default().drawn),
            always_draw: self.draw.is_some(),
            seed: self.seed,
            ..Readers::default()
        };
        if self.draw == Some(0) {
            bail!("--draw 0 draws nobody; leave it out to have the shares worked out");
        }
        for one in &self.misread_of {
            let (name, value) = one
                .rsplit_once('=')
                .with_context(|| format!("`{one}` is no CHARACTER=RATE, such as `sap=0.5`"))?;
            let value =
                value.trim().parse().with_context(|| format!("`{}` is no number", value.trim()))?;
            readers.of_character.insert(character(key, name)?, rate(value)?);
        }
        readers.specimens = Specimens {
            missing: self.without.iter().map(|p| part(key, p)).collect::<Result<_, _>>()?,
            condition: condition(key, &self.condition)?,
            tool: if self.no_lens { Tool::Eye } else { Tool::Microscope },
            month: self.month.as_deref().map(|m| month(key, m)).transpose()?,
        };
        Ok(readers)
    }

    fn print(&self, key: &Key, r: &Rehearsal, terminal: &mut Terminal) -> anyhow::Result<()> {
        let most = if self.all { usize::MAX } else { MOST };
        writeln!(terminal, "{STRONG}{}{STRONG:#}", shown(&key.heading.title))?;
        if r.taxa.is_empty() {
            return prose(
                terminal,
                "No taxon has a way through this key: there is nothing to rehearse.",
            );
        }
        let mut said = format!(
            "Of the readers of {} taxa {} reach the right name",
            r.taxa.len(),
            percent(r.right)
        );
        if let Some(weighted) = r.right_by_abundance {
            said.push_str(&format!(" ({} where common taxa weigh more)", percent(weighted)));
        }
        if r.gave_up > 0.0 {
            said.push_str(&format!("; {} give up", percent(r.gave_up)));
        }
        prose(terminal, &format!("{said}. They misread {} of characters.", percent(self.misread)))?;
        if let Some(seed) = r.seed {
            let widest = r.taxa.iter().filter_map(|t| t.error).fold(0.0, f64::max) * 100.0;
            let drawn = "Some shares were drawn";
            prose(
                terminal,
                &format!(
                    "{drawn} (seed {seed}); the standard error is at most {widest:.1} in 100."
                ),
            )?;
        }
        self.taxa(r, most, terminal)?;
        head(terminal, "Couplets that lose most readers")?;
        for loss in r.losses.iter().take(most) {
            let of = percent(loss.of_arriving);
            let share = percent(loss.share);
            let couplet = &loss.couplet;
            line(
                terminal,
                &format!("{share:>6}  {couplet} ({of} of those that come to it on the right way)"),
            )?;
        }
        more(terminal, r.losses.len(), most)?;
        if self.repairs > 0 {
            repairs(r, most, self.all, terminal)?;
        }
        Ok(())
    }

    fn taxa(&self, r: &Rehearsal, most: usize, terminal: &mut Terminal) -> anyhow::Result<()> {
        head(terminal, if self.all { "Taxa" } else { "Taxa that are named worst" })?;
        let mut order: Vec<usize> = (0..r.taxa.len()).collect();
        if !self.all {
            order.sort_by(|a, b| r.taxa[*a].right.total_cmp(&r.taxa[*b].right).then(a.cmp(b)));
        }
        for i in order.into_iter().take(most) {
            let t = &r.taxa[i];
            let mut wrong: Vec<String> = t
                .confusions
                .iter()
                .take(3)
                .map(|c| {
                    let name = if c.name.is_empty() { "an end without a name" } else { &c.name };
                    format!("{} {name}", percent(c.share))
                })
                .collect();
            if t.gave_up > 0.0 {
                wrong.push(format!("{} give up", percent(t.gave_up)));
            }
            let error = t.error.map_or(String::new(), |e| format!(" ± {:.1}", e * 100.0));
            let wrong = match wrong.is_empty() {
                true => String::new(),
                false => format!(": {}", wrong.join(", ")),
            };
            line(terminal, &format!("{:>6}{error}  {}{wrong}", percent(t.right), t.taxon))?;
        }
        more(terminal, r.taxa.len(), most)
    }
}

fn repairs(r: &Rehearsal, most: usize, all: bool, terminal: &mut Terminal) -> anyhow::Result<()> {
    head(terminal, "What a single change would gain")?;
    if r.repairs.is_empty() {
        return prose(terminal, "No change that was tried gains anything.");
    }
    // What rounds to nothing is not worth a line.
    let worth: Vec<_> = r.repairs.iter().filter(|x| all || x.gain > 5e-4).collect();
    for repair in worth.iter().take(most) {
        let gain = format!("+{:.1}", repair.gain * 100.0);
        let (words, better, worse) = (&repair.words, repair.better, repair.worse);
        line(terminal, &format!("{gain:>6}  {words} ({better} better, {worse} worse)"))?;
    }
    more(terminal, worth.len(), most)?;
    prose(terminal, "Gains in readers of 100, each taxon weighing the same.")
}

/// The JSON of `rehearse`. Shares are parts of one; `error` is a standard error, null where the
/// share was worked out; `seed` is null where nothing was drawn.
#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    file: &'a str,
    misreading: f64,
    #[serde(flatten)]
    rehearsal: &'a Rehearsal,
}

fn head(terminal: &mut Terminal, text: &str) -> anyhow::Result<()> {
    writeln!(terminal, "\n{STRONG}{text}{STRONG:#}")?;
    Ok(())
}

// A row of a table: what follows its figure stands in one column.
fn line(terminal: &mut Terminal, text: &str) -> anyhow::Result<()> {
    wrapped(terminal, text, "          ")
}

fn prose(terminal: &mut Terminal, text: &str) -> anyhow::Result<()> {
    wrapped(terminal, text, "  ")
}

fn wrapped(terminal: &mut Terminal, text: &str, below: &str) -> anyhow::Result<()> {
    let text = shown(text);
    let options =
        textwrap::Options::new(terminal.width).initial_indent("  ").subsequent_indent(below);
    for piece in textwrap::wrap(&text, options) {
        writeln!(terminal, "{piece}")?;
    }
    Ok(())
}

fn more(terminal: &mut Terminal, all: usize, most: usize) -> anyhow::Result<()> {
    if all > most {
        writeln!(terminal, "  {FAINT}{} more: --all{FAINT:#}", all - most)?;
    }
    Ok(())
}

fn rate(value: f64) -> anyhow::Result<f64> {
    if !(0.0..=1.0).contains(&value) {
        bail!("a misreading rate lies between 0 and 1, such as 0.21; {value} does not");
    }
    Ok(value)
}

fn character(key: &Key, name: &str) -> anyhow::Result<CharacterId> {
    let wanted = fold(name);
    if let Some(id) = key.character_ids().find(|c| fold(&key.character(*c).name) == wanted) {
        return Ok(id);
    }
    let near = nearest(&wanted, key.characters.iter().map(|c| c.name.as_str()));
    bail!("the key has no character `{}`{near}", name.trim())
}

// A class of parts, or a part that some character of the key has.
fn part(key: &Key, name: &str) -> anyhow::Result<String> {
    const CLASSES: [&str; 5] = ["leaf", "flower", "fruit", "stem", "root"];
    let wanted = fold(name);
    let own = key.characters.iter().filter_map(|c| c.part.as_deref());
    if CLASSES.contains(&wanted.as_str()) || own.clone().any(|p| fold(p) == wanted) {
        return Ok(wanted);
    }
    let near = nearest(&wanted, own.chain(CLASSES));
    bail!("`{}` is no part of a plant that the key names{near}", name.trim())
}

fn condition(key: &Key, name: &str) -> anyhow::Result<ConditionId> {
    let wanted = fold(name);
    if let Some(i) = key.conditions.iter().position(|c| fold(&c.name) == wanted) {
        return Ok(ConditionId(i as u16));
    }
    let near = nearest(&wanted, key.conditions.iter().map(|c| c.name.as_str()));
    bail!("the key declares no condition `{}`{near}", name.trim())
}

fn month(key: &Key, text: &str) -> anyhow::Result<u8> {
    match months::read(text, key.heading.language).months.as_slice() {
        [one] => Ok(*one),
        _ => bail!("`{text}` is not one month; write `Apr`, or `IV`"),
    }
}

fn nearest<'a>(wanted: &str, of: impl Iterator<Item = &'a str>) -> String {
    let near = of.map(|w| (strsim::osa_distance(wanted, &fold(w)), w)).min();
    match near.filter(|(distance, w)| distance * 2 <= w.len()) {
        Some((_, word)) => format!("; did you mean `{word}`?"),
        None => String::new(),
    }
}
