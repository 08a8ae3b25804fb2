//! The one integration test binary: a module a subject.

mod figures;
mod house;
mod notation;
mod readme;
mod reading;
mod rules;
mod support;
mod walk;
