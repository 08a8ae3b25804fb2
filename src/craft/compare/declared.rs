//! What a key declares, compared: conditions, characters with their states, and the glossary.

use std::collections::{BTreeSet, HashMap, HashSet, VecDeque};

use crate::key::Character;
use crate::text::language::fold;
use crate::text::span::Span;
use crate::text::tree::{Body, Entry, SectionKind};

use super::notes::{Owner, Property, compare, properties};
use super::side::Side;
use super::{Change, Done, Subject, Sure};

/// A declared thing: its name, its own words, and what stands under it.
struct Declared {
    name: String,
    words: String,
    line: Option<usize>,
    at: Span,
    properties: Vec<Property>,
}

fn declared(side: &Side, kind: SectionKind) -> Vec<Declared> {
    let entries = side.sections(kind).flat_map(|s| &s.entries);
    entries.filter_map(|e| one(side, e)).collect()
}

fn one(side: &Side, entry: &Entry) -> Option<Declared> {
    let (at, words) = match &entry.body {
        Body::Condition { name, means } => (*name, means),
        Body::Character { name, sentence } => (*name, sentence),
        Body::Term { term, definition } => (*term, definition),
        _ => return None,
    };
    Some(Declared {
        name: super::side::plain(side.slice(at)),
        words: side.text(words),
        line: side.line(at),
        at,
        properties: properties(side, &entry.below),
    })
}

pub(super) fn conditions(a: &Side, b: &Side, out: &mut Vec<Change>) {
    simple(a, b, SectionKind::Conditions, Subject::Condition, "meaning", out);
}

pub(super) fn terms(a: &Side, b: &Side, out: &mut Vec<Change>) {
    simple(a, b, SectionKind::Glossary, Subject::Term, "definition", out);
}

fn simple(
    a: &Side,
    b: &Side,
    kind: SectionKind,
    subject: Subject,
    part: &str,
    out: &mut Vec<Change>,
) {
    let (old, new) = (declared(a, kind), declared(b, kind));
    matched(&old, &new, subject, out, |o, n, out| {
        words(subject, part, o, n, out);
        let owner = Owner { subject, name: &o.name, new_name: &n.name };
        compare(&owner, &o.properties, &n.properties, &[], out);
    });
}

pub(super) fn characters(a: &Side, b: &Side, out: &mut Vec<Change>) {
    let (old, new) = (declared(a, SectionKind::Characters), declared(b, SectionKind::Characters));
    let of = |side: &Side, d: &Declared| -> Option<Character> {
        side.key.characters.iter().find(|c| c.name_span.start == d.at.start).cloned()
    };
    matched(&old, &new, Subject::Character, out, |o, n, out| {
        words(Subject::Character, "sentence", o, n, out);
        let owner = Owner { subject: Subject::Character, name: &o.name, new_name: &n.name };
        let mut but: Vec<&str> = Vec::new();
        let (kind, kind_now) = (kind(&o.properties), kind(&n.properties));
        if let (Some(was), Some(now)) = (kind, kind_now) {
            if was.word != now.word {
                let said = |p: &Property| format!("{} {}", p.word, p.value);
                let change = Change::new(Subject::Character, Done::Changed, &*o.name)
                    .named_now(n.name.clone())
                    .part("kind")
                    .was_now(Some(&said(was)), Some(&said(now)))
                    .lines(was.line, now.line);
                out.push(change);
                but.extend([was.word.as_str(), now.word.as_str()]);
            } else if ["states", "steps"].contains(&was.word.as_str()) && was.value != now.value {
                let told = match (of(a, o), of(b, n)) {
                    (Some(old), Some(new)) => states(&owner, was, now, &old, &new, out),
                    _ => false,
                };
                // What is no list of states is compared as it is written.
                if told {
                    but.push(was.word.as_str());
                }
            }
        }
        compare(&owner, &o.properties, &n.properties, &but, out);
    });
}

fn kind(properties: &[Property]) -> Option<&Property> {
    let words = ["states", "steps", "measure", "compare"];
    properties.iter().find(|p| words.contains(&p.word.as_str()))
}

/// States put in, taken out, reworded at their place, or in another order. False where there is
/// nothing to tell.
fn states(
    owner: &Owner,
    was: &Property,
    now: &Property,
    old: &Character,
    new: &Character,
    out: &mut Vec<Change>,
) -> bool {
    let before = out.len();
    let list = |c: &Character| -> Vec<String> {
        c.states()[..c.declared()].iter().map(|s| s.word.clone()).collect()
    };
    let (from, to) = (list(old), list(new));
    let (before_all, now_all): (HashSet<&String>, HashSet<&String>) =
        (from.iter().collect(), to.iter().collect());
    let gone: Vec<usize> = (0..from.len()).filter(|i| !now_all.contains(&from[*i])).collect();
    let come: Vec<usize> = (0..to.len()).filter(|i| !before_all.contains(&to[*i])).collect();
    let change = |done: Done, part: &str| {
        Change::new(Subject::State, done, owner.name)
            .named_now(owner.new_name.to_string())
            .part(part)
            .lines(was.line, now.line)
    };
    if from.len() == to.len() && gone == come {
        for i in gone {
            let renamed = change(Done::Renamed, &from[i]).sure(Sure::Likely);
            out.push(renamed.was_now(Some(&from[i]), Some(&to[i])));
        }
    } else {
        for i in gone {
            out.push(change(Done::Dropped, &from[i]).was_now(Some(&from[i]), None));
        }
        for i in come {
            out.push(change(Done::Added, &to[i]).was_now(None, Some(&to[i])));
        }
    }
    if out.len() == before && from != to {
        let moved = change(Done::Moved, "order of the states");
        out.push(moved.was_now(Some(&from.join(", ")), Some(&to.join(", "))));
    }
    out.len() > before
}

fn words(subject: Subject, part: &str, o: &Declared, n: &Declared, out: &mut Vec<Change>) {
    if o.words != n.words {
        let change = Change::new(subject, Done::Changed, &*o.name)
            .named_now(n.name.clone())
            .part(part)
            .was_now(Some(&o.words), Some(&n.words))
            .lines(o.line, n.line);
        out.push(change);
    }
}

// By name; then by their own words; then by all that stands under them.
fn matched(
    old: &[Declared],
    new: &[Declared],
    subject: Subject,
    out: &mut Vec<Change>,
    mut both: impl FnMut(&Declared, &Declared, &mut Vec<Change>),
) {
    let mut to_new: Vec<Option<usize>> = vec![None; old.len()];
    let mut taken: BTreeSet<usize> = BTreeSet::new();
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    let said = |d: &Declared| -> Vec<(String, String)> {
        d.properties.iter().map(|p| (p.word.clone(), p.value.clone())).collect()
    };
    let known_by: [&dyn Fn(&Declared) -> Option<String>; 3] =
        [&|d| Some(fold(&d.name)), &|d| (!d.words.is_empty()).then(|| fold(&d.words)), &|d| {
            (d.properties.len() > 1).then(|| format!("{:?}", said(d)))
        }];
    for by in known_by {
        let mut there: HashMap<String, VecDeque<usize>> = HashMap::new();
        for (j, n) in new.iter().enumerate().filter(|(j, _)| !taken.contains(j)) {
            by(n).into_iter().for_each(|k| there.entry(k).or_default().push_back(j));
        }
        for (i, o) in old.iter().enumerate().filter(|(i, _)| to_new[*i].is_none()) {
            let found = by(o).and_then(|k| there.get_mut(&k)?.pop_front());
            if let Some(j) = found {
                taken.insert(j);
                pairs.push((i, j));
            }
        }
        pairs.drain(..).for_each(|(i, j)| to_new[i] = Some(j));
    }
    for (i, o) in old.iter().enumerate() {
        let Some(n) = to_new[i].map(|j| &new[j]) else {
            let change = Change::new(subject, Done::Dropped, &*o.name).lines(o.line, None);
            out.push(change.was_now(Some(&o.words), None));
            continue;
        };
        if o.name != n.name {
            let change = Change::new(subject, Done::Renamed, &*o.name)
                .was_now(Some(&o.name), Some(&n.name))
                .lines(o.line, n.line)
                .sure(Sure::Likely);
            out.push(change);
        }
        both(o, n, out);
    }
    for (_, n) in new.iter().enumerate().filter(|(j, _)| !taken.contains(j)) {
        let change = Change::new(subject, Done::Added, &*n.name).lines(None, n.line);
        out.push(change.was_now(None, Some(&n.words)));
    }
}
