//! The one integration test binary: a module a subject.

mod answers;
mod check_command;
mod figures;
mod graph;
mod house;
mod notation;
mod reading;
mod readme;
mod rules;
mod support;
mod walk;
