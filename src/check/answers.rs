//! `intended RULE: reason`: matching the writer's answers to the findings that they answer.

use std::collections::HashMap;

use crate::key::couplet::Intended;
use crate::key::{CoupletId, Key, LeadId, SubkeyId, TaxonId};
use crate::text::finding::Finding;
use crate::text::language::fold;
use crate::text::span::Span;

use super::Examination;
use super::rules::{self, answer_without_question, unknown_rule};

/// Rules that say nothing without a list of accepted taxa.
const NEED_A_LIST: [&str; 2] = ["listed-taxon-not-keyed", "taxon-not-listed"];

/// What an answer speaks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Scope {
    Lead(LeadId),
    /// The other leads of the couplet whose lead bears the answer.
    Couplet(CoupletId),
    Taxon(TaxonId),
    Subkey(SubkeyId),
    File,
}

/// Marks the findings that are answered, and adds a finding for each answer that is idle or names
/// no rule.
pub(super) fn apply(exam: &Examination, findings: &mut Vec<Finding>) {
    let key = exam.key;
    let given: Vec<(Scope, &Intended)> = all(key).collect();
    if given.is_empty() {
        return;
    }
    let mut used = vec![false; given.len()];
    let mut answers: HashMap<(&'static str, Scope), usize> = HashMap::new();
    for (i, (scope, intended)) in given.iter().enumerate() {
        let name = fold(&intended.rule).replace(' ', "-");
        // What needs a list of taxa is not looked at without one.
        used[i] = exam.accepted.is_none() && NEED_A_LIST.contains(&name.as_str());
        let Some(rule) = rules::find(&name) else {
            used[i] = true;
            findings.push(unknown_rule::finding(intended));
            continue;
        };
        answers.entry((rule.id, *scope)).or_insert(i);
        if let Scope::Lead(lead) = scope {
            answers.entry((rule.id, Scope::Couplet(lead.couplet))).or_insert(i);
        }
    }
    let places = Places::of(key);
    for f in findings.iter_mut() {
        // The narrowest answer counts.
        let answer = places.scopes(key, f.span).find_map(|s| answers.get(&(f.rule, s)));
        if let Some(&i) = answer {
            f.intended = Some(given[i].1.reason.clone());
            used[i] = true;
        }
    }
    let idle = given.iter().zip(&used).filter(|(_, used)| !**used);
    findings.extend(idle.map(|((_, intended), _)| answer_without_question::finding(intended)));
}

fn all(key: &Key) -> impl Iterator<Item = (Scope, &Intended)> {
    let file = key.heading.intended.iter().map(|i| (Scope::File, i));
    let subkeys =
        key.subkeys.iter().enumerate().flat_map(|(n, s)| {
            s.intended.iter().map(move |i| (Scope::Subkey(SubkeyId(n as u32)), i))
        });
    let leads =
        key.leads().flat_map(|(id, l)| l.intended.iter().map(move |i| (Scope::Lead(id), i)));
    let taxa = key
        .taxon_ids()
        .flat_map(|id| key.taxon(id).intended.iter().map(move |i| (Scope::Taxon(id), i)));
    file.chain(subkeys).chain(leads).chain(taxa)
}

/// Which part of the text belongs to which lead, key and account; sorted by place.
struct Places {
    leads: Vec<(Span, LeadId)>,
    subkeys: Vec<(Span, SubkeyId)>,
    taxa: Vec<(Span, TaxonId)>,
}

impl Places {
    fn of(key: &Key) -> Places {
        let mut leads: Vec<_> = key
            .leads()
            .map(|(id, l)| {
                let span = [l.body.span(), l.outcome_words.span()]
                    .into_iter()
                    .chain(l.back.iter().map(|b| b.span))
                    .chain(l.pictures.iter().map(|p| p.span))
                    .chain(l.intended.iter().map(|i| i.span))
                    .filter(|s| !s.is_empty())
                    .fold(l.label.span, Span::to);
                (span, id)
            })
            .collect();
        let mut subkeys: Vec<(Span, SubkeyId)> = key
            .subkeys
            .iter()
            .enumerate()
            .map(|(i, s)| {
                let notes = s.intended.iter().map(|i| i.span);
                (notes.fold(s.span, Span::to), SubkeyId(i as u32))
            })
            .collect();
        for (span, id) in &leads {
            let own = &mut subkeys[key.couplet(id.couplet).subkey.0 as usize].0;
            *own = own.to(*span);
        }
        let mut taxa: Vec<_> = key
            .taxon_ids()
            .filter(|&id| key.taxon(id).has_account)
            .map(|id| {
                let t = key.taxon(id);
                let parts = t.parts.iter().map(|p| p.span);
                let notes = t.intended.iter().map(|i| i.span);
                let pictures = t.pictures.iter().map(|p| p.span);
                (parts.chain(notes).chain(pictures).fold(t.span, Span::to), id)
            })
            .collect();
        leads.sort_unstable();
        subkeys.sort_unstable();
        taxa.sort_unstable();
        Places { leads, subkeys, taxa }
    }

    // From the narrowest to the whole file.
    fn scopes(&self, key: &Key, span: Span) -> impl Iterator<Item = Scope> + use<> {
        let lead = holder(&self.leads, span);
        let taxon = holder(&self.taxa, span);
        let subkey =
            lead.map(|l| key.couplet(l.couplet).subkey).or_else(|| holder(&self.subkeys, span));
        [
            lead.map(Scope::Lead),
            lead.map(|l| Scope::Couplet(l.couplet)),
            taxon.map(Scope::Taxon),
            subkey.map(Scope::Subkey),
            Some(Scope::File),
        ]
        .into_iter()
        .flatten()
    }
}

fn holder<T: Copy>(places: &[(Span, T)], span: Span) -> Option<T> {
    let i = places.partition_point(|(s, _)| s.start <= span.start).checked_sub(1)?;
    let (own, id) = places[i];
    (span.start <= own.end).then_some(id)
}
