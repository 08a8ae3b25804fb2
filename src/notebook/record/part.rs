//! A part kept under a gathering's number: a sheet, a seed packet, a block of wood.

use super::field::fields;

fields! {
    /// One part, or several alike.
    pub struct Part {
        required {
            /// `sheet`, `seed packet`, `fruit box`, `wood block`, ... see [`USUAL`]; any word goes.
            what: String = "what",
        }
        /// How many alike; one where nothing is said.
        count: Option<u32> = "count",
        /// pressed, dried, in 70 % alcohol, charred ...
        condition: Option<String> = "condition",
        /// Where it lies.
        store: Option<String> = "store",
        /// What became of it, see [`STATUS`]; in the collection where nothing is said.
        status: Option<String> = "status",
        /// Herbaria or people that hold duplicates.
        sent_to: Vec<String> = "sent to",
        /// From how many plants it was taken.
        individuals: Option<u32> = "individuals",
        /// Seeds or fruits are ripe.
        ripe: bool = "ripe",
        remarks: Option<String> = "remarks",
    }
}

/// The parts that a reference collection keeps.
pub const USUAL: &[&str] = &[
    "sheet",
    "seed packet",
    "fruit box",
    "wood block",
    "bark",
    "spirit",
    "phytolith sample",
    "DNA sample",
];

/// What may have become of a part (Darwin Core `disposition`, 2026-05-26), the first by default.
pub const STATUS: &[&str] =
    &["in collection", "missing", "on loan", "used up", "destroyed", "deaccessioned"];

impl Part {
    pub fn how_many(&self) -> u32 {
        self.count.unwrap_or(1)
    }

    /// What became of it, in the standard's words where they were used.
    pub fn standing(&self) -> &str {
        self.status.as_deref().unwrap_or(STATUS[0])
    }

    /// Whether it can be looked at: neither missing nor used up nor gone.
    pub fn is_at_hand(&self) -> bool {
        matches!(self.standing(), "in collection" | "on loan")
    }
}
