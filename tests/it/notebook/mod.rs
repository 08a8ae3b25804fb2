//! The collector's notebook.

mod fields;
mod records;
