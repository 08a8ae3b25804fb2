//! A key as meaning: characters, statements, couplets, taxa, and the graph of couplets.
//!
//! Built from a syntax tree by [`Key::read`]; never fails, and says what could not be read. Knows
//! nothing of specimens, of a terminal or of files.

pub mod bundled;
pub mod character;
pub mod couplet;
pub mod figures;
pub mod graph;
pub mod heading;
pub mod lexicon;
pub mod library;
pub mod model;
pub mod read;
pub mod say;
pub mod statement;
pub mod taxon;

pub use character::{Character, CharacterId, Condition, ConditionId, Kind, State, StateId};
pub use couplet::{Couplet, CoupletId, Lead, LeadId, Outcome, Subkey, SubkeyId};
pub use figures::Figures;
pub use graph::Graph;
pub use heading::Heading;
pub use library::{Library, Onward, Stand};
pub use model::{Key, Share};
pub use statement::{Part, StateSet, Statement, Value};
pub use taxon::{Taxon, TaxonId, Term};
