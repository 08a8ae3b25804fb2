//! The one integration test binary: a module a subject.

mod darwin_core;
mod figures;
mod generate;
mod house;
mod meaning;
mod notation;
mod reading;
mod readme;
mod rules;
mod darwin_core;
mod labels;
mod names;
mod notation;
mod notebook;
mod reading;
mod readme;
mod rules;
mod support;
mod tidy;
mod walk;
