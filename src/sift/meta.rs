//! What the engine needs of a character beside the accounts: its kind, what it costs to look at,
//! and what it looks like under a condition.

use rust_decimal::Decimal;

use super::cut::Interval;
use crate::key::character::{Ease, Reading as Look, Tool};
use crate::key::statement::{StateSet, Value};
use crate::key::{Character, CharacterId, ConditionId, Kind, StateId};

/// A character, as the compiled table keeps it.
#[derive(Clone, Debug)]
pub struct Meta {
    pub name: String,
    pub part: Option<String>,
    pub tool: Tool,
    pub ease: Ease,
    pub gap: Gap,
    /// What it looks like under each condition that changes it.
    pub looks: Vec<(ConditionId, Look)>,
    /// The characters that it depends on, and the values under which it applies.
    pub applies: Vec<(CharacterId, Value)>,
}

/// What fills the gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gap {
    /// States `0..declared`; looks that are no states follow up to `all`. `ordered` states are
    /// steps.
    States {
        declared: usize,
        all: usize,
        ordered: bool,
    },
    Measure,
    Count,
    Ratio,
}

/// How an account's limits and an observation's are brought together: the account's low limit
/// times `low.0` is compared with the observation times `low.1`, and so for the high one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Factors {
    pub low: (Decimal, Decimal),
    pub high: (Decimal, Decimal),
}

impl Factors {
    pub const NONE: Factors =
        Factors { low: (Decimal::ONE, Decimal::ONE), high: (Decimal::ONE, Decimal::ONE) };

    /// Whether an account's interval, corrected, shares a value with an observed one. Exact.
    pub fn meet(&self, account: &Interval, seen: &Interval) -> bool {
        !account.is_void()
            && !seen.is_void()
            && account.low.compare(self.low.0, seen.high, self.low.1).is_lt()
            && account.high.compare(self.high.0, seen.low, self.high.1).is_gt()
    }

    /// What the account's low and high limits become, for showing: low share, high share.
    pub fn shares(&self) -> (Decimal, Decimal) {
        let share = |(a, b): (Decimal, Decimal)| {
            a.checked_div(b).map_or(Decimal::ONE, |d| d.round_sf(4).unwrap_or(d).normalize())
        };
        (share(self.low), share(self.high))
    }
}

impl Meta {
    pub fn of(character: &Character) -> Meta {
        Meta {
            name: character.name.clone(),
            part: character.part.clone(),
            tool: character.tool,
            ease: character.ease,
            gap: match &character.kind {
                Kind::States { ordered, states, .. } => Gap::States {
                    declared: character.declared(),
                    all: states.len(),
                    ordered: *ordered,
                },
                Kind::Measure { .. } => Gap::Measure,
                Kind::Count => Gap::Count,
                Kind::Ratio { .. } => Gap::Ratio,
            },
            looks: character.readings.iter().map(|(c, l, _)| (*c, l.clone())).collect(),
            applies: character.applies.iter().map(|s| (s.character, s.value.clone())).collect(),
        }
    }

    /// A character with `states` states and nothing else said of it, for tables without a key.
    pub fn of_states(name: impl Into<String>, states: usize) -> Meta {
        Meta::plain(name, Gap::States { declared: states, all: states, ordered: false })
    }

    /// A measure, count or ratio with nothing else said of it, for tables without a key.
    pub fn plain(name: impl Into<String>, gap: Gap) -> Meta {
        Meta {
            name: name.into(),
            part: None,
            tool: Tool::Eye,
            ease: Ease::Fair,
            gap,
            looks: Vec::new(),
            applies: Vec::new(),
        }
    }

    /// How many states accounts and observations may name; 0 for numbers.
    pub fn states(&self) -> usize {
        match self.gap {
            Gap::States { all, .. } => all,
            _ => 0,
        }
    }

    fn look(&self, condition: ConditionId) -> Option<&Look> {
        self.looks.iter().find(|(c, _)| *c == condition).map(|(_, l)| l)
    }

    /// Whether nothing of it can be seen under a condition.
    pub fn is_lost(&self, condition: ConditionId) -> bool {
        matches!(self.look(condition), Some(Look::CannotBeSeen))
    }

    /// What a fresh state may look like under a condition.
    pub fn looks_like(&self, condition: ConditionId, state: StateId) -> StateSet {
        match self.look(condition) {
            Some(Look::Looks(by_state)) => {
                by_state.get(state.0 as usize).cloned().unwrap_or_else(|| StateSet::of([state]))
            }
            _ => StateSet::of([state]),
        }
    }

    /// What may be seen at all under a condition: on fresh plants the declared states.
    pub fn visible(&self, condition: ConditionId) -> StateSet {
        let Gap::States { declared, .. } = self.gap else { return StateSet::default() };
        let mut out = StateSet::default();
        for s in StateSet::first(declared).iter() {
            out.extend(&self.looks_like(condition, s));
        }
        out
    }

    /// What a state of an account, described under one condition, may look like under another.
    pub fn seen_as(&self, state: StateId, described: ConditionId, seen: ConditionId) -> StateSet {
        if described == seen {
            return StateSet::of([state]);
        }
        let mut out = StateSet::default();
        for fresh in self.fresh(state, described).iter() {
            out.extend(&self.looks_like(seen, fresh));
        }
        out
    }

    /// The fresh states that look like `state` under the condition of description.
    pub fn fresh(&self, state: StateId, described: ConditionId) -> StateSet {
        if !matches!(self.look(described), Some(Look::Looks(_))) {
            return StateSet::of([state]);
        }
        let looks_so = |f: &StateId| self.looks_like(described, *f).contains(state);
        let fresh = StateSet::of(StateSet::first(self.states()).iter().filter(looks_so));
        // A look that no state has is taken as it stands.
        if fresh.is_empty() { StateSet::of([state]) } else { fresh }
    }

    /// The states of accounts that fit what was seen: those that may look like one of them.
    pub fn fitting(
        &self,
        seen: &StateSet,
        described: ConditionId,
        condition: ConditionId,
    ) -> StateSet {
        let changes = |c| matches!(self.look(c), Some(Look::Looks(_)));
        if described == condition || !(changes(described) || changes(condition)) {
            return seen.clone();
        }
        let all = StateSet::first(self.states());
        let mut out = StateSet::default();
        let mut orphans = all.clone();
        for fresh in all.iter() {
            let written = self.looks_like(described, fresh);
            if self.looks_like(condition, fresh).overlaps(seen) {
                out.extend(&written);
            }
            orphans.remove(&written);
        }
        out.extend(&StateSet::of(
            orphans.iter().filter(|s| self.looks_like(condition, *s).overlaps(seen)),
        ));
        out
    }

    /// How measures described under one condition compare with those seen under another.
    pub fn factors(&self, described: ConditionId, condition: ConditionId) -> Factors {
        if described == condition {
            return Factors::NONE;
        }
        let share = |c: ConditionId| match self.look(c) {
            Some(Look::Factor(low, high)) => (*low, *high),
            _ => (Decimal::ONE, Decimal::ONE),
        };
        let (seen, written) = (share(condition), share(described));
        // The fresh low limit is at least the described one over the highest share.
        Factors { low: (seen.0, written.1), high: (seen.1, written.0) }
    }
}
