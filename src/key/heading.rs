//! What the head of a key file says of it.

use super::character::ConditionId;
use super::couplet::Intended;
use crate::text::language::Language;
use crate::text::span::Span;

/// The title and the properties under it.
#[derive(Clone, Debug)]
pub struct Heading {
    pub title: String,
    pub place: Option<String>,
    /// `3, 2026-05-02`: as written.
    pub issue: Option<String>,
    pub by: Vec<String>,
    /// The condition in which the accounts were measured; fresh where nothing is said.
    pub described: ConditionId,
    pub language: &'static Language,
    /// Files whose keys this one points into.
    pub uses: Vec<String>,
    pub season: Option<String>,
    pub source: Vec<String>,
    pub licence: Option<String>,
    /// The house styles that `check` applies.
    pub profile: Vec<String>,
    /// Where each of them stands.
    pub profile_places: Vec<Span>,
    pub cautions: Vec<String>,
    pub remarks: Vec<String>,
    /// Answers that hold for the whole file.
    pub intended: Vec<Intended>,
}
