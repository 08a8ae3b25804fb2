//! The collector's notebook.

mod desk;
mod disk;
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
mod round;

mod season;
mod slips;

pub use records::read_all;
