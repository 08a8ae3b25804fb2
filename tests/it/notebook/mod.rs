//! The collector's notebook.

mod desk;
mod disk;
mod fields;
mod git;
mod import;
mod json;
mod kill;
mod large;
mod ledger;
mod merged;
mod mutated;
mod plug;
mod records;
mod resumed;
mod round;

mod season;
mod slips;
mod ways;

pub use records::read_all;
pub use season::KEY;
