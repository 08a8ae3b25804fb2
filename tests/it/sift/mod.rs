//! Naming a plant from whatever it shows.

mod datasets;
mod meaning;
mod naive;
mod oracle;
mod outside;
mod properties;
mod random;
mod reading;
mod series;
mod worked;

use hilum::key::lexicon::Lexicon;
use hilum::key::{CharacterId, ConditionId, Key, TaxonId};
use hilum::sift::{Observation, Table, Unread, read_observation};
use hilum::text::source::Source;

/// A key in memory with everything that the engine needs of it.
pub struct Desk {
    pub key: Key,
    pub lexicon: Lexicon,
    pub table: Table,
}

impl Desk {
    pub fn new(text: &str) -> Desk {
        let key = Key::read(Source::new("a.key", text));
        let lexicon = key.lexicon();
        let table = Table::of(&key);
        Desk { key, lexicon, table }
    }

    /// The same, for a text in which nothing may be wrong.
    pub fn sound(text: &str) -> Desk {
        let desk = Desk::new(text);
        let errors: Vec<_> = desk
            .key
            .findings
            .iter()
            .filter(|f| f.severity == hilum::text::finding::Severity::Error)
            .map(|f| format!("{}: {}", desk.key.source.slice(f.span), f.what))
            .collect();
        assert!(errors.is_empty(), "{errors:#?}");
        desk
    }

    pub fn condition(&self, name: &str) -> ConditionId {
        let at = self.key.conditions.iter().position(|c| c.name == name);
        ConditionId(at.unwrap_or_else(|| panic!("no condition {name}")) as u16)
    }

    pub fn character(&self, name: &str) -> CharacterId {
        let at = self.key.characters.iter().position(|c| c.name == name);
        CharacterId(at.unwrap_or_else(|| panic!("no character {name}")) as u32)
    }

    pub fn row(&self, taxon: &str) -> usize {
        let at = self.key.taxa.iter().position(|t| t.name == taxon);
        let id = TaxonId(at.unwrap_or_else(|| panic!("no taxon {taxon}")) as u32);
        self.table.row(id).unwrap_or_else(|| panic!("{taxon} cannot be named"))
    }

    pub fn name(&self, row: usize) -> &str {
        &self.key.taxon(self.table.taxon(row)).name
    }

    pub fn names(&self, rows: impl IntoIterator<Item = usize>) -> Vec<&str> {
        rows.into_iter().map(|r| self.name(r)).collect()
    }

    pub fn try_read(&self, text: &str) -> Result<Vec<Observation>, Unread> {
        read_observation(&self.key, &self.lexicon, text, ConditionId::FRESH)
    }

    /// One or more typed observations, fresh unless they say otherwise.
    pub fn read(&self, text: &str) -> Vec<Observation> {
        self.try_read(text).unwrap_or_else(|e| panic!("`{text}`: {e}"))
    }

    pub fn read_all(&self, texts: &[&str]) -> Vec<Observation> {
        texts.iter().flat_map(|t| self.read(t)).collect()
    }
}
