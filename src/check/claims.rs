//! What back-references claim of a couplet's origin, and which pointers they put in doubt.

use std::collections::BTreeMap;

use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CoupletId, LeadId, Outcome};
use crate::text::tree::Label;

use super::Examination;

/// The couplets whose leads are looked through for a wrong pointer have at most this many.
const FEW: usize = 64;

/// A back-reference to which no pointer answers.
pub(super) struct Unmet {
    /// The couplet that bears it.
    pub couplet: CoupletId,
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
    /// In the order of the couplets.
    pub unmet: Vec<Unmet>,
    /// Pointers in doubt, and the couplet to which each should lead.
    pub doubted: BTreeMap<LeadId, CoupletId>,
    /// The same by couplet.
    pub missing: BTreeMap<CoupletId, LeadId>,
    /// What the back-references of each couplet name, each label once and in order.
    named: Vec<Vec<Label>>,
}

impl Claims {
    pub fn of(exam: &Examination) -> Claims {
        let mut claims = Claims::default();
        for couplet in &exam.key.couplets {
            let backs = couplet.leads.iter().filter_map(|l| l.back.as_ref());
            let mut labels: Vec<Label> = backs.flat_map(|b| b.origins.iter().copied()).collect();
            labels.sort_unstable_by_key(|&l| (parts(l), l.span));
            labels.dedup_by_key(|l| parts(*l));
            claims.named.push(labels);
        }
        for (id, couplet) in exam.key.couplets() {
            if claims.named(id).is_empty() {
                continue;
            }
            let origins = exam.graph.origins(id);
            let mut pointing: Vec<Parts> =
                origins.iter().flat_map(|&l| names_of(exam, l)).collect();
            pointing.sort_unstable();
            for origin in claims.named[id.0 as usize].clone() {
                if pointing.binary_search(&parts(origin)).is_ok() {
                    continue;
                }
                let named = exam.numbered(couplet.subkey, origin.number, origin.capital);
                let doubted =
                    named.and_then(|n| claims.doubtful(exam, n, origin, id, origins.is_empty()));
                if let Some(d) = doubted {
                    claims.doubted.entry(d).or_insert(id);
                    claims.missing.entry(id).or_insert(d);
                }
                claims.unmet.push(Unmet { couplet: id, origin, named, doubted });
            }
        }
        claims
    }

    /// What the couplet's back-references name, in order.
    pub fn named(&self, couplet: CoupletId) -> &[Label] {
        &self.named[couplet.0 as usize]
    }

    /// Whether the couplet's back-references name the lead, or all leads of its couplet.
    pub fn names(&self, exam: &Examination, couplet: CoupletId, lead: LeadId) -> bool {
        let named = self.named(couplet);
        names_of(exam, lead).iter().any(|n| named.binary_search_by_key(n, |&l| parts(l)).is_ok())
    }

    // The one lead of `named` that should lead to `couplet` and does not; `None` where it is not
    // clear. `lost`: nothing leads to `couplet`.
    fn doubtful(
        &self,
        exam: &Examination,
        named: CoupletId,
        origin: Label,
        couplet: CoupletId,
        lost: bool,
    ) -> Option<LeadId> {
        let number = exam.couplet(named).leads.len();
        if number > FEW {
            return None;
        }
        let leads = (0..number).map(|i| LeadId { couplet: named, index: i as u16 });
        let mut in_doubt = leads.filter(|&l| {
            let lead = exam.lead(l);
            if origin.letter.is_some() && lead.label.letter != origin.letter {
                return false;
            }
            let other = match target(exam.key, &lead.outcome) {
                None => return lead.outcome == Outcome::Nowhere,
                Some(Place::Couplet(c)) => c,
                Some(Place::Lead(l)) => l.couplet,
            };
            if other == couplet || self.names(exam, other, l) {
                return false;
            }
            // It leads to a couplet that names another origin; or takes nothing from one that
            // names none, where this one has nothing else.
            !self.named(other).is_empty()
                || (lost && exam.graph.pointers_to(other).nth(1).is_some())
        });
        let one = in_doubt.next()?;
        in_doubt.next().is_none().then_some(one)
    }
}

/// A label without its place.
type Parts = (u32, Option<char>, Option<char>);

fn parts(label: Label) -> Parts {
    (label.number, label.capital, label.letter)
}

// What a back-reference may call a lead: by its couplet, or with its letter.
fn names_of(exam: &Examination, lead: LeadId) -> [Parts; 2] {
    let couplet = exam.couplet(lead.couplet);
    let letter = exam.lead(lead).label.letter;
    [(couplet.number, couplet.capital, None), (couplet.number, couplet.capital, letter)]
}

/// `7`, `84A`, `9b`.
pub(super) fn label_name(label: Label) -> String {
    let marks: String = label.capital.into_iter().chain(label.letter).collect();
    format!("{}{marks}", label.number)
}
