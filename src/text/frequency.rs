//! Words of frequency and the one table that says what share of plants each stands for.
//!
//! The ranges of `extremely rarely`, `very rarely`, `rarely`, `often`, `usually`, `almost always`,
//! `perhaps` and `probably` are those of the sample data shipped with the open standard TDWG 116,
//! version 1.1 (illustrative there, not normative). `sometimes`, `occasionally` and `commonly` are
//! defined nowhere that we could read: their ranges are ours, as is the single working figure
//! (`share`) of every row, which lies inside the row's range.

use serde::Serialize;

/// How often a state or value occurs in a taxon, or how sure the writer is of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Frequency {
    ByMisinterpretation,
    ExtremelyRarely,
    VeryRarely,
    Rarely,
    Perhaps,
    Occasionally,
    Sometimes,
    Often,
    Commonly,
    Probably,
    Usually,
    AlmostAlways,
    /// Stated without a word of frequency.
    #[default]
    Stated,
}

/// One row of the table; shares are parts of one.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub frequency: Frequency,
    pub low: f64,
    pub high: f64,
    /// The figure that rankings use.
    pub share: f64,
    /// Whether `low` and `high` are published (TDWG 116 sample data) or our choice.
    pub published: bool,
}

/// The table, least frequent first.
pub const TABLE: [Row; 13] = [
    row(Frequency::ByMisinterpretation, 0.0, 0.0, 0.0, true),
    row(Frequency::ExtremelyRarely, 0.0, 0.01, 0.005, true),
    row(Frequency::VeryRarely, 0.0001, 0.05, 0.02, true),
    row(Frequency::Rarely, 0.0001, 0.15, 0.05, true),
    row(Frequency::Perhaps, 0.0, 0.5, 0.25, true),
    row(Frequency::Occasionally, 0.02, 0.3, 0.1, false),
    row(Frequency::Sometimes, 0.05, 0.5, 0.25, false),
    row(Frequency::Often, 0.2, 0.8, 0.5, true),
    row(Frequency::Commonly, 0.3, 0.9, 0.6, false),
    row(Frequency::Probably, 0.6, 1.0, 0.8, true),
    row(Frequency::Usually, 0.5, 0.999, 0.85, true),
    row(Frequency::AlmostAlways, 0.9, 0.999, 0.97, true),
    row(Frequency::Stated, 1.0, 1.0, 1.0, false),
];

const fn row(frequency: Frequency, low: f64, high: f64, share: f64, published: bool) -> Row {
    Row { frequency, low, high, share, published }
}

impl Frequency {
    pub fn row(self) -> Row {
        TABLE[self as usize]
    }

    /// Whether the word marks an exception (something that most plants do not show).
    pub fn is_exception(self) -> bool {
        self <= Frequency::Occasionally && self != Frequency::Perhaps
    }
}
