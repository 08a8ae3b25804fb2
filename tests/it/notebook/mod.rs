//! The collector's notebook.

mod fields;
mod ledger;
mod records;
