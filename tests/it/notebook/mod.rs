//! The collector's notebook.

mod desk;
mod fields;
mod git;
mod import;
mod kill;
mod large;
mod ledger;
mod merged;
mod mutated;
mod plug;
mod records;

mod season;

pub use records::read_all;
