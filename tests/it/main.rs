//! The one integration test binary: a module a subject.

mod adopt;
mod adopt_files;
mod adopt_round;
mod figures;
mod house;
mod notation;
mod reading;
mod readme;
mod rules;
mod support;
mod walk;
