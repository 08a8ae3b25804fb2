//! What holds for a whole notebook (`notebook.yaml`), and for this machine (`here/settings.yaml`).

use std::path::Path;

use super::disk::Disk;
use super::fault::Fault;
use super::ledger::{HERE, LedgerError, make_here};
use super::record::field::{Reader, fields};
use super::value::Fields;
use super::yaml;
use crate::text::finding::Severity;

/// The file at the top of every notebook.
pub const FILE: &str = "notebook.yaml";

fields! {
    /// What is shared by all who write in the notebook.
    pub struct Settings {
        required {
            /// What the collection is called.
            name: String = "notebook",
        }
        /// Index Herbariorum code or another acronym of the keeper.
        institution: Option<String> = "institution",
        /// The collection's own acronym.
        collection: Option<String> = "collection",
        licence: Option<String> = "licence",
        /// Who answers for the data: name, and how to be reached.
        contact: Vec<String> = "contact",
        /// Taken for a gathering where it names none.
        country: Option<String> = "country",
        country_code: Option<String> = "country code",
        datum: Option<String> = "datum",
        /// Names of plants, or of genera, whose precise places are withheld on export.
        protected: Vec<String> = "protected",
    }
}

fields! {
    /// What holds on this machine only.
    pub struct Here {
        required {}
        /// Who collects and writes here.
        collector: Option<String> = "collector",
    }
}

impl Settings {
    /// The settings as the file holds them.
    pub fn text(&self) -> String {
        let mut fields = Fields::new();
        self.write(&mut fields);
        yaml::write_body(&fields)
    }

    /// Reads the notebook's settings; without a file, only a name.
    ///
    /// # Errors
    /// Where the file is there and cannot be read.
    pub fn load(
        disk: &dyn Disk,
        notebook: &Path,
        faults: &mut Vec<Fault>,
    ) -> Result<Settings, LedgerError> {
        let name = notebook.file_name().map_or("notebook".into(), |n| n.to_string_lossy());
        let read = load(disk, notebook, FILE, Settings::read, faults)?;
        Ok(read.unwrap_or_else(|| Settings::new(name.into_owned())))
    }
}

impl Here {
    /// Reads this machine's settings; empty where there are none.
    ///
    /// # Errors
    /// Where the file is there and cannot be read.
    pub fn load(
        disk: &dyn Disk,
        notebook: &Path,
        faults: &mut Vec<Fault>,
    ) -> Result<Here, LedgerError> {
        let file = format!("{HERE}/settings.yaml");
        Ok(load(disk, notebook, &file, Here::read, faults)?.unwrap_or_else(Here::new))
    }

    /// Keeps this machine's settings.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn save(&self, disk: &dyn Disk, notebook: &Path) -> Result<(), LedgerError> {
        let mut fields = Fields::new();
        self.write(&mut fields);
        let path = notebook.join(HERE).join("settings.yaml");
        make_here(disk, notebook)
            .and_then(|()| disk.replace(&path, yaml::write_body(&fields).as_bytes()))
            .map_err(|source| LedgerError::Write { path, source })
    }
}

fn load<T>(
    disk: &dyn Disk,
    notebook: &Path,
    file: &str,
    read: fn(&mut Reader) -> Option<T>,
    faults: &mut Vec<Fault>,
) -> Result<Option<T>, LedgerError> {
    let path = notebook.join(file);
    let bytes = match disk.read(&path, 0, 1 << 20) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(source) => return Err(LedgerError::Read { path, source }),
    };
    let text = String::from_utf8_lossy(&bytes);
    match yaml::read(text.trim_start_matches('\u{feff}')) {
        Ok(None) => Ok(None),
        Ok(Some(fields)) => {
            let mut reader = Reader::new(fields, file, 1);
            let out = read(&mut reader);
            faults.append(&mut reader.faults);
            Ok(out)
        }
        Err(e) => {
            let fault = Fault::new("not-yaml", Severity::Error, file, e.line, e.what);
            faults.push(fault.remedy(e.remedy).why("The settings are not used until then."));
            Ok(None)
        }
    }
}
