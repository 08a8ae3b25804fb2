//! The whole of a key file as meaning.

use indexmap::IndexMap;

use crate::text::finding::Finding;
use crate::text::source::Source;

use super::character::{Character, CharacterId, Condition, ConditionId};
use super::couplet::{Couplet, CoupletId, Lead, LeadId, Subkey, SubkeyId};
use super::heading::Heading;
use super::statement::Statement;
use super::taxon::{Taxon, TaxonId, Term};

/// A key file: its characters, its keys, its taxa, and every fault that reading it met.
#[derive(Clone, Debug)]
pub struct Key {
    pub source: Source,
    pub heading: Heading,
    /// `fresh`, `pressed`, then what the file declares.
    pub conditions: Vec<Condition>,
    pub characters: Vec<Character>,
    pub subkeys: Vec<Subkey>,
    pub couplets: Vec<Couplet>,
    pub taxa: Vec<Taxon>,
    pub terms: Vec<Term>,
    /// Taxa by folded name, synonyms included.
    pub names: IndexMap<String, TaxonId>,
    pub share: Share,
    /// What reading met, in the order of the text.
    pub findings: Vec<Finding>,
}

/// How many parts of leads and accounts were read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct Share {
    pub whole: usize,
    pub to_a_point: usize,
    pub prose: usize,
}

impl Share {
    pub fn total(self) -> usize {
        self.whole + self.to_a_point + self.prose
    }
}

impl Key {
    pub fn character(&self, id: CharacterId) -> &Character {
        &self.characters[id.0 as usize]
    }

    pub fn couplet(&self, id: CoupletId) -> &Couplet {
        &self.couplets[id.0 as usize]
    }

    pub fn lead(&self, id: LeadId) -> &Lead {
        &self.couplet(id.couplet).leads[id.index as usize]
    }

    pub fn subkey(&self, id: SubkeyId) -> &Subkey {
        &self.subkeys[id.0 as usize]
    }

    pub fn taxon(&self, id: TaxonId) -> &Taxon {
        &self.taxa[id.0 as usize]
    }

    pub fn condition(&self, id: ConditionId) -> &Condition {
        &self.conditions[id.0 as usize]
    }

    pub fn taxon_ids(&self) -> impl Iterator<Item = TaxonId> + use<> {
        (0..self.taxa.len() as u32).map(TaxonId)
    }

    pub fn character_ids(&self) -> impl Iterator<Item = CharacterId> + use<> {
        (0..self.characters.len() as u32).map(CharacterId)
    }

    /// Every couplet with its identity, in the order of the text.
    pub fn couplets(&self) -> impl Iterator<Item = (CoupletId, &Couplet)> {
        self.couplets.iter().enumerate().map(|(i, c)| (CoupletId(i as u32), c))
    }

    /// Every lead with its identity, in the order of the text.
    pub fn leads(&self) -> impl Iterator<Item = (LeadId, &Lead)> {
        self.couplets().flat_map(|(couplet, c)| {
            c.leads
                .iter()
                .enumerate()
                .map(move |(i, lead)| (LeadId { couplet, index: i as u16 }, lead))
        })
    }

    /// `7a`; in a key that is not the file's first with its head in front: `key to the poppies 2a`.
    pub fn lead_in_full(&self, id: LeadId) -> String {
        let subkey = self.couplet(id.couplet).subkey;
        let head = self.subkeys.get(subkey.0 as usize).filter(|_| subkey.0 > 0);
        let head = head.map(|s| format!("{} ", s.head)).unwrap_or_default();
        format!("{head}{}", self.lead_name(id))
    }

    /// `7a`, `84Ab`.
    pub fn lead_name(&self, id: LeadId) -> String {
        let couplet = self.couplet(id.couplet);
        let letter = self.lead(id).label.letter.unwrap_or('?');
        format!("{}{letter}", couplet.name())
    }

    /// All that is known of a taxon: its own statements, then those it inherits for characters
    /// that its own account says nothing of. With each, the taxon whose account says it.
    pub fn statements_of(&self, id: TaxonId) -> Vec<(TaxonId, &Statement)> {
        let mut out: Vec<(TaxonId, &Statement)> = Vec::new();
        let mut said = std::collections::BTreeSet::new();
        let mut next = Some(id);
        // The chain is finite even where a faulty file makes it a ring.
        for _ in 0..self.taxa.len() {
            let Some(at) = next else { break };
            let own: Vec<_> = self.taxon(at).own_statements().collect();
            out.extend(own.iter().filter(|s| !said.contains(&s.character)).map(|s| (at, *s)));
            said.extend(own.iter().map(|s| s.character));
            next = self.taxon(at).above;
        }
        out
    }
}
