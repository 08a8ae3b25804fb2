//! Observations against a key: agreement and misfits, ranking, the next question, explanation.
//!
//! Pure: knows nothing of a terminal, of files or of who asks. A [`Table`] is compiled from a key
//! once; everything else is a function of it and of what was seen.
//!
//! # From what was seen to names, and to what to look at next
//!
//! ```
//! use hilum::key::{ConditionId, bundled};
//! use hilum::sift::{
//!     Assumptions, Prior, Specimen, Table, agree, missing, next_questions, rank,
//!     read_observation, verdict,
//! };
//!
//! let key = bundled::find("field-weeds").expect("it is inside the library").key();
//! let table = Table::of(&key);
//! let lexicon = key.lexicon();
//! let seen = read_observation(&key, &lexicon, "petals red; sap milky", ConditionId::FRESH)?;
//!
//! let agreement = agree(&table, &seen, 1);
//! let names: Vec<&str> = agreement
//!     .agreeing()
//!     .iter()
//!     .map(|row| key.taxon(table.taxon(row)).name.as_str())
//!     .collect();
//! assert!(names.contains(&"Papaver rhoeas"));
//!
//! let specimen = Specimen::default();
//! let prior = Prior::of(&key, &table, &specimen);
//! let ranking = rank(&table, &seen, &prior, &Assumptions::default());
//! let sum: f64 = (0..table.rows()).map(|row| ranking.probability(row)).sum();
//! assert!((sum + ranking.none - 1.0).abs() < 1e-9, "none of these is among them");
//!
//! let left = agreement.agreeing();
//! let weight = |row| ranking.probability(row);
//! for question in next_questions(&table, left, weight, &seen, &specimen).iter().take(2) {
//!     println!("{}", key.character(question.character).sentence);
//! }
//! // Whether what is at hand can settle it at all; `None` where too many are left to say.
//! let _ = missing(&table, left, weight, &seen, &specimen).settles;
//! println!("{}", verdict(&table, &seen, &agreement, &ranking).word());
//! # Ok::<(), hilum::sift::Unread>(())
//! ```

pub mod about;
pub mod account;
pub mod agree;
pub mod apart;
pub mod bits;
pub mod cost;
pub mod cover;
pub mod cut;
pub mod describe;
pub mod evidence;
pub mod explain;
mod figures;
mod halve;
mod loose;
pub mod meta;
pub mod missing;
pub mod next;
pub mod numbers;
pub mod observation;
pub mod once;
mod partial;
mod paths;
pub mod plan;
mod planes;
pub mod prior;
pub mod query;
pub mod rank;
mod reading;
mod recurring;
pub mod report;
pub mod series;
pub mod shares;
pub mod specimen;
pub mod split;
pub mod suggest;
pub mod table;
pub mod tell;
mod unread;
pub mod verdict;
mod weigh;
pub mod weights;
pub mod words;

pub use account::{Accounts, Entry, Known, Origin};
pub use agree::{Agreement, agree, chance_kept, misfits_of};
pub use describe::{Checked, Standing, describe};
pub use explain::{Correction, Explanation, Fit, Judgement, explain};
pub use meta::{Gap, Meta};
pub use missing::{Missing, NoteFresh, Want, Wanted, before_pressing, missing};
pub use next::{Answer, AnswerValue, Question, next_questions};
pub use observation::{Doubt, Observation, Reading, Seen};
pub use once::once;
pub use plan::{Plan, plan};
pub use prior::Prior;
pub use query::{Query, Silent};
pub use rank::{Assumptions, Ranking, rank};
pub use reading::read_observation;
pub use series::{Found, Series};
pub use specimen::{Hidden, Specimen};
pub use suggest::{Completion, suggest};
pub use table::{Cell, Table};
pub use unread::Unread;
pub use verdict::{Verdict, verdict};
