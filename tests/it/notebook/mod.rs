//! The collector's notebook.

mod desk;
mod fields;
mod import;
mod kill;
mod large;
mod ledger;
mod plug;
mod records;

pub use records::read_all;
