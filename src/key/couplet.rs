//! Couplets, their leads, and where each lead goes.

use crate::text::span::Span;
use crate::text::tree::{Back, Label};
use crate::text::words::Words;

use super::character::Picture;
use super::statement::{Part, Statement};
use super::taxon::TaxonId;

/// Index of a couplet in its key file, in the order of the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CoupletId(pub u32);

/// A lead: its couplet and its place in it, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LeadId {
    pub couplet: CoupletId,
    pub index: u16,
}

/// Index of a key within its file; the first is where a determination begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SubkeyId(pub u32);

/// One key of a file: `key`, or `key to the poppies`.
#[derive(Clone, Debug)]
pub struct Subkey {
    /// The heading as written.
    pub head: String,
    pub span: Span,
    /// Its couplets, in the order of the text.
    pub couplets: Vec<CoupletId>,
    pub intended: Vec<Intended>,
}

#[derive(Clone, Debug)]
pub struct Couplet {
    pub subkey: SubkeyId,
    pub number: u32,
    pub capital: Option<char>,
    pub leads: Vec<Lead>,
}

#[derive(Clone, Debug)]
pub struct Lead {
    pub label: Label,
    pub back: Option<Back>,
    /// The statements as text.
    pub body: Words,
    pub parts: Vec<Part>,
    /// Remarks in parentheses, shown but never compared.
    pub outcome: Outcome,
    pub outcome_words: Words,
    pub pictures: Vec<Picture>,
    pub remarks: Vec<String>,
    pub intended: Vec<Intended>,
}

/// `intended RULE: reason`: the writer's answer to a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Intended {
    pub rule: String,
    pub reason: String,
    pub span: Span,
}

/// Where a lead goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// To a couplet of the same key.
    Couplet(CoupletId),
    /// To one lead of a couplet of the same key.
    Lead(LeadId),
    /// To another key of this file, at its beginning or at a place in it.
    Subkey { subkey: SubkeyId, at: Option<Place> },
    /// To a key in another file, by the names as written.
    Elsewhere { key: String, file: String, at: Option<String> },
    /// One taxon, or several that the key does not part.
    Taxa(Vec<TaxonId>),
    /// No name, with the reason.
    Stop(String),
    /// Nowhere: no outcome is written, or it points at nothing. A finding says which.
    Nowhere,
}

/// A place within a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    Couplet(CoupletId),
    Lead(LeadId),
}

impl Lead {
    /// Everything that was read in the lead.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        self.parts.iter().flat_map(|p| &p.statements)
    }
}

impl Couplet {
    /// `7`, `84A`.
    pub fn name(&self) -> String {
        match self.capital {
            Some(c) => format!("{}{c}", self.number),
            None => self.number.to_string(),
        }
    }
}
