//! Proof of what is reasoned over routes: against brute force, outside values and planted faults.

mod broken_off;
mod brute;
mod bundled_faults;
mod circles;
mod faults;
mod measures;
mod outside;
mod rehearsed;
pub mod small;
