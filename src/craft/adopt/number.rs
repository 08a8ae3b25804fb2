//! Couplets get the format's numbers: the printed ones where they serve, new ones where not.

use std::collections::BTreeMap;

use indexmap::IndexMap;

use super::draft::{Draft, Goes, Pointer};
use super::write::head_key;

/// A couplet's number in the key file.
pub type Number = (u32, Option<char>);

/// The numbers of a draft's couplets, and where each lead goes in the format's words.
#[derive(Debug, Default)]
pub struct Numbered {
    /// For each key its couplets' numbers.
    pub numbers: Vec<Vec<Number>>,
    /// Whether a key's printed numbers were kept.
    pub kept: Vec<bool>,
    /// For each key the first couplet that bears a printed number.
    places: Vec<BTreeMap<Number, usize>>,
}

/// What is written after a lead's dots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    Couplet(String),
    Names(Vec<String>),
    Key {
        key: usize,
        at: Option<String>,
    },
    Stop(String),
    /// A pointer that names no couplet, as printed.
    Dangling(String),
    Nowhere,
}

impl Numbered {
    pub fn of(draft: &Draft) -> Numbered {
        let mut out = Numbered::default();
        for key in &draft.keys {
            let printed: Vec<Option<Number>> = key.couplets.iter().map(|c| c.id).collect();
            let mut seen = std::collections::BTreeSet::new();
            let mut places = BTreeMap::new();
            for (at, id) in printed.iter().enumerate() {
                if let Some(id) = id {
                    places.entry(*id).or_insert(at);
                }
            }
            out.places.push(places);
            let first = printed.first().copied().flatten();
            let usable = printed.iter().all(|id| id.is_some_and(|id| id.0 > 0 && seen.insert(id)))
                && first.is_some();
            let repeats = printed.iter().all(|id| id.is_some_and(|id| id.0 > 0)) && !key.nested;
            if usable || repeats {
                out.numbers.push(printed.into_iter().flatten().collect());
                out.kept.push(true);
            } else {
                out.numbers.push((1..=key.couplets.len() as u32).map(|n| (n, None)).collect());
                out.kept.push(false);
            }
        }
        out
    }

    /// The couplet of a key that bears a printed number: the first that does.
    fn couplet(&self, key: usize, pointer: &Pointer) -> Option<usize> {
        self.places.get(key)?.get(&(pointer.number, pointer.capital)).copied()
    }

    /// The couplet of the same key that a lead goes to.
    pub fn next(&self, key: usize, goes: &Goes) -> Option<usize> {
        match goes {
            Goes::Child(couplet) => Some(*couplet),
            Goes::Pointer(pointer) => self.couplet(key, pointer),
            _ => None,
        }
    }

    /// Where a lead goes.
    pub fn target(&self, draft: &Draft, key: usize, goes: &Goes) -> Target {
        match goes {
            Goes::Nowhere => Target::Nowhere,
            Goes::Names(names) => Target::Names(names.clone()),
            Goes::Stop(reason) => Target::Stop(reason.clone()),
            Goes::Child(couplet) => Target::Couplet(label(self.numbers[key][*couplet], None)),
            Goes::Pointer(pointer) => match self.couplet(key, pointer) {
                Some(at) => Target::Couplet(label(self.numbers[key][at], pointer.lead)),
                None => Target::Dangling(pointer.written.clone()),
            },
            Goes::Key { name, at, words } => {
                let Some(to) = find_key(draft, name, key) else {
                    return Target::Stop(words.clone());
                };
                let place = at
                    .as_deref()
                    .and_then(|a| super::pointer::read(a, super::pointer::Called::Numbers))
                    .and_then(|p| {
                        let at = self.couplet(to, &p)?;
                        Some(label(self.numbers[to][at], p.lead))
                    });
                if at.is_some() && place.is_none() {
                    return Target::Stop(words.clone());
                }
                Target::Key { key: to, at: place }
            }
        }
    }

    /// The number that a back-reference has in the file; `None` where no couplet bears it.
    pub fn origin(&self, key: usize, back: &str) -> Option<String> {
        let pointer = super::pointer::read(back, super::pointer::Called::Numbers)?;
        match self.couplet(key, &pointer) {
            Some(at) => Some(label(self.numbers[key][at], pointer.lead)),
            // `1 (0)`: the first couplet comes from nowhere.
            None if pointer.number == 0 => None,
            None if self.kept[key] => Some(label((pointer.number, pointer.capital), pointer.lead)),
            None => None,
        }
    }
}

/// `7`, `84A`, `7b`.
pub fn label(number: Number, lead: Option<u8>) -> String {
    let capital = number.1.map(String::from).unwrap_or_default();
    let letter = lead.map(|l| char::from(b'a' + l.min(25)).to_string()).unwrap_or_default();
    format!("{}{capital}{letter}", number.0)
}

/// The one key whose title is, or holds as a whole word, a name.
fn find_key(draft: &Draft, name: &str, from: usize) -> Option<usize> {
    let wanted = head_key(name);
    if wanted.len() < 2 {
        return None;
    }
    let heads: IndexMap<usize, String> = draft
        .keys
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != from)
        .filter_map(|(i, k)| Some((i, head_key(k.title.as_deref()?))))
        .collect();
    if let Some((&i, _)) = heads.iter().find(|(_, h)| **h == wanted) {
        return Some(i);
    }
    let whole = |h: &str| {
        h.match_indices(&wanted).any(|(at, _)| {
            let before = h[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
            let after = h[at + wanted.len()..].chars().next().is_none_or(|c| !c.is_alphanumeric());
            before && after
        })
    };
    let mut fits = heads.iter().filter(|(_, h)| whole(h));
    let first = fits.next()?;
    fits.next().is_none().then_some(*first.0)
}
