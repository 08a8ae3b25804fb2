//! The one integration test binary: a module a subject.

mod months;
mod notation;
mod notation_properties;
mod ratio;
mod support;
