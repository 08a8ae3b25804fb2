//! The one integration test binary: a module a subject.

mod reading;
mod support;
mod walk;
