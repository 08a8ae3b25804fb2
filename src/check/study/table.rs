//! The table of taxa by outcomes: where the plants of every account end.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::check::Examination;
use crate::check::reason::courses::Run;
use crate::check::reason::words::{listed, percent};
use crate::key::{LeadId, Outcome};

/// Where the plants of every taxon end, in the order of the taxa.
#[derive(Clone, Debug, Serialize)]
pub struct Outcomes {
    pub rows: Vec<Row>,
    /// Taxa with a place in the key of which no account was read.
    pub silent: Vec<String>,
    /// Not all taxa were run.
    pub cut_short: bool,
}

/// One taxon.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    pub taxon: String,
    /// The group in whose name it ends, where it has no place of its own.
    pub by_group: Option<String>,
    /// The share of its plants that reaches its own name.
    pub right: f64,
    /// The same, counting only what its account decides at every couplet.
    pub sure: f64,
    /// Its ends, the own ones first, then the most frequent.
    pub ends: Vec<Reached>,
    /// Its plants could not all be followed on their own; the shares are near.
    pub near: bool,
}

/// One end of a taxon's plants.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reached {
    pub kind: Kind,
    /// The name or names, the reason of a stop, the file; empty for a couplet none of whose leads
    /// fits.
    pub words: String,
    /// The leads that end there, or the couplet.
    pub at: Vec<String>,
    pub share: f64,
    pub sure: f64,
    /// The leads by which they left the way to their own name.
    pub through: Vec<String>,
}

/// How many of the leads are named by which they strayed.
const NAMED: usize = 3;

impl Reached {
    /// `19 % no lead of couplet 6`, with the leads by which they strayed; no more than `places`
    /// couplets are named.
    pub fn in_words(&self, places: usize) -> String {
        let at = listed(&self.at, places);
        let what = match self.kind {
            Kind::Own | Kind::Name | Kind::Elsewhere => self.words.clone(),
            Kind::Stop => format!("stop at {at}"),
            Kind::Nowhere => format!("nowhere, at {at}"),
            Kind::NoLead => format!("no lead of {at}"),
            Kind::Round => "round in a circle".to_string(),
        };
        let through = match self.through.as_slice() {
            [] => String::new(),
            all => format!(" through {}", listed(all, NAMED)),
        };
        format!("{} {what}{through}", percent(self.share))
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    Own,
    Name,
    Stop,
    Elsewhere,
    Nowhere,
    NoLead,
    Round,
}

impl Outcomes {
    pub fn of(exam: &Examination) -> Outcomes {
        let courses = exam.courses();
        let run = courses.of.iter().filter(|r| !r.cut_off);
        let rows = run.map(|run| row(exam, run)).collect();
        let name = |r: &Run| exam.key.taxon(r.course.taxon).name.clone();
        let silent = courses.silent.iter().map(name).collect();
        Outcomes { rows, silent, cut_short: courses.cut_short }
    }
}

fn row(exam: &Examination, run: &Run) -> Row {
    let course = &run.course;
    let mut ends: BTreeMap<(Kind, String), Reached> = BTreeMap::new();
    let mut add = |kind, words: String, at: String, share, sure, through: Option<LeadId>| {
        let end = ends.entry((kind, words.clone())).or_insert_with(|| Reached {
            kind,
            words,
            at: Vec::new(),
            share: 0.0,
            sure: 0.0,
            through: Vec::new(),
        });
        end.share += share;
        end.sure += sure;
        if !end.at.contains(&at) {
            end.at.push(at);
        }
        if let Some(lead) = through.map(|l| exam.lead_name(l))
            && !end.through.contains(&lead)
        {
            end.through.push(lead);
        }
    };
    for end in &course.ends {
        let own = course.own.contains(&end.lead);
        let (kind, words) = ending(exam, end.lead, own);
        let through = end.left.as_ref().map(|l| l.lead);
        add(kind, words, exam.lead_name(end.lead), end.share, end.sure, through);
    }
    for stuck in &course.stuck {
        let at = exam.couplet_name(stuck.couplet);
        add(Kind::NoLead, String::new(), at, stuck.share, stuck.sure, None);
    }
    if course.round > 0.0 {
        let at: Vec<String> =
            exam.ground().closing().iter().map(|l| exam.lead_name(*l)).take(NAMED).collect();
        add(Kind::Round, String::new(), at.join(", "), course.round, 0.0, None);
    }
    let mut ends: Vec<Reached> = ends.into_values().collect();
    ends.sort_by(|a, b| {
        let own = |r: &Reached| r.kind != Kind::Own;
        own(a).cmp(&own(b)).then(b.share.total_cmp(&a.share)).then(a.words.cmp(&b.words))
    });
    let own = ends.iter().filter(|e| e.kind == Kind::Own);
    Row {
        taxon: exam.key.taxon(course.taxon).name.clone(),
        by_group: course.by_group.map(|g| exam.key.taxon(g).name.clone()),
        right: own.clone().map(|e| e.share).sum(),
        sure: own.map(|e| e.sure).sum(),
        ends,
        near: !course.exact,
    }
}

fn ending(exam: &Examination, lead: LeadId, own: bool) -> (Kind, String) {
    match &exam.lead(lead).outcome {
        Outcome::Taxa(taxa) => {
            let names: Vec<&str> = taxa.iter().map(|t| exam.key.taxon(*t).name.as_str()).collect();
            (if own { Kind::Own } else { Kind::Name }, names.join(" or "))
        }
        Outcome::Stop(reason) => (Kind::Stop, reason.clone()),
        Outcome::Elsewhere { key, file, .. } => (Kind::Elsewhere, format!("{key} in {file}")),
        _ => (Kind::Nowhere, String::new()),
    }
}
