//! The one integration test binary: a module a subject.

mod adopt;
mod adopt_command;
mod adopt_files;
mod adopt_round;
mod answers;
mod bundled;
mod check_command;
mod compare;
mod darwin_core;
mod figures;
mod generate;
mod graph;
#[path = "../benches/grown.rs"]
mod grown;
mod house;
mod labels;
mod meaning;
mod months;
mod names;
mod notation;
mod notation_properties;
mod notebook;
mod prove;
mod ratio;
mod reading;
mod readme;
mod report;
mod rules;
mod sarif;
mod seeded_wording;
mod sift;
mod support;
mod tidy;
mod walk;
mod wording_rates;
