//! The one integration test binary: a module a subject.

mod reading;
mod rules;
mod support;
mod walk;
