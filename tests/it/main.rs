//! The one integration test binary: a module a subject.

mod adopt;
mod adopt_command;
mod adopt_files;
mod adopt_round;
mod answers;
mod bundled;
mod check_command;
mod darwin_core;
mod figures;
mod generate;
mod graph;
mod house;
mod labels;
mod meaning;
mod months;
mod names;
mod notation;
mod notebook;
mod prove;
mod reading;
mod readme;
mod rules;
mod sift;
mod support;
mod tidy;
mod walk;
