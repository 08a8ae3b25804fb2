//! The collector's notebook: a ledger of gatherings, their parts, what was seen, and every name.
//!
//! A folder of plain YAML documents, appended to and never rewritten; what a specimen *is* now
//! is folded from all that was ever written of it. Knows nothing of a terminal or of print.

pub mod altitude;
pub mod append;
pub mod audit;
pub mod catalogue;
pub mod caution;
pub mod collection;
pub mod coordinates;
pub mod date;
pub mod desk;
pub mod digest;
pub mod disk;
pub mod fault;
pub mod import;
mod index;
pub mod ledger;
pub mod number;
pub mod numbering;
pub mod record;
pub mod scan;
pub mod search;
pub mod settings;
pub mod specimen;
pub mod stage;
pub mod stream;
pub mod value;
pub mod yaml;
