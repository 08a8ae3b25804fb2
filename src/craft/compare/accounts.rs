//! Taxa and their accounts compared.

use crate::key::{Taxon, TaxonId};
use crate::text::tree::Entry;

use super::names::Names;
use super::notes::{Owner, compare, pieces, properties};
use super::side::{Side, plain};
use super::{Change, Done, Subject};

pub(super) fn changes(a: &Side, b: &Side, names: &Names, out: &mut Vec<Change>) {
    for old in a.key.taxon_ids() {
        let from = a.key.taxon(old);
        let Some(new) = names.new_of(old) else {
            let change = Change::new(Subject::Taxon, Done::Dropped, from.name.clone())
                .was_now(Some(&from.full_name()), None)
                .lines(a.line(from.span), None);
            out.push(change);
            continue;
        };
        taxon(a, b, names, old, new, out);
    }
    for new in b.key.taxon_ids().filter(|t| names.old_of(*t).is_none()) {
        let to = b.key.taxon(new);
        let change = Change::new(Subject::Taxon, Done::Added, to.name.clone())
            .was_now(None, Some(&to.full_name()))
            .lines(None, b.line(to.span));
        out.push(change);
    }
}

fn taxon(a: &Side, b: &Side, names: &Names, old: TaxonId, new: TaxonId, out: &mut Vec<Change>) {
    let (from, to) = (a.key.taxon(old), b.key.taxon(new));
    let lines = (a.line(from.span), b.line(to.span));
    if from.name != to.name {
        let change = Change::new(Subject::Taxon, Done::Renamed, from.name.clone())
            .was_now(Some(&from.full_name()), Some(&to.full_name()))
            .lines(lines.0, lines.1)
            .sure(names.sure(old));
        out.push(change);
    } else if from.authors != to.authors {
        let change = Change::new(Subject::Taxon, Done::Changed, from.name.clone())
            .part("authors")
            .was_now(Some(&from.authors), Some(&to.authors))
            .lines(lines.0, lines.1);
        out.push(change);
    }
    let owner = Owner { subject: Subject::Account, name: &from.name, new_name: &to.name };
    let said = |side: &Side, t: &Taxon| text(side, t);
    match (from.has_account, to.has_account) {
        (true, true) => {
            let before = out.len();
            pieces(&owner, &said(a, from), &said(b, to), out);
            out[before..].iter_mut().for_each(|c| (c.old_line, c.new_line) = lines);
            let below = |side: &Side, t: &Taxon| {
                let entry: Option<&Entry> = side.entry(t.span);
                entry.map(|e| properties(side, &e.below)).unwrap_or_default()
            };
            compare(&owner, &below(a, from), &below(b, to), &[], out);
        }
        (false, true) => {
            let change = Change::new(Subject::Account, Done::Added, from.name.clone())
                .was_now(None, Some(&said(b, to).join("; ")));
            out.push(change.lines(None, lines.1));
        }
        (true, false) => {
            let change = Change::new(Subject::Account, Done::Dropped, from.name.clone())
                .was_now(Some(&said(a, from).join("; ")), None);
            out.push(change.lines(lines.0, None));
        }
        (false, false) => {}
    }
}

/// What an account says, statement by statement.
fn text(side: &Side, taxon: &Taxon) -> Vec<String> {
    let Some(entry) = side.entry(taxon.span) else { return Vec::new() };
    let mut out = Vec::new();
    for words in entry.texts() {
        let within = taxon.parts.iter().filter(|p| words.span().contains(p.span));
        out.extend(within.map(|p| side.text(&words.within(p.span))).map(|t| plain(&t)));
    }
    out
}
