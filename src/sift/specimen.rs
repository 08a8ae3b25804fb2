//! The specimen in hand: its parts, its condition, the tools at hand, where and when it grew.

use std::collections::BTreeSet;

use super::meta::Meta;
use crate::key::ConditionId;
use crate::key::character::Tool;

/// A specimen, as far as it is known beside its characters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Specimen {
    /// The condition in which it is now.
    pub condition: ConditionId,
    /// Parts that it bears, in the key's words; `None`: not said, so every part is looked for
    /// unless it is in `absent`.
    pub borne: Option<BTreeSet<String>>,
    /// Parts that it lacks.
    pub absent: BTreeSet<String>,
    /// The tools at hand.
    pub tools: BTreeSet<Tool>,
    /// Words for the place where it grew: `barley`, `roadside`.
    pub place: Vec<String>,
    /// The month in which it was gathered, 1 to 12.
    pub month: Option<u8>,
    /// It bears flowers, or fruits, so that the month can speak.
    pub in_flower: bool,
    pub in_fruit: bool,
}

impl Default for Specimen {
    fn default() -> Specimen {
        Specimen {
            condition: ConditionId::FRESH,
            borne: None,
            absent: BTreeSet::new(),
            tools: Tool::ALL.iter().map(|(t, _)| *t).collect(),
            place: Vec::new(),
            month: None,
            in_flower: false,
            in_fruit: false,
        }
    }
}

/// Why a character cannot be looked at on a specimen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hidden {
    /// The specimen lacks the part.
    PartMissing,
    /// It cannot be seen in this condition.
    LostInCondition,
    /// The tool is not at hand.
    ToolMissing,
}

impl Specimen {
    /// A specimen in a condition, with everything else left open.
    pub fn in_condition(condition: ConditionId) -> Specimen {
        Specimen { condition, ..Specimen::default() }
    }

    /// Whether it bears a part, as far as is known. A character without a part can always be
    /// looked at.
    pub fn bears(&self, part: Option<&str>) -> bool {
        let Some(part) = part else { return true };
        match &self.borne {
            Some(borne) => borne.contains(part) && !self.absent.contains(part),
            None => !self.absent.contains(part),
        }
    }

    /// What hides a character on this specimen; `None` where it can be looked at.
    pub fn hides(&self, meta: &Meta) -> Option<Hidden> {
        if !self.bears(meta.part.as_deref()) {
            Some(Hidden::PartMissing)
        } else if meta.is_lost(self.condition) {
            Some(Hidden::LostInCondition)
        } else if !self.tools.contains(&meta.tool) {
            Some(Hidden::ToolMissing)
        } else {
            None
        }
    }
}
