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
use crate::notebook::settings::{Here, Settings};

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
        let mut settings =
            Settings::new(self.called.or(own).unwrap_or_else(|| "notebook".to_string()));
        if let Some(code) = &self.institution {
            // Letters only, one to eight (Index Herbariorum).
            let fits =
                (1..=8).contains(&code.len()) && code.chars().all(|c| c.is_ascii_alphabetic());
            anyhow::ensure!(fits, "\"{code}\" is no code of one to eight letters");
        }
        settings.institution = self.institution;
        settings.country = self.country;
        let begun = match Ledger::begin(&folder, Arc::new(ThisDisk), &settings) {
            Ok(_) => true,
            Err(LedgerError::IsANotebook(_)) if self.collector.is_some() => false,
            Err(e) => return Err(told(e)),
        };
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
        if begun {
            writeln!(terminal, "A notebook was begun in {shown}.")?;
            writeln!(terminal, "What holds for all of it stands in {shown}/notebook.yaml.")?;
        }
        let named = place.typed();
        if let Some(name) = &self.collector {
            writeln!(terminal, "On this machine {name} writes in it.")?;
            writeln!(terminal, "Next: hilum notebook{named} gather")?;
        } else {
            writeln!(terminal, "Next, who collects: hilum notebook{named} begin --collector NAME")?;
        }
        Ok(Outcome::Well)
    }
}
