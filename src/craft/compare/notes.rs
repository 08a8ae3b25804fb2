//! Property lines compared: under the title, a character, a lead, an account.

use std::collections::HashMap;

use indexmap::IndexMap;

use crate::text::tree::{Below, Note, notes};

use super::side::{Side, plain};
use super::{Change, Done, Subject};

/// A property line as it is compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Property {
    pub word: String,
    pub value: String,
    pub line: Option<usize>,
}

/// What the properties belong to: in the old issue and the new.
pub(super) struct Owner<'n> {
    pub subject: Subject,
    pub name: &'n str,
    pub new_name: &'n str,
}

pub(super) fn properties(side: &Side, below: &[Below]) -> Vec<Property> {
    let one = |n: &Note| Property {
        word: plain(side.slice(n.word)).to_lowercase(),
        value: side.text(&n.value),
        line: side.line(n.word),
    };
    notes(below).map(one).collect()
}

/// The title and what stands under it.
pub(super) fn heading(a: &Side, b: &Side, out: &mut Vec<Change>) {
    let titles = (a.text(&a.tree.title), b.text(&b.tree.title));
    if titles.0 != titles.1 {
        let change = Change::new(Subject::Heading, Done::Changed, "title")
            .was_now(Some(&titles.0), Some(&titles.1))
            .lines(a.line(a.tree.title.span()), b.line(b.tree.title.span()));
        out.push(change);
    }
    let owner = Owner { subject: Subject::Heading, name: "heading", new_name: "heading" };
    let (old, new) = (properties(a, &a.tree.heading), properties(b, &b.tree.heading));
    compare(&owner, &old, &new, &[], out);
}

/// The properties of one thing, word by word: what is in both is the same; of what is left the
/// first stands against the first. The words in `but` are left out.
pub(super) fn compare(
    owner: &Owner,
    old: &[Property],
    new: &[Property],
    but: &[&str],
    out: &mut Vec<Change>,
) {
    let mut words: IndexMap<&str, (Vec<&Property>, Vec<&Property>)> = IndexMap::new();
    old.iter().for_each(|p| words.entry(&p.word).or_default().0.push(p));
    new.iter().for_each(|p| words.entry(&p.word).or_default().1.push(p));
    for (word, (mut was, mut now)) in words {
        if but.contains(&word) {
            continue;
        }
        let count = |all: &[&Property]| {
            let mut counts: HashMap<String, usize> = HashMap::new();
            all.iter().for_each(|p| *counts.entry(p.value.clone()).or_default() += 1);
            counts
        };
        // Whether there is one more of this value on the other side.
        let met = |counts: &mut HashMap<String, usize>, p: &Property| match counts.get_mut(&p.value)
        {
            Some(n) if *n > 0 => {
                *n -= 1;
                true
            }
            _ => false,
        };
        let (mut of_was, mut of_now) = (count(&was), count(&now));
        was.retain(|p| !met(&mut of_now, p));
        now.retain(|p| !met(&mut of_was, p));
        in_turn(&was, &now, |done, w, n| {
            out.push(
                Change::new(owner.subject, done, owner.name)
                    .named_now(owner.new_name.to_string())
                    .part(word)
                    .was_now(w.map(|p| p.value.as_str()), n.map(|p| p.value.as_str()))
                    .lines(w.and_then(|p| p.line), n.and_then(|p| p.line)),
            );
        });
    }
}

/// One of each list at a time: changed while both last, then dropped or added.
fn in_turn<T>(was: &[T], now: &[T], mut tell: impl FnMut(Done, Option<&T>, Option<&T>)) {
    for i in 0..was.len().max(now.len()) {
        let (w, n) = (was.get(i), now.get(i));
        let done = match (w, n) {
            (Some(_), Some(_)) => Done::Changed,
            (Some(_), None) => Done::Dropped,
            _ => Done::Added,
        };
        tell(done, w, n);
    }
}

/// Two runs of text, piece by piece: what was put in, taken out, or put in the place of another.
pub(super) fn pieces(owner: &Owner, old: &[String], new: &[String], out: &mut Vec<Change>) {
    for piece in super::words::pieces(old, new).into_iter().filter(|p| !p.same) {
        let (was, now) = (&old[piece.old], &new[piece.new]);
        in_turn(was, now, |done, w, n| {
            out.push(
                Change::new(owner.subject, done, owner.name)
                    .named_now(owner.new_name.to_string())
                    .part("statement")
                    .was_now(w.map(String::as_str), n.map(String::as_str)),
            );
        });
    }
}
