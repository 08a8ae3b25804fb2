//! What is still possible: the taxa behind a couplet or a lead, over all keys at hand.

use std::collections::BTreeSet;

use super::{Ending, View, Walk};
use crate::key::couplet::Outcome;
use crate::key::{LeadId, Onward, Stand, TaxonId};

/// A taxon of one of a library's keys.
pub type Candidate = (usize, TaxonId);

impl Walk<'_> {
    /// The taxa that can be reached from a couplet.
    pub fn behind(&self, stand: Stand) -> BTreeSet<Candidate> {
        let mut out = BTreeSet::new();
        let mut seen = BTreeSet::new();
        let mut open = vec![stand];
        while let Some(at) = open.pop() {
            if !seen.insert(at) {
                continue;
            }
            let couplet = self.library.keys[at.key].couplet(at.couplet);
            let leads = match at.lead {
                Some(i) => i..i + 1,
                None => 0..couplet.leads.len() as u16,
            };
            for index in leads {
                self.behind_one(at.key, LeadId { couplet: at.couplet, index }, &mut out, &mut open);
            }
        }
        out
    }

    /// The taxa that can be reached by taking a lead.
    pub fn behind_lead(&self, key: usize, lead: LeadId) -> BTreeSet<Candidate> {
        self.behind(Stand { key, couplet: lead.couplet, lead: Some(lead.index) })
    }

    fn behind_one(
        &self,
        key: usize,
        lead: LeadId,
        out: &mut BTreeSet<Candidate>,
        open: &mut Vec<Stand>,
    ) {
        match self.library.onward(key, lead) {
            Onward::To(stand) => open.push(stand),
            _ => {
                if let Outcome::Taxa(taxa) = &self.library.keys[key].lead(lead).outcome {
                    out.extend(taxa.iter().map(|t| (key, *t)));
                }
            }
        }
    }

    /// Every taxon that the answers so far leave open, reached or not.
    pub fn possible(&self, view: &View) -> BTreeSet<Candidate> {
        let mut out = BTreeSet::new();
        for end in &view.ends {
            if let Ending::Taxa { key, taxa } = &end.ending {
                out.extend(taxa.iter().map(|t| (*key, *t)));
            }
        }
        for route in view.asked.iter().chain(&view.waiting) {
            out.extend(self.behind(route.stand));
        }
        out
    }
}
