//! What it costs to look at a character. All figures are our choice; only their ratios matter.

use std::collections::BTreeSet;

use super::meta::Meta;
use crate::key::character::{Ease, Tool};

/// By the tool: a lens is taken out of the pocket, a dissection spoils a flower, a microscope is
/// at home.
pub fn of_tool(tool: Tool) -> f64 {
    match tool {
        Tool::Eye => 1.0,
        Tool::Lens => 1.5,
        Tool::Dissection => 4.0,
        Tool::Microscope => 10.0,
    }
}

/// By how easily it is told.
pub fn of_ease(ease: Ease) -> f64 {
    match ease {
        Ease::Easy => 1.0,
        Ease::Fair => 1.5,
        Ease::Hard => 3.0,
    }
}

/// Turning to a part of the plant that was not looked at yet.
pub const NEW_PART: f64 = 1.25;

/// The cost of a character, beside those parts that are being looked at already.
pub fn cost(meta: &Meta, looked_at: &BTreeSet<String>) -> f64 {
    let known = |p: &String| looked_at.is_empty() || looked_at.contains(p);
    let part = if meta.part.as_ref().is_none_or(known) { 1.0 } else { NEW_PART };
    of_tool(meta.tool) * of_ease(meta.ease) * part
}
