//! The collector's notebook: a ledger of gatherings, their parts, what was seen, and every name.
//!
//! A folder of plain YAML documents, appended to and never rewritten; what a specimen *is* now
//! is folded from all that was ever written of it. Knows nothing of a terminal or of print.

pub mod altitude;
pub mod coordinates;
pub mod date;
pub mod fault;
pub mod number;
pub mod record;
pub mod stream;
pub mod value;
pub mod yaml;
