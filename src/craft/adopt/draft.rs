//! A key as it was found in a manuscript, before it is numbered and written.

use super::report::LeftOut;

/// A piece of one line that belongs to one lead.
#[derive(Clone, Debug, PartialEq)]
pub struct Frag {
    /// Index of the line in the book.
    pub line: usize,
    /// With marks of emphasis; no blanks at the ends.
    pub text: String,
    pub indent: usize,
    /// The column in which its first character stands.
    pub column: usize,
    pub apart: bool,
}

/// A pointer as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pointer {
    pub number: u32,
    pub capital: Option<char>,
    pub lead: Option<u8>,
    /// As printed.
    pub written: String,
    /// It was read with I, l or O for a figure.
    pub slip: bool,
}

/// Where a lead goes, by what its text says.
#[derive(Clone, Debug, PartialEq)]
pub enum Goes {
    Pointer(Pointer),
    /// Names of taxa, ready to be written, parted by `or`.
    Names(Vec<String>),
    /// An entry into another key: its name as printed, the place in it, all the words.
    Key {
        name: String,
        at: Option<String>,
        words: String,
    },
    /// No name: the reason.
    Stop(String),
    /// To the couplet that follows it in a nested key: index among the draft's couplets.
    Child(usize),
    Nowhere,
}

/// One lead of a draft.
#[derive(Clone, Debug)]
pub struct DraftLead {
    /// The label as printed; empty where there is none.
    pub label: String,
    pub back: Vec<String>,
    /// The statements, joined.
    pub text: String,
    pub goes: Goes,
    /// What was printed where the lead goes, joined.
    pub tail: String,
    /// Said of the outcome, but no part of it in the format: goes under the lead.
    pub remarks: Vec<String>,
    /// Numbers of the manuscript's lines.
    pub lines: Vec<u32>,
    /// Alphanumeric characters that were printed in it, for the account of words.
    pub letters: String,
}

#[derive(Clone, Debug)]
pub struct DraftCouplet {
    /// The number as printed, where it has one: number, capital.
    pub id: Option<(u32, Option<char>)>,
    pub leads: Vec<DraftLead>,
}

#[derive(Clone, Debug, Default)]
pub struct DraftKey {
    /// The heading that stands before it.
    pub title: Option<String>,
    pub title_line: u32,
    /// Index of that line in the book: two titles may stand in one line of a file.
    pub title_at: Option<usize>,
    pub couplets: Vec<DraftCouplet>,
    /// Whether its couplets follow each other by order rather than by pointers.
    pub nested: bool,
}

/// Something that was put right, or read in one of several possible ways.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Repair {
    pub line: u32,
    /// What kind: a join of a hyphen, a slip of the scan, a name's form, ...
    pub kind: &'static str,
    pub what: String,
}

/// A fault of the manuscript that only its own text shows.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Oddity {
    pub line: u32,
    pub rule: &'static str,
    pub what: String,
    pub remedy: String,
}

#[derive(Clone, Debug, Default)]
pub struct Draft {
    pub keys: Vec<DraftKey>,
    pub title: Option<String>,
    pub title_line: u32,
    pub title_at: Option<usize>,
    pub left: Vec<LeftOut>,
    pub repairs: Vec<Repair>,
    pub oddities: Vec<Oddity>,
    /// Labels that did not follow in sequence, of all.
    pub odd_labels: usize,
    pub labels: usize,
    /// Leads in which a line that had room left goes on with a capital: two leads read as one.
    pub run_together: usize,
    /// Letters that stand behind the outcomes of leads.
    pub behind: usize,
}

impl Draft {
    pub fn couplets(&self) -> impl Iterator<Item = &DraftCouplet> {
        self.keys.iter().flat_map(|k| &k.couplets)
    }

    pub fn leads(&self) -> impl Iterator<Item = &DraftLead> {
        self.couplets().flat_map(|c| &c.leads)
    }
}
