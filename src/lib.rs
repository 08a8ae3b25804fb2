//! Reads plant identification keys written as plain text, proves them sound, and names plants
//! with them.
//!
//! The rooms, in the order in which data flows; each uses only what stands above it:
//! [`text`] a key as text, [`key`] a key as meaning, [`sift`] observations against a key,
//! [`check`] a key under examination, [`walk`] a determination step by step, [`craft`] making
//! and reshaping keys, [`notebook`] the collector's ledger, [`publish`] what people print, open or exchange, [`cli`] the commands.
//!
//! # A key read, examined and walked
//!
//! ```
//! use hilum::check::{Options, examine};
//! use hilum::key::{Key, Library};
//! use hilum::text::language::Language;
//! use hilum::text::source::Source;
//! use hilum::walk::{Answer, Walk};
//!
//! let text = "\
//! Key to three weeds
//!
//! key
//!
//! 1a  Sap milky ................ 2
//! 1b  Sap clear ................ Centaurea cyanus
//! 2a  Petals red ............... Papaver rhoeas
//! 2b  Petals orange ............ Papaver dubium
//! ";
//! let key = Key::read(Source::new("three.key", text));
//! assert!(key.findings.is_empty(), "nothing is wrong with its form");
//! let report = examine(&key, &Options::default());
//! assert_eq!(report.counts().errors, 0);
//! assert_eq!(report.figures.end_points, 3);
//!
//! let library = Library::of(key);
//! let mut walk = Walk::new(&library);
//! for lead in [0, 1] {
//!     let stand = walk.view().asked.expect("a couplet is asked").stand;
//!     walk.answer(stand, Answer::Lead { lead });
//! }
//! let view = walk.view();
//! assert!(view.asked.is_none());
//! let names = &walk.report(&view, Language::english()).ends[0].names;
//! assert_eq!(names, &["Papaver dubium"]);
//! walk.undo();
//! assert!(walk.view().asked.is_some(), "the last answer is taken back");
//! ```

pub mod text;

pub mod key;

pub mod sift;

pub mod check;

pub mod walk;

pub mod craft;

pub mod notebook;

pub mod publish;

pub mod cli;
