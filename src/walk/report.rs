//! A walk's state as plain data: what `--json` prints and what a record keeps. The shape is
//! stable: fields are only added.

use serde::Serialize;

use super::{Answer, End, Ending, Route, Step, View, Walk};
use crate::key::{Key, LeadId};
use crate::text::language::Language;

/// Where a walk stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The version of this shape.
    pub format: u32,
    /// The couplet to be answered; absent at the end.
    pub asked: Option<Asked>,
    /// Branches that wait.
    pub waiting: Vec<String>,
    /// Names still possible, in alphabetical order.
    pub possible: Vec<String>,
    pub ends: Vec<Reached>,
    /// More branches were opened than are followed.
    pub cut_short: bool,
}

/// A couplet as a question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asked {
    /// The file, where several are at hand.
    pub file: String,
    /// The key within it, as its heading reads.
    pub key: String,
    pub couplet: String,
    pub step: usize,
    pub leads: Vec<Offered>,
}

/// A lead that may be taken.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Offered {
    pub letter: String,
    /// Its statements, one each.
    pub statements: Vec<String>,
    pub remarks: Vec<String>,
    pub pictures: Vec<String>,
    /// How many taxa lie behind it.
    pub taxa: usize,
}

/// An end of a route.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reached {
    /// `name`, `names`, `stop`, `nowhere`, `not-at-hand` or `circle`.
    pub ending: &'static str,
    pub names: Vec<String>,
    /// The reason of a stop, or the file that is missing.
    pub reason: Option<String>,
    pub cautions: Vec<String>,
    pub route: Vec<Taken>,
    /// The labels of the couplets at which more than one lead was followed.
    pub uncertain: Vec<String>,
}

/// A step of a route.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Taken {
    pub lead: String,
    pub statements: Vec<String>,
    /// `taken`, `either`, `cannot-tell` or `by-pointer`.
    pub how: &'static str,
}

impl Walk<'_> {
    /// The state in words of `language`.
    pub fn report(&self, view: &View, language: &Language) -> Report {
        let mut possible: Vec<String> = self
            .possible(view)
            .into_iter()
            .map(|(key, taxon)| self.library.keys[key].taxon(taxon).name.clone())
            .collect();
        possible.sort();
        possible.dedup();
        Report {
            format: 1,
            asked: view.asked.as_ref().map(|r| self.asked(r, language)),
            waiting: view.waiting.iter().map(|r| self.label(r)).collect(),
            possible,
            ends: view.ends.iter().map(|e| self.reached(e, language)).collect(),
            cut_short: view.cut_short,
        }
    }

    fn label(&self, route: &Route) -> String {
        self.library.keys[route.stand.key].couplet(route.stand.couplet).name()
    }

    /// The couplet at the end of a route as a question.
    pub fn asked(&self, route: &Route, language: &Language) -> Asked {
        let stand = route.stand;
        let key = &self.library.keys[stand.key];
        let couplet = key.couplet(stand.couplet);
        let leads = couplet.leads.iter().enumerate().map(|(i, lead)| {
            let id = LeadId { couplet: stand.couplet, index: i as u16 };
            Offered {
                letter: lead.label.letter.map(String::from).unwrap_or_default(),
                statements: statements(key, id, language),
                remarks: lead.remarks.clone(),
                pictures: pictures(key, id),
                taxa: self.behind_lead(stand.key, id).len(),
            }
        });
        Asked {
            file: key.source.name().to_string(),
            key: key.subkey(couplet.subkey).head.clone(),
            couplet: couplet.name(),
            step: route.steps.len() + 1,
            leads: leads.collect(),
        }
    }

    /// An end with its route.
    pub fn reached(&self, end: &End, language: &Language) -> Reached {
        let (ending, names, reason, cautions) = match &end.ending {
            Ending::Taxa { key, taxa } => {
                let key = &self.library.keys[*key];
                let names = taxa.iter().map(|t| key.taxon(*t).full_name()).collect();
                (
                    if taxa.len() == 1 { "name" } else { "names" },
                    names,
                    None,
                    key.cautions_for(taxa),
                )
            }
            Ending::Stop(reason) => ("stop", Vec::new(), Some(reason.clone()), Vec::new()),
            Ending::Nowhere => ("nowhere", Vec::new(), None, Vec::new()),
            Ending::NotAtHand { key, file } => {
                ("not-at-hand", Vec::new(), Some(format!("{key} in {file}")), Vec::new())
            }
            Ending::Circle(_) => ("circle", Vec::new(), None, Vec::new()),
        };
        Reached {
            ending,
            names,
            reason,
            cautions,
            route: end.steps.iter().map(|s| self.taken_step(s, language)).collect(),
            uncertain: end
                .uncertain()
                .map(|s| self.library.keys[s.stand.key].couplet(s.stand.couplet).name())
                .collect(),
        }
    }

    /// A step with its statements.
    pub fn taken_step(&self, step: &Step, language: &Language) -> Taken {
        let key = &self.library.keys[step.stand.key];
        Taken {
            lead: key.lead_name(step.lead),
            statements: statements(key, step.lead, language),
            how: match &step.answer {
                None => "by-pointer",
                Some(Answer::Lead { .. }) => "taken",
                Some(Answer::Either { .. }) => "either",
                Some(Answer::CannotTell) => "cannot-tell",
            },
        }
    }
}

/// The statements of a lead, one each, in words of `language`.
pub fn statements(key: &Key, lead: LeadId, language: &Language) -> Vec<String> {
    let lead = key.lead(lead);
    if lead.parts.is_empty() && !lead.body.is_empty() {
        return vec![lead.body.text(key.source.text()).into_owned()];
    }
    lead.parts.iter().map(|p| key.part_in_words(p, &lead.body, language)).collect()
}

/// The pictures of a lead and of the states it names: path, and caption and credit where given.
pub fn pictures(key: &Key, lead: LeadId) -> Vec<String> {
    let lead = key.lead(lead);
    let of_states = lead.statements().flat_map(|s| {
        let c = key.character(s.character);
        let states = s.value.accepts().unwrap_or_default();
        let own = c
            .states()
            .iter()
            .enumerate()
            .filter(move |(i, _)| states.contains(crate::key::StateId(*i as u16)));
        c.pictures.iter().chain(own.flat_map(|(_, s)| &s.pictures)).collect::<Vec<_>>()
    });
    let mut out: Vec<String> = Vec::new();
    for p in lead.pictures.iter().chain(of_states) {
        let line = p.in_words();
        if !out.contains(&line) {
            out.push(line);
        }
    }
    out
}
