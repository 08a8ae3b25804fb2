//! The collector's notebook.

mod desk;
mod fields;
mod git;
mod import;
mod json;
mod kill;
mod large;
mod ledger;
mod plug;
mod records;
mod resumed;

mod season;

pub use records::read_all;
