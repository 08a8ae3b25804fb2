//! Proof of what is reasoned over routes: against brute force, outside values and planted faults.

mod brute;
pub mod small;
