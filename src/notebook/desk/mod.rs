//! Specimens and keys at the desk: naming from what was recorded, naming again when a key was
//! corrected, and what to look at before leaving the site.

pub mod again;
mod ask;
pub mod evidence;
pub mod leads;
pub mod leaving;
pub mod named;

pub use again::{Again, Outcome, again};
pub use evidence::{Evidence, Ready};
pub use leaving::{Leaving, leaving};
