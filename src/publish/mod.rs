//! What people print, open or exchange.

pub mod darwin_core;
pub mod escape;
pub mod label;
pub mod pdf;
pub mod report;
pub mod sarif;
pub mod specimen_page;
