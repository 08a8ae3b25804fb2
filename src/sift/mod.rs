//! Observations against a key: agreement and misfits, ranking, the next question, explanation.
//!
//! Pure: knows nothing of a terminal, of files or of who asks. A [`Table`] is compiled from a key
//! once; everything else is a function of it and of what was seen.

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
pub mod meta;
pub mod missing;
pub mod next;
pub mod numbers;
pub mod observation;
mod partial;
mod paths;
pub mod plan;
mod planes;
pub mod prior;
pub mod query;
pub mod rank;
mod reading;
pub mod report;
pub mod shares;
pub mod specimen;
pub mod split;
pub mod suggest;
pub mod table;
pub mod tell;
mod unread;
pub mod verdict;
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
pub use plan::{Plan, plan};
pub use prior::Prior;
pub use query::{Query, Silent};
pub use rank::{Assumptions, Ranking, rank};
pub use reading::read_observation;
pub use specimen::{Hidden, Specimen};
pub use suggest::{Completion, suggest};
pub use table::{Cell, Table};
pub use unread::Unread;
pub use verdict::{Verdict, verdict};
