//! The one integration test binary: a module a subject.

mod adopt;
mod adopt_files;
mod adopt_round;
mod figures;
mod generate;
mod house;
mod meaning;
mod notation;
mod reading;
mod readme;
mod rules;
mod support;
mod tidy;
mod walk;
