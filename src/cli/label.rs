//! `label`: labels and determination slips for the printer.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Result, bail};
use clap::{Args, ValueEnum};
use serde_json::json;

use super::notebook::{Desk, Place, desk};
use super::{Outcome, Terminal};
use crate::notebook::specimen::Specimen;
use crate::publish::label::layouts::{ALL, Kind, Layout, find, usual};
use crate::publish::label::{Label, Months, Options, Paper, labels, page};
use crate::publish::pdf;

/// Print labels and determination slips on sheets to be cut
///
/// Text is set at the layout's size; what does not fit is set smaller, down to the layout's
/// smallest, and what does not fit even then runs on to a second label with the same number.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum label --in oren 1040-1050 --output labels.html
  hilum label --in oren 1042 --layout 5x3in --roman --code --pdf labels.pdf
  hilum label --in oren --layout slip 1042 --output slips.html
  hilum label --list                                the layouts

With --json (where no file is `-`)
  {\"format\":1, \"labels\", \"specimens\", \"smallest\": how many labels are set at
  the smallest size, or run on, \"given_twice\":[numbers of two gatherings,
  without a label]}; with --list {\"format\":1, \"layouts\":[{\"name\", \"about\"}]}

Exit status: 0 printed, 1 but for numbers that were given twice, 2 not printed")]
pub struct LabelSheets {
    #[command(flatten)]
    place: Place,
    /// Numbers, or runs such as 1040-1050
    numbers: Vec<String>,
    /// The layouts, each with its size
    #[arg(long)]
    list: bool,
    /// Which layout; several can be named. Without it, labels for sheets and for further parts
    #[arg(long, value_name = "NAME")]
    layout: Vec<String>,
    /// The sheet of paper
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperArg,
    /// Months as Roman numerals: 2.V.2026
    #[arg(long)]
    roman: bool,
    /// Put the number on the label as a QR code too
    #[arg(long)]
    code: bool,
    /// Write the page for the printer as HTML; `-` is standard output
    #[arg(long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// Write it as PDF, through a browser of the Chromium kind
    #[arg(long, value_name = "FILE.pdf")]
    pdf: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperArg {
    A4,
    Letter,
}

impl LabelSheets {
    pub fn run(self, terminal: &mut Terminal) -> Result<Outcome> {
        if self.list && terminal.json {
            let layouts = ALL.iter().map(|l| json!({"name": l.name, "about": l.about}));
            let layouts: Vec<_> = layouts.collect();
            terminal.print_json(&json!({"format": 1, "layouts": layouts}))?;
            return Ok(Outcome::Well);
        }
        if self.list {
            for layout in ALL {
                writeln!(terminal, "{:<8} {}", layout.name, layout.about)?;
            }
            return Ok(Outcome::Well);
        }
        if self.output.is_none() && self.pdf.is_none() {
            bail!("print to what? Give --output FILE.html or --pdf FILE.pdf");
        }
        if self.numbers.is_empty() {
            bail!("labels for what? Give numbers, or runs such as 1040-1050");
        }
        let layouts = self.layouts()?;
        let desk = Desk::open(&self.place)?;
        let (twice, specimens): (Vec<Specimen>, Vec<Specimen>) =
            desk.several(&self.numbers)?.into_iter().partition(|s| s.gatherings.len() > 1);
        let twice: Vec<String> = twice.iter().map(|s| s.citation.to_string()).collect();
        for number in &twice {
            eprintln!(
                "hilum: no label for {number}: the number was given to two gatherings; \
                 `hilum notebook check` shows them"
            );
        }
        let outcome = if twice.is_empty() { Outcome::Well } else { Outcome::Found };
        if specimens.is_empty() && !twice.is_empty() {
            if terminal.json {
                terminal.print_json(&json!({
                    "format": 1, "labels": 0, "specimens": 0, "smallest": 0, "given_twice": twice,
                }))?;
            }
            return Ok(outcome);
        }
        let mut options = Options::of(&desk.settings);
        options.months = if self.roman { Months::Roman } else { Months::Words };
        options.code = self.code;
        let mut all: Vec<Label> = Vec::new();
        for layout in &layouts {
            all.extend(specimens.iter().flat_map(|s| labels(s, layout, &options)));
        }
        if all.is_empty() {
            bail!("these specimens have nothing to label in that layout");
        }
        let paper = match self.paper {
            PaperArg::A4 => Paper::A4,
            PaperArg::Letter => Paper::Letter,
        };
        let html = page(&format!("Labels: {}", desk.settings.name), &all, paper);
        if let Some(path) = &self.output {
            desk::write_file(terminal, path, html.as_bytes())?;
        }
        if let Some(path) = &self.pdf {
            let folder = tempfile::tempdir()?;
            let page = folder.path().join("labels.html");
            std::fs::write(&page, &html)?;
            pdf::print(&page, path)?;
        }
        if self.output.as_deref() == Some(std::path::Path::new("-")) {
            return Ok(outcome);
        }
        let (count, of) = (all.len(), specimens.len());
        let smallest = all.iter().filter(|l| l.letters <= 6.5).count();
        if terminal.json {
            terminal.print_json(&json!({
                "format": 1, "labels": count, "specimens": of, "smallest": smallest,
                "given_twice": twice,
            }))?;
            return Ok(outcome);
        }
        writeln!(terminal, "{} for {}", desk::count(count, "label"), desk::count(of, "specimen"))?;
        if smallest > 0 {
            writeln!(terminal, "{smallest} of them are set at the smallest size, or run on")?;
        }
        for path in [&self.output, &self.pdf].into_iter().flatten() {
            writeln!(terminal, "Written: {}", path.display())?;
        }
        Ok(outcome)
    }

    fn layouts(&self) -> Result<Vec<&'static Layout>> {
        if self.layout.is_empty() {
            return Ok([Kind::Sheet, Kind::Part].into_iter().filter_map(usual).collect());
        }
        let mut out = Vec::new();
        for name in &self.layout {
            match find(name) {
                Some(layout) => out.push(layout),
                None => {
                    let known: Vec<&str> = ALL.iter().map(|l| l.name).collect();
                    bail!("there is no layout \"{name}\"; there are {}", known.join(", "));
                }
            }
        }
        Ok(out)
    }
}
