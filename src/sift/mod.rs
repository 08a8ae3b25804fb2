//! Observations against a key: agreement and misfits, ranking, the next question, explanation.
//!
//! Pure: knows nothing of a terminal, of files or of who asks. A [`Table`] is compiled from a key
//! once; everything else is a function of it and of what was seen.

pub mod about;
pub mod account;
pub mod agree;
pub mod bits;
pub mod cut;
pub mod meta;
pub mod numbers;
pub mod observation;
mod paths;
mod planes;
pub mod query;
pub mod shares;
pub mod specimen;
pub mod table;

pub use account::{Accounts, Entry, Known, Origin};
pub use agree::{Agreement, agree, chance_kept, misfits_of};
pub use meta::{Gap, Meta};
pub use observation::{Doubt, Observation, Reading, Seen};
pub use query::{Query, Silent};
pub use specimen::{Hidden, Specimen};
pub use table::{Cell, Table};
