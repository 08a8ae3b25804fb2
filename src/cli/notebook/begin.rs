//! `notebook begin`: a new notebook, or this machine's collector for one that is there.

use std::io::Write;
use std::sync::Arc;

use anyhow::Result;
use clap::Args;

use super::Place;
use super::desk::{folder, told};
use crate::cli::{Outcome, Terminal};
use crate::notebook::disk::{Disk, ThisDisk};
use crate::notebook::ledger::{Ledger, LedgerError};
use crate::notebook::settings::{self, Here, Settings};

/// Begin a notebook in a folder; in one that is there, name who collects on this machine
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren begin --collector \"A. K. Ashdown\"
  hilum notebook --in oren begin --collector \"B. Lund\" --country Orenia
  hilum notebook --in oren begin --collector \"B. Lund\"    a second collector

With --json
  {\"format\":1, \"folder\", \"begun\": whether it is new, \"collector\"}")]
pub struct Begin {
    /// Who collects and writes on this machine
    #[arg(long, value_name = "NAME")]
    collector: Option<String>,
    /// What the collection is called; without it, as the folder
    #[arg(long, value_name = "NAME")]
    called: Option<String>,
    /// The keeper's code (letters only, such as those of Index Herbariorum)
    #[arg(long, value_name = "CODE")]
    institution: Option<String>,
    /// Taken for gatherings that name none
    #[arg(long, value_name = "COUNTRY")]
    country: Option<String>,
}

impl Begin {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let folder = folder(place);
        ThisDisk
            .make_folder(&folder)
            .map_err(|source| told(LedgerError::Write { path: folder.clone(), source }))?;
        let whole = std::path::absolute(&folder).unwrap_or_else(|_| folder.clone());
        let own = whole.file_name().map(|n| n.to_string_lossy().into_owned());
        if let Some(code) = &self.institution {
            // Letters only, one to eight (Index Herbariorum).
            let fits =
                (1..=8).contains(&code.len()) && code.chars().all(|c| c.is_ascii_alphabetic());
            anyhow::ensure!(fits, "\"{code}\" is no code of one to eight letters");
        }
        let mut settings = Settings::new(own.unwrap_or_else(|| "notebook".to_string()));
        self.put(&mut settings);
        let begun = match Ledger::begin(&folder, Arc::new(ThisDisk), &settings) {
            Ok(_) => true,
            Err(LedgerError::IsANotebook(_)) if self.says_anything() => false,
            Err(e) => return Err(told(e)),
        };
        if !begun && self.changes_settings() {
            let mut faults = Vec::new();
            let mut settings = Settings::load(&ThisDisk, &folder, &mut faults).map_err(told)?;
            // What could not be read would be lost.
            if let Some(fault) = faults.first() {
                anyhow::bail!("{fault}");
            }
            self.put(&mut settings);
            let path = folder.join(settings::FILE);
            // Remarks that a person wrote into the file would not come through.
            anyhow::ensure!(
                !std::fs::read_to_string(&path).unwrap_or_default().contains('#'),
                "{} has remarks in it (#): write what is to change there yourself; the fields are \
                 notebook, institution, country",
                path.display()
            );
            ThisDisk
                .replace(&path, settings.text().as_bytes())
                .map_err(|source| told(LedgerError::Write { path, source }))?;
        }
        if let Some(name) = &self.collector {
            let mut here = Here::new();
            here.collector = Some(name.clone());
            here.save(&ThisDisk, &folder).map_err(told)?;
        }
        if terminal.json {
            terminal.print_json(&serde_json::json!({
                "format": 1, "folder": folder, "begun": begun, "collector": self.collector,
            }))?;
            return Ok(Outcome::Well);
        }
        let shown = folder.display().to_string();
        if !begun && self.changes_settings() {
            writeln!(terminal, "{shown}/notebook.yaml holds now what was given.")?;
        }
        if begun {
            writeln!(terminal, "A notebook was begun in {shown}.")?;
            writeln!(terminal, "What holds for all of it stands in {shown}/notebook.yaml.")?;
        }
        let named = place.typed();
        if let Some(name) = &self.collector {
            writeln!(terminal, "On this machine {name} writes in it.")?;
            writeln!(terminal, "Next: hilum notebook{named} gather")?;
            if begun {
                writeln!(
                    terminal,
                    "(If your numbers run on from another notebook, give the next one there.)"
                )?;
            }
        } else {
            writeln!(terminal, "Next, who collects: hilum notebook{named} begin --collector NAME")?;
        }
        Ok(Outcome::Well)
    }

    /// Puts what was given into the settings of the whole notebook.
    fn put(&self, settings: &mut Settings) {
        if let Some(name) = &self.called {
            settings.name = name.clone();
        }
        if self.institution.is_some() {
            settings.institution = self.institution.clone();
        }
        if self.country.is_some() {
            settings.country = self.country.clone();
        }
    }

    fn changes_settings(&self) -> bool {
        self.called.is_some() || self.institution.is_some() || self.country.is_some()
    }

    fn says_anything(&self) -> bool {
        self.collector.is_some() || self.changes_settings()
    }
}
