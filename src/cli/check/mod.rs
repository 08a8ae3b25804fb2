//! `check`: every fault of a key, with its place and its remedy.

mod explain;
mod json;
mod report;
mod study;
mod text;

use std::path::PathBuf;

use clap::Args;

use crate::check::study::Study;
use crate::check::{self, Accepted, Counts, Examination, Options, Report, Watch, profiles};
use crate::key::Key;
use crate::publish::sarif;

use super::{Outcome, Terminal, input, progress};

/// Examine keys: every dead end, lost couplet, contradiction and misreading, with its remedy
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum check weeds.key
        each fault in a frame, then the figures of the key
  hilum check --brief *.key
        one line each, for editors: file:line:column: ...
  hilum check weeds.key grasses.key
        pointers from one file into the other are followed
  hilum check --unread weeds.key
        also the statements that fit no declared sentence
  hilum check --profile classroom weeds.key
        under a house style, in addition to those of the heading
  hilum check --taxa flora.txt weeds.key
        are all taxa of a list keyed? (one name a line)
  hilum check --routes --in-hand --quality weeds.key
        where every taxon goes, what can be named from a part of the plant, how
        good the key is
  hilum check --report weeds.html weeds.key
        one page to send to an editor, for the screen and for paper
  hilum check --sarif weeds.key > weeds.sarif
        for a code host that shows findings in place
  hilum check --explain same-leads
        what a rule finds, why, an example, the remedy
  cat weeds.key | hilum check -

Answering a finding
  Nothing that is meant has to be nagged about. Under the lead, the key's
  heading, the taxon or the title write the rule and your reason:
      intended  taxon-twice: variable, so it is keyed out both ways

Exit status
  0  no open error (with --strict: no open error and no open warning)
  1  there are some
  2  a file could not be read, or the command was not understood

With --json
  {\"format\":1, \"files\":[{\"file\", \"title\", \"findings\":[{\"rule\", \"severity\",
  \"place\":{\"start\", \"end\", \"line\", \"column\", \"end_line\", \"end_column\"}, \"what\",
  \"why\", \"remedy\", \"related\", \"mend\", \"intended\"}], \"figures\", \"answered\",
  \"not_examined\":[{\"what\", \"why\"}], \"unread\", \"study\"}],
  \"counts\":{\"errors\", \"warnings\", \"notes\", \"answered\"}, \"status\"}; notes and
  answered findings are among them; \"study\" is there with
  --routes, --in-hand or --quality. Fields are only ever added.")]
pub struct Check {
    /// Key files, `-` for standard input, or names of keys that come with the program
    #[arg(value_name = "FILE", required_unless_present_any = ["explain", "rules"])]
    files: Vec<String>,

    /// One line for each finding: file:line:column: severity[rule] what
    #[arg(long, conflicts_with = "json")]
    brief: bool,

    /// Let warnings fail too
    #[arg(long)]
    strict: bool,

    /// Show notes, and findings that are answered in the text, as well
    #[arg(long)]
    all: bool,

    /// List the statements that could not be read, or only to a point
    #[arg(long)]
    unread: bool,

    /// Apply a house style, or a rule that has to be asked for, as `profile` in a key's heading does
    #[arg(long, value_name = "NAME")]
    profile: Vec<String>,

    /// Hold the names against a list of accepted taxa: a file with one name a line
    #[arg(long, value_name = "LIST")]
    taxa: Option<String>,

    /// Show where the plants of every account end, and the taxa that are hardest to tell apart
    #[arg(long)]
    routes: bool,

    /// Show what can be named from leaves only, flowers only, a pressed plant, and what to note
    /// before pressing
    #[arg(long)]
    in_hand: bool,

    /// Show how good the key is: decisions and leads against the least possible, balance, characters
    #[arg(long)]
    quality: bool,

    /// Write everything that was found, and the study of the key, into one page of HTML
    #[arg(long, value_name = "FILE.html")]
    report: Option<PathBuf>,

    /// Let --report write over a file that is no such report
    #[arg(long, requires = "report")]
    force: bool,

    /// Print errors and warnings (with --all notes too) in SARIF 2.1.0, an open standard
    #[arg(long, conflicts_with_all = ["json", "brief"])]
    sarif: bool,

    /// Explain a rule or a house style: what it finds, why it matters, an example, the remedy, the
    /// source
    #[arg(long, value_name = "RULE", conflicts_with_all = ["files", "rules"])]
    explain: Option<String>,

    /// List the rules and the house styles
    #[arg(long, conflicts_with = "files")]
    rules: bool,
}

impl Check {
    pub(super) fn run(self, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
        if let Some(name) = &self.explain {
            return explain::explain(name, terminal);
        }
        if self.rules {
            return explain::list(terminal);
        }
        if let Some(name) = self.profile.iter().find(|p| !profiles::is_known(p)) {
            let near =
                profiles::nearest(name).map_or(".".into(), |n| format!("; did you mean `{n}`?"));
            anyhow::bail!("there is no house style {name}{near} All of them: hilum check --rules");
        }
        let accepted = self.taxa.as_deref().map(accepted).transpose()?;
        if let Some(path) = &self.report {
            report::may_write(path, self.force)?;
        }
        // Before the files are read: what reading found is kept as well.
        let watch = progress::watch();
        let mut failures: Vec<String> = Vec::new();
        let mut keys: Vec<Key> = Vec::new();
        for file in &self.files {
            match input::key(file) {
                Ok(key) => keys.push(key),
                Err(error) => {
                    let error = anyhow::Error::from(error);
                    failures.push(format!("{error:#}"));
                    terminal.complain(&error);
                }
            }
        }
        let used = input::used(&keys);
        let asked_for_study = self.routes || self.in_hand || self.quality || self.report.is_some();
        let mut reports: Vec<(&Key, Report)> = Vec::new();
        let mut studies: Vec<Study> = Vec::new();
        for (i, key) in keys.iter().enumerate() {
            let others = keys.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, k)| k);
            let beside: Vec<&Key> = others.chain(&used).collect();
            let options = Options {
                beside: &beside,
                profiles: &self.profile,
                accepted: accepted.as_ref(),
                watch: Some(watch),
            };
            let exam = Examination::watched(key, &beside, accepted.as_ref(), watch);
            reports.push((key, check::examine_all(&exam, &options)));
            if asked_for_study && !watch.stopped() {
                studies.push(Study::of(&exam));
            }
        }
        progress::finish();
        failures.extend(broken_off(watch, &reports, terminal));
        let mut counts = Counts::default();
        reports.iter().for_each(|(_, report)| counts += report.counts());
        let found = counts.errors > 0 || (self.strict && counts.warnings > 0);
        let outcome = match (!failures.is_empty(), found) {
            (true, _) => Outcome::Failed,
            (_, true) => Outcome::Found,
            _ => Outcome::Well,
        };
        if let Some(path) = &self.report {
            report::write(path, &reports, &studies)?;
        }
        if self.sarif {
            let files: Vec<(&Key, &Report)> = reports.iter().map(|(k, r)| (*k, r)).collect();
            let run = sarif::Run { all: self.all, status: outcome as u8, failures: &failures };
            terminal.print_json(&sarif::log(&files, &run))?;
        } else if terminal.json {
            json::print(&self, &reports, &studies, counts, outcome, terminal)?;
        } else if self.brief {
            text::brief(&self, &reports, terminal)?;
        } else {
            text::print(&self, &reports, &studies, terminal)?;
        }
        Ok(outcome)
    }
}

// Says what was left undone, if the work was broken off.
fn broken_off(
    watch: &Watch,
    reports: &[(&Key, Report)],
    terminal: &mut Terminal,
) -> Option<String> {
    if !watch.stopped() {
        return None;
    }
    let mut rules: Vec<&str> = reports.iter().flat_map(|(_, r)| &r.not_applied).copied().collect();
    rules.sort_unstable();
    rules.dedup();
    let words = format!(
        "broken off; what was found so far follows. Rules not applied, or only in part: {}",
        if rules.is_empty() { "none".to_string() } else { rules.join(", ") }
    );
    terminal.complain(&anyhow::anyhow!("{words}"));
    Some(words)
}

fn accepted(argument: &str) -> anyhow::Result<Accepted> {
    let (source, fault) = input::text(argument)?;
    if let Some(fault) = fault {
        anyhow::bail!("the list {argument}: {}. {}", fault.what, fault.remedy);
    }
    let list = Accepted::read(source.text());
    if list.is_empty() {
        anyhow::bail!("the list {argument} has no name in it; write one name a line");
    }
    Ok(list)
}
