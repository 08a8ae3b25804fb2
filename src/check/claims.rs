//! What back-references claim of a couplet's origin, and which pointers they put in doubt.

use std::collections::BTreeMap;

use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CoupletId, LeadId, Outcome};
use crate::text::tree::Label;

use super::Examination;

/// A back-reference to which no pointer answers.
pub(super) struct Unmet {
    /// The lead that bears the back-reference.
    pub lead: LeadId,
    pub origin: Label,
    /// The couplet named, where there is one.
    pub named: Option<CoupletId>,
    /// The one lead of it whose pointer is in doubt: it leads nowhere, or to a couplet that has
    /// another origin.
    pub doubted: Option<LeadId>,
}

/// The back-references of a key, held against its pointers.
#[derive(Default)]
pub(super) struct Claims {
    pub unmet: Vec<Unmet>,
    /// Pointers in doubt, and the couplet to which each should lead.
    pub doubted: BTreeMap<LeadId, CoupletId>,
    /// The same by couplet.
    pub missing: BTreeMap<CoupletId, LeadId>,
}

impl Claims {
    pub fn of(exam: &Examination) -> Claims {
        let mut claims = Claims::default();
        for (lead, bearing) in exam.key.leads() {
            let Some(back) = &bearing.back else { continue };
            let origins = exam.graph.origins(lead.couplet);
            for &origin in &back.origins {
                if origins.iter().any(|&l| bears(exam, l, origin)) {
                    continue;
                }
                let subkey = exam.couplet(lead.couplet).subkey;
                let named = exam.numbered(subkey, origin.number, origin.capital);
                let doubted = named.and_then(|n| doubted(exam, n, origin, lead.couplet));
                if let Some(d) = doubted {
                    claims.doubted.entry(d).or_insert(lead.couplet);
                    claims.missing.entry(lead.couplet).or_insert(d);
                }
                claims.unmet.push(Unmet { lead, origin, named, doubted });
            }
        }
        claims
    }
}

/// Whether the lead is one that the label names: `4` names all leads of couplet 4, `4b` one.
pub(super) fn bears(exam: &Examination, lead: LeadId, label: Label) -> bool {
    let couplet = exam.couplet(lead.couplet);
    couplet.number == label.number
        && couplet.capital == label.capital
        && (label.letter.is_none() || exam.lead(lead).label.letter == label.letter)
}

/// `7`, `84A`, `9b`.
pub(super) fn label_name(label: Label) -> String {
    let marks: String = label.capital.into_iter().chain(label.letter).collect();
    format!("{}{marks}", label.number)
}

/// Everything that the couplet's back-references name.
pub(super) fn named_origins(exam: &Examination, couplet: CoupletId) -> Vec<Label> {
    let backs = exam.couplet(couplet).leads.iter().filter_map(|l| l.back.as_ref());
    backs.flat_map(|b| b.origins.iter().copied()).collect()
}

// The one lead of `named` that should lead to `couplet` and does not; `None` where it is not clear.
fn doubted(
    exam: &Examination,
    named: CoupletId,
    origin: Label,
    couplet: CoupletId,
) -> Option<LeadId> {
    let lost = exam.graph.origins(couplet).is_empty();
    let leads = (0..exam.couplet(named).leads.len())
        .map(|i| LeadId { couplet: named, index: i as u16 })
        .filter(|&l| bears(exam, l, origin));
    let mut in_doubt = leads.filter(|&l| {
        let outcome = &exam.lead(l).outcome;
        let other = match target(exam.key, outcome) {
            None => return *outcome == Outcome::Nowhere,
            Some(Place::Couplet(c)) => c,
            Some(Place::Lead(l)) => l.couplet,
        };
        let origins = named_origins(exam, other);
        if other == couplet || origins.iter().any(|&o| bears(exam, l, o)) {
            return false;
        }
        // It leads to a couplet that names another origin; or takes nothing from one that names
        // none, where this one has nothing else.
        !origins.is_empty() || (lost && exam.graph.origins(other).len() > 1)
    });
    let one = in_doubt.next()?;
    in_doubt.next().is_none().then_some(one)
}
