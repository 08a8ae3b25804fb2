//! Reads the finished key back: its counts, its faults at the manuscript's own lines, and whether
//! each lead says what the manuscript said.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::report::{Counts, Fault, LeadLines};
use super::write::Written;
use crate::key::{CoupletId, Key, Outcome};
use crate::text::parse::parse;
use crate::text::source::Source;
use crate::text::tree::{Body, SectionKind};

/// What reading a finished key tells.
#[derive(Debug, Default)]
pub struct ReadBack {
    pub counts: Counts,
    pub faults: Vec<Fault>,
    pub leads: Vec<LeadLines>,
    /// Letters of leads' statements that did not come back.
    pub lost: usize,
}

/// Reads a finished key.
pub fn read_back(name: &str, written: &Written, draft: &Draft) -> ReadBack {
    let mut out = ReadBack::default();
    let parsed = parse(Source::new(name, written.text.as_str()));
    let heads: Vec<u32> = parsed
        .tree
        .sections
        .iter()
        .filter(|s| s.kind == SectionKind::Key)
        .map(|s| s.head.span().start)
        .collect();
    // Where each lead begins in the text.
    let mut starts: Vec<u32> = Vec::new();
    let mut bodies: Vec<(String, String)> = Vec::new();
    for entry in parsed.tree.sections.iter().flat_map(|s| &s.entries) {
        if let Body::Lead(lead) = &entry.body {
            starts.push(lead.label.span.start);
            let text = parsed.tree.text();
            bodies.push((lead.body.text(text).into_owned(), lead.outcome.text(text).into_owned()));
        }
    }
    let letters = |t: &str| -> String { t.chars().filter(|c| c.is_alphanumeric()).collect() };
    let leads: Vec<_> = draft.leads().collect();
    out.lost = leads.len().abs_diff(bodies.len());
    for (lead, (body, outcome)) in leads.iter().zip(&bodies) {
        let (wanted, got) = (letters(&lead.text), letters(body));
        // `leaves green. 3` with no couplet 3: the key has the number as where the lead goes.
        if wanted != got && wanted != format!("{got}{}", letters(outcome)) {
            out.lost += wanted.chars().count().abs_diff(got.chars().count()).max(1);
        }
    }
    let line_at = |at: u32| -> u32 {
        // On a key's head, or before its first lead.
        let head = heads.iter().rposition(|h| *h <= at);
        if let Some(k) = head
            && !starts.iter().any(|s| (heads[k]..=at).contains(s))
        {
            return written.head_lines.get(k).copied().unwrap_or(0);
        }
        let i = starts.partition_point(|s| *s <= at);
        i.checked_sub(1)
            .and_then(|i| written.lead_lines.get(i))
            .and_then(|l| l.first())
            .copied()
            .unwrap_or(0)
    };
    let key = Key::of(&parsed);
    let examined = crate::check::examine(&key, &crate::check::Options::default());
    // How a manuscript is worded is its author's matter.
    let style = |rule: &str| crate::check::rules::find(rule).is_some_and(|r| r.style);
    let open = examined.findings.into_iter().filter(|f| f.intended.is_none() && !style(f.rule));
    for finding in open {
        out.faults.push(Fault {
            line: line_at(finding.span.start),
            rule: finding.rule.to_string(),
            severity: finding.severity,
            what: finding.what,
            why: finding.why,
            remedy: finding.remedy,
        });
    }
    // What the rules see too is told once, in their words.
    let told: Vec<(u32, String)> = out.faults.iter().map(|f| (f.line, f.rule.clone())).collect();
    let own = draft.oddities.iter().map(Fault::from);
    out.faults.extend(own.filter(|f| !told.contains(&(f.line, f.rule.clone()))));
    out.faults.sort_by(|a, b| (a.line, &a.rule, &a.what).cmp(&(b.line, &b.rule, &b.what)));
    out.faults.dedup();
    out.counts = counts(&key);
    out.leads = key
        .leads()
        .zip(&written.lead_lines)
        .map(|((id, _), lines)| LeadLines { label: key.lead_name(id), lines: lines.clone() })
        .collect();
    out
}

fn counts(key: &Key) -> Counts {
    let mut out =
        Counts { keys: key.subkeys.len(), couplets: key.couplets.len(), ..Counts::default() };
    let mut names = BTreeSet::new();
    for (_, lead) in key.leads() {
        out.leads += 1;
        match &lead.outcome {
            Outcome::Taxa(taxa) => {
                out.endpoints += 1;
                names.extend(taxa.iter().copied());
            }
            Outcome::Stop(_) => out.stops += 1,
            Outcome::Nowhere => out.dead_ends += 1,
            _ => {}
        }
    }
    out.names = names.len();
    out.polytomies = key.couplets.iter().filter(|c| c.leads.len() > 2).count();
    let mut known: BTreeMap<CoupletId, usize> = BTreeMap::new();
    for subkey in &key.subkeys {
        // Deepest first: couplets are asked for in an order that needs no recursion.
        for &start in &subkey.couplets {
            depth(key, start, &mut known);
        }
    }
    out.depth = known.values().copied().max().unwrap_or(0);
    out
}

/// Couplets on the longest way from one; a ring counts each of its couplets once.
fn depth(key: &Key, start: CoupletId, known: &mut BTreeMap<CoupletId, usize>) {
    let next = |c: CoupletId| -> Vec<CoupletId> {
        key.couplet(c)
            .leads
            .iter()
            .filter_map(|l| match &l.outcome {
                Outcome::Couplet(to) => Some(*to),
                Outcome::Lead(to) => Some(to.couplet),
                _ => None,
            })
            .collect()
    };
    let mut open: BTreeSet<CoupletId> = BTreeSet::new();
    let mut stack = vec![(start, false)];
    while let Some((at, done)) = stack.pop() {
        if known.contains_key(&at) {
            continue;
        }
        if done {
            let below = next(at).iter().filter_map(|c| known.get(c)).max().copied().unwrap_or(0);
            known.insert(at, below + 1);
            open.remove(&at);
        } else if open.insert(at) {
            stack.push((at, true));
            stack.extend(next(at).into_iter().filter(|c| !open.contains(c)).map(|c| (c, false)));
        }
    }
}
