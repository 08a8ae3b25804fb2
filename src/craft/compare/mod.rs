//! Two issues of a key compared: what was reworded, added, dropped, renamed and renumbered, whose
//! route changed, and the corrections fit for printing.
//!
//! Compared is what the key says, not how the page is laid out: blanks, line breaks, rows of dots
//! and comments do not count. A couplet is known again by its wording and by its place in the tree,
//! never by its number alone.

mod accounts;
mod corrections;
mod couplets;
mod declared;
mod names;
mod notes;
mod numbers;
mod pairs;
mod routes;
mod side;
mod words;

use serde::Serialize;

use crate::key::{CoupletId, Key, LeadId, TaxonId};
use crate::text::parse::parse;

use names::Names;
use pairs::Pairs;
use side::Side;

pub use corrections::{Corrections, corrections, readings};
pub use routes::{Route, RouteChange};

/// How sure it is that a thing of the old issue is a thing of the new one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sure {
    /// The same words (of a name: the key itself says so).
    Certain,
    /// Most of the words, or some of them at the same place.
    Likely,
    /// Little more than the same place.
    Possible,
}

/// What a change is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Subject {
    Heading,
    Condition,
    Character,
    State,
    Term,
    /// A key of the file: `key to the poppies`.
    Key,
    Couplet,
    /// The statements of a lead, or what stands under it.
    Lead,
    /// Where a lead goes.
    Outcome,
    Taxon,
    Account,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Done {
    Added,
    Dropped,
    Renamed,
    Changed,
    /// In another order, or in another key of the file.
    Moved,
}

/// One change.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    pub subject: Subject,
    pub done: Done,
    /// The name of what is changed: as the old issue has it, of what was added as the new one has.
    pub name: String,
    /// The name in the new issue, where it is another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new_name: Option<String>,
    /// Which of its properties, in the key's own word; none where it is the thing itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub now: Option<String>,
    /// Lines in the two files, counted from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub old_line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub new_line: Option<usize>,
    pub sure: Sure,
    /// Of a couplet or lead: where it stands in the old issue, and in the new one.
    #[serde(skip)]
    pub old: Option<LeadId>,
    #[serde(skip)]
    pub new: Option<LeadId>,
}

impl Change {
    fn new(subject: Subject, done: Done, name: impl Into<String>) -> Change {
        Change {
            subject,
            done,
            name: name.into(),
            new_name: None,
            part: None,
            was: None,
            now: None,
            old_line: None,
            new_line: None,
            sure: Sure::Certain,
            old: None,
            new: None,
        }
    }

    fn at(mut self, old: Option<LeadId>, new: Option<LeadId>) -> Change {
        (self.old, self.new) = (old, new);
        self
    }

    fn was_now(mut self, was: Option<&str>, now: Option<&str>) -> Change {
        self.was = was.map(str::to_string);
        self.now = now.map(str::to_string);
        self
    }

    fn lines(mut self, old: Option<usize>, new: Option<usize>) -> Change {
        self.old_line = old;
        self.new_line = new;
        self
    }

    fn part(mut self, part: &str) -> Change {
        self.part = Some(part.to_string());
        self
    }

    fn named_now(mut self, name: String) -> Change {
        if name != self.name {
            self.new_name = Some(name);
        }
        self
    }

    fn sure(mut self, sure: Sure) -> Change {
        self.sure = sure;
        self
    }
}

/// A couplet that bears another number, or stands in another key of the file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Renumbered {
    pub old: String,
    pub new: String,
    pub sure: Sure,
}

/// All that differs between two issues.
#[derive(Clone, Debug, Serialize)]
pub struct Comparison {
    pub changes: Vec<Change>,
    pub renumbered: Vec<Renumbered>,
    /// Taxa whose route changed, in the order of the old issue, then the new ones.
    pub routes: Vec<RouteChange>,
    /// Couplets of the old issue, how many of them are in the new one, and how surely.
    pub couplets: Matched,
    #[serde(skip)]
    pairs: Pairs,
    #[serde(skip)]
    names: Names,
}

/// How the couplets were known again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Matched {
    pub old: usize,
    pub new: usize,
    pub certain: usize,
    pub likely: usize,
    pub possible: usize,
}

impl Comparison {
    /// Nothing was changed, not even a number.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty() && self.renumbered.is_empty()
    }

    /// The couplet of the new issue that is this one of the old.
    pub fn couplet(&self, old: CoupletId) -> Option<CoupletId> {
        self.pairs.couplet(old)
    }

    /// The lead of the new issue that is this one of the old.
    pub fn lead(&self, old: LeadId) -> Option<LeadId> {
        self.pairs.lead(old)
    }

    /// The taxon of the new issue that is this one of the old, perhaps under another name.
    pub fn taxon(&self, old: TaxonId) -> Option<TaxonId> {
        self.names.new_of(old)
    }
}

/// Compares two issues of a key.
pub fn compare(old: &Key, new: &Key) -> Comparison {
    let trees = (parse(old.source.clone()).tree, parse(new.source.clone()).tree);
    let (a, b) = (Side::of(old, &trees.0), Side::of(new, &trees.1));
    let mut names = Names::of(&a, &b);
    let pairs = Pairs::of(&a, &b, &names);
    names.by_place(&a, &b, &pairs);
    let mut changes = Vec::new();
    notes::heading(&a, &b, &mut changes);
    declared::conditions(&a, &b, &mut changes);
    declared::characters(&a, &b, &mut changes);
    declared::terms(&a, &b, &mut changes);
    couplets::changes(&a, &b, &pairs, &names, &mut changes);
    accounts::changes(&a, &b, &names, &mut changes);
    let routes = routes::routes(&a, &b, &pairs, &names);
    Comparison {
        changes,
        renumbered: pairs.renumbered(&a, &b),
        routes,
        couplets: pairs.matched(&a, &b),
        pairs,
        names,
    }
}
