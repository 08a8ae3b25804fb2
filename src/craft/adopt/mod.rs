//! A printed or typed key becomes a key file, and what the manuscript itself has wrong is told.
//!
//! A file is read as lines ([`input`]); running heads and the like are set aside ([`book`]); every
//! layout that its labels allow is tried, and the one that explains the text best is taken
//! ([`recognise`]); its leads become couplets with the format's own labels ([`write`]). Nothing is
//! put right silently, and every word is in the key or in the list of what was left out.

mod account;
mod answers;
mod assemble;
mod book;
mod build;
pub mod characters;
mod couplet_heads;
mod decimal;
mod draft;
mod faults;
mod genus;
mod indents;
pub mod input;
mod join;
mod languages;
pub mod layout;
mod line;
mod mark;
mod name;
mod noise;
mod number;
mod odd;
mod outcome;
mod pieces;
mod placed;
mod pointer;
mod read_lead;
mod recognise;
pub mod report;
mod score;
mod sequence;
mod write;

pub use draft::{Oddity, Repair};
pub use line::Kind;
pub use recognise::{Adopted, Options, Refusal, adopt};
pub use score::Score;
