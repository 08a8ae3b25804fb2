//! Making and reshaping keys: from a manuscript, from a table, for another place.
//!
//! Knows nothing of a terminal; files come in as bytes and go out as text.

pub mod adopt;
pub mod compare;
pub mod rehearse;
