//! A printed or typed key becomes a key file, and what the manuscript itself has wrong is told.

pub mod book;
pub mod input;
pub mod layout;
pub mod line;
pub mod mark;
pub mod report;
pub mod sequence;
