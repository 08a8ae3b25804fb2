//! What simulated readers have in hand: which characters of a taxon they can look at.

use std::collections::BTreeSet;

use crate::check::study::organs::{Organ, organ_of, organ_of_prose, organs};
use crate::key::character::Tool;
use crate::key::{CharacterId, ConditionId, Key, LeadId, TaxonId};
use crate::sift::meta::Meta;
use crate::text::language::fold;

/// The specimens of a rehearsal.
#[derive(Clone, Debug)]
pub struct Specimens {
    /// Parts that they lack, in the key's own words or as `leaf`, `flower`, `fruit`, `stem`,
    /// `root`.
    pub missing: Vec<String>,
    /// In which condition they are.
    pub condition: ConditionId,
    /// The best tool at hand.
    pub tool: Tool,
    /// The month of gathering, 1 to 12: plants whose account says when they flower or fruit have
    /// flowers or fruits only then.
    pub month: Option<u8>,
}

impl Default for Specimens {
    fn default() -> Specimens {
        Specimens {
            missing: Vec::new(),
            condition: ConditionId::FRESH,
            tool: Tool::Microscope,
            month: None,
        }
    }
}

impl Specimens {
    /// The characters that cannot be looked at on a plant of a taxon.
    pub fn hidden(&self, key: &Key, taxon: TaxonId) -> BTreeSet<CharacterId> {
        let organs = organs(key);
        let lacking = self.lacking(key, taxon);
        let hides = |id: &CharacterId| {
            let character = key.character(*id);
            let part = character.part.as_deref().map(fold);
            let missing = |m: &String| part.as_deref() == Some(fold(m).as_str());
            character.tool > self.tool
                || Meta::of(character).is_lost(self.condition)
                || self.missing.iter().any(missing)
                || lacking.contains(&organs[id.0 as usize])
        };
        key.character_ids().filter(hides).collect()
    }

    /// Whether something of what was left unread in a lead can be looked at.
    pub fn shows_prose(&self, key: &Key, lead: LeadId, taxon: TaxonId) -> bool {
        let lacking = self.lacking(key, taxon);
        let mut prose = key.lead(lead).parts.iter().filter(|p| p.prose.is_some());
        prose.any(|p| !lacking.contains(&organ_of_prose(key, p)))
    }

    fn lacking(&self, key: &Key, taxon: TaxonId) -> BTreeSet<Organ> {
        let mut out: BTreeSet<Organ> = self.missing.iter().filter_map(|m| organ_of(m)).collect();
        if let Some(month) = self.month {
            let taxon = key.taxon(taxon);
            for (months, organ) in [(&taxon.flowers, Organ::Flower), (&taxon.fruits, Organ::Fruit)]
            {
                if !months.is_empty() && !months.contains(&month) {
                    out.insert(organ);
                }
            }
        }
        out
    }
}
