//! Keys, couplets and leads compared: reworded, going elsewhere, put in, taken out.

use std::collections::BTreeMap;

use crate::key::couplet::Place;
use crate::key::{CoupletId, Key, LeadId, Outcome};
use crate::text::tree::{Label, SectionKind};

use super::names::Names;
use super::notes::{Owner, compare, properties};
use super::pairs::Pairs;
use super::side::{Side, plain};
use super::{Change, Done, Subject};

pub(super) fn changes(a: &Side, b: &Side, pairs: &Pairs, names: &Names, out: &mut Vec<Change>) {
    heads(a, b, pairs, out);
    // What is put in is told behind the couplet that stands before it.
    let mut behind: BTreeMap<Option<CoupletId>, Vec<CoupletId>> = BTreeMap::new();
    let mut before = None;
    for new in b.couplet_ids() {
        match pairs.old_of(new) {
            Some(old) => before = Some(old),
            None => behind.entry(before).or_default().push(new),
        }
    }
    let mut added = |before: Option<CoupletId>, out: &mut Vec<Change>| {
        for new in behind.remove(&before).unwrap_or_default() {
            let change = Change::new(Subject::Couplet, Done::Added, b.couplet_name(new))
                .was_now(None, Some(&printed(b, new)))
                .lines(None, b.couplet_line(new))
                .at(None, Some(LeadId { couplet: new, index: 0 }));
            out.push(change);
        }
    };
    added(None, out);
    for old in a.couplet_ids() {
        match pairs.couplet(old) {
            Some(new) => couplet(a, b, pairs, names, old, new, out),
            None => {
                let change = Change::new(Subject::Couplet, Done::Dropped, a.couplet_name(old))
                    .was_now(Some(&printed(a, old)), None)
                    .lines(a.couplet_line(old), None)
                    .at(Some(LeadId { couplet: old, index: 0 }), None);
                out.push(change);
            }
        }
        added(Some(old), out);
    }
}

/// A couplet as it is printed, a lead a line.
pub(super) fn printed(side: &Side, id: CoupletId) -> String {
    let lines: Vec<String> = side.leads_of(id).map(|lead| printed_lead(side, lead)).collect();
    lines.join("\n")
}

fn printed_lead(side: &Side, lead: LeadId) -> String {
    let (couplet, index) = (lead.couplet.0 as usize, lead.index as usize);
    let words = &side.leads[couplet][index];
    format!("{}  {words} ..... {}", side.key.lead_name(lead), side.outcomes[couplet][index])
}

fn heads(a: &Side, b: &Side, pairs: &Pairs, out: &mut Vec<Change>) {
    for (i, old) in a.key.subkeys.iter().enumerate() {
        let head = plain(&old.head);
        let Some(new) = pairs.subkey(crate::key::SubkeyId(i as u32)) else {
            let change = Change::new(Subject::Key, Done::Dropped, head.clone());
            out.push(change.lines(a.line(old.span), None).was_now(Some(&head), None));
            continue;
        };
        let new = b.key.subkey(new);
        let now = plain(&new.head);
        if head != now {
            let change = Change::new(Subject::Key, Done::Renamed, head.clone())
                .was_now(Some(&head), Some(&now))
                .lines(a.line(old.span), b.line(new.span));
            out.push(change);
        }
        let below = |side: &Side, at: u32| {
            let mut sections = side.sections(SectionKind::Key);
            let section = sections.find(|s| s.head.span().start == at);
            section.map(|s| properties(side, &s.below)).unwrap_or_default()
        };
        let owner = Owner { subject: Subject::Key, name: &head, new_name: &now };
        compare(&owner, &below(a, old.span.start), &below(b, new.span.start), &[], out);
    }
    let known: Vec<_> = (0..a.key.subkeys.len())
        .filter_map(|i| pairs.subkey(crate::key::SubkeyId(i as u32)))
        .collect();
    for (i, new) in b.key.subkeys.iter().enumerate() {
        if !known.contains(&crate::key::SubkeyId(i as u32)) {
            let head = plain(&new.head);
            let change = Change::new(Subject::Key, Done::Added, head.clone());
            out.push(change.lines(None, b.line(new.span)).was_now(None, Some(&head)));
        }
    }
}

fn couplet(
    a: &Side,
    b: &Side,
    pairs: &Pairs,
    names: &Names,
    old: CoupletId,
    new: CoupletId,
    out: &mut Vec<Change>,
) {
    let (name, now) = (a.couplet_name(old), b.couplet_name(new));
    let sure = pairs.sure(old);
    let (from, to) = (a.key.couplet(old).subkey, b.key.couplet(new).subkey);
    if pairs.subkey(from) != Some(to) {
        let head = |side: &Side, id| plain(&side.key.subkey(id).head);
        let change = Change::new(Subject::Couplet, Done::Moved, name.clone())
            .named_now(now.clone())
            .part("key")
            .was_now(Some(&head(a, from)), Some(&head(b, to)))
            .lines(a.couplet_line(old), b.couplet_line(new))
            .sure(sure);
        out.push(change);
    }
    let mut order: Vec<u16> = Vec::new();
    for lead in a.leads_of(old) {
        match pairs.lead(lead) {
            Some(other) => {
                order.push(other.index);
                let before = out.len();
                compare_leads(a, b, pairs, names, lead, other, out);
                out[before..].iter_mut().for_each(|c| c.sure = c.sure.max(sure));
            }
            None => {
                let change = Change::new(Subject::Lead, Done::Dropped, a.lead_name(lead))
                    .was_now(Some(&printed_lead(a, lead)), None)
                    .lines(a.line(a.key.lead(lead).label.span), None);
                out.push(change.at(Some(lead), None));
            }
        }
    }
    for lead in b.leads_of(new).filter(|l| pairs.old_lead(*l).is_none()) {
        let change = Change::new(Subject::Lead, Done::Added, b.lead_name(lead))
            .was_now(None, Some(&printed_lead(b, lead)))
            .lines(None, b.line(b.key.lead(lead).label.span));
        out.push(change.at(Some(LeadId { couplet: old, index: 0 }), Some(lead)));
    }
    if !order.is_sorted() {
        let letters = |side: &Side, leads: Vec<LeadId>| {
            let all: Vec<String> = leads.iter().map(|l| side.key.lead_name(*l)).collect();
            all.join(", ")
        };
        let paired: Vec<LeadId> = a.leads_of(old).filter(|l| pairs.lead(*l).is_some()).collect();
        let there: Vec<LeadId> = paired.iter().filter_map(|l| pairs.lead(*l)).collect();
        let change = Change::new(Subject::Couplet, Done::Moved, name)
            .named_now(now)
            .part("order of the leads")
            .was_now(Some(&letters(a, paired)), Some(&letters(b, there)))
            .lines(a.couplet_line(old), b.couplet_line(new))
            .sure(sure);
        out.push(change.at(Some(LeadId { couplet: old, index: 0 }), None));
    }
}

fn compare_leads(
    a: &Side,
    b: &Side,
    pairs: &Pairs,
    names: &Names,
    old: LeadId,
    new: LeadId,
    out: &mut Vec<Change>,
) {
    let (name, new_name) = (a.lead_name(old), b.lead_name(new));
    let (from, to) = (a.key.lead(old), b.key.lead(new));
    let lines = (a.line(from.label.span), b.line(to.label.span));
    let change = |subject: Subject, part: Option<&str>, was: &str, now: &str| {
        let change = Change::new(subject, Done::Changed, name.clone())
            .named_now(new_name.clone())
            .was_now(Some(was), Some(now))
            .lines(lines.0, lines.1);
        let change = part.into_iter().fold(change, |c, p| c.part(p));
        change.at(Some(old), Some(new))
    };
    let at = |lead: LeadId| (lead.couplet.0 as usize, lead.index as usize);
    let ((oc, oi), (nc, ni)) = (at(old), at(new));
    let (was, now) = (&a.leads[oc][oi], &b.leads[nc][ni]);
    if was != now {
        out.push(change(Subject::Lead, None, was, now));
    }
    let (was, now) = (&a.outcomes[oc][oi], &b.outcomes[nc][ni]);
    if !same_outcome(a, b, pairs, names, old, new) {
        out.push(change(Subject::Outcome, None, was, now));
    }
    let said = |label: &Option<crate::text::tree::Back>, side: &Side| {
        label.as_ref().map_or(String::new(), |back| plain(side.slice(back.span)))
    };
    let (back, back_now) = (said(&from.back, a), said(&to.back, b));
    if !same_back(a, b, pairs, old, new) {
        let done = match (back.is_empty(), back_now.is_empty()) {
            (true, _) => Done::Added,
            (_, true) => Done::Dropped,
            _ => Done::Changed,
        };
        let told = change(Subject::Lead, Some("back-reference"), &back, &back_now);
        out.push(Change { done, ..told });
    }
    let below = |side: &Side, lead: LeadId| {
        let entry = side.entry(side.key.lead(lead).label.span);
        entry.map(|e| properties(side, &e.below)).unwrap_or_default()
    };
    let owner = Owner { subject: Subject::Lead, name: &name, new_name: &new_name };
    let before = out.len();
    compare(&owner, &below(a, old), &below(b, new), &[], out);
    out[before..].iter_mut().for_each(|c| (c.old, c.new) = (Some(old), Some(new)));
}

/// Whether two leads go to the same: a number is the same where the couplet is.
fn same_outcome(
    a: &Side,
    b: &Side,
    pairs: &Pairs,
    names: &Names,
    old: LeadId,
    new: LeadId,
) -> bool {
    let written = |side: &Side, lead: LeadId| {
        side.outcomes[lead.couplet.0 as usize][lead.index as usize].clone()
    };
    let (was, now) = (written(a, old), written(b, new));
    let place = |o: &Place, n: &Place| match (o, n) {
        (Place::Couplet(o), Place::Couplet(n)) => pairs.couplet(*o) == Some(*n),
        (Place::Lead(o), Place::Lead(n)) => pairs.lead(*o) == Some(*n),
        _ => false,
    };
    match (&a.key.lead(old).outcome, &b.key.lead(new).outcome) {
        (Outcome::Couplet(o), Outcome::Couplet(n)) => pairs.couplet(*o) == Some(*n),
        (Outcome::Lead(o), Outcome::Lead(n)) => pairs.lead(*o) == Some(*n),
        (Outcome::Subkey { subkey: o, at: at_o }, Outcome::Subkey { subkey: n, at: at_n }) => {
            let there = match (at_o, at_n) {
                (None, None) => true,
                (Some(o), Some(n)) => place(o, n),
                _ => false,
            };
            there && pairs.subkey(*o) == Some(*n)
        }
        (Outcome::Taxa(o), Outcome::Taxa(n)) => {
            let same_words = |t: &crate::key::TaxonId| {
                names.new_of(*t).is_some_and(|n| a.key.taxon(*t).name == b.key.taxon(n).name)
            };
            // Where no name is another, what stands in brackets behind it is compared too.
            names.same(o, n) && (was == now || !o.iter().all(same_words))
        }
        (Outcome::Stop(o), Outcome::Stop(n)) => plain(o) == plain(n),
        (o, n) => std::mem::discriminant(o) == std::mem::discriminant(n) && was == now,
    }
}

/// Whether two back-references name the same couplets.
fn same_back(a: &Side, b: &Side, pairs: &Pairs, old: LeadId, new: LeadId) -> bool {
    let numbered = |key: &Key, of: CoupletId, label: &Label| -> Option<CoupletId> {
        let subkey = key.couplet(of).subkey;
        let same = |c: &CoupletId| {
            let c = key.couplet(*c);
            (c.number, c.capital) == (label.number, label.capital)
        };
        key.subkey(subkey).couplets.iter().copied().find(same)
    };
    match (&a.key.lead(old).back, &b.key.lead(new).back) {
        (None, None) => true,
        (Some(o), Some(n)) => {
            o.origins.len() == n.origins.len()
                && o.origins.iter().zip(&n.origins).all(|(x, y)| {
                    let at = (numbered(a.key, old.couplet, x), numbered(b.key, new.couplet, y));
                    match at {
                        (Some(x), Some(y)) => pairs.couplet(x) == Some(y),
                        (None, None) => (x.number, x.capital) == (y.number, y.capital),
                        _ => false,
                    }
                })
        }
        _ => false,
    }
}
