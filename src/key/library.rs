//! A key with the other files that its leads point into.

use super::couplet::{CoupletId, LeadId, Outcome, Place, SubkeyId};
use super::model::Key;
use crate::text::language::fold;
use crate::text::parse::letters_of_label;

/// Keys by their files; the first is where a determination begins.
#[derive(Clone, Debug)]
pub struct Library {
    pub keys: Vec<Key>,
}

/// A couplet of one of a library's keys, or one lead of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stand {
    pub key: usize,
    pub couplet: CoupletId,
    /// Where a pointer names one lead, that lead is the only way on.
    pub lead: Option<u16>,
}

/// Where a lead takes one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Onward {
    To(Stand),
    /// The lead ends here: a name, names, a stop, or nowhere.
    End,
    /// The key it points into is not at hand.
    NotAtHand {
        key: String,
        file: String,
    },
}

impl Library {
    /// A single key.
    pub fn of(key: Key) -> Library {
        Library { keys: vec![key] }
    }

    pub fn main(&self) -> &Key {
        &self.keys[0]
    }

    /// The first couplet of the first key; `None` where it has none.
    pub fn start(&self) -> Option<Stand> {
        self.keys.first()?.subkeys.iter().find_map(|s| s.couplets.first()).map(|&couplet| Stand {
            key: 0,
            couplet,
            lead: None,
        })
    }

    /// Follows a lead of the key with index `key`.
    pub fn onward(&self, key: usize, lead: LeadId) -> Onward {
        let stand = |couplet, lead| Stand { key, couplet, lead };
        match &self.keys[key].lead(lead).outcome {
            Outcome::Couplet(c) => Onward::To(stand(*c, None)),
            Outcome::Lead(l) => Onward::To(stand(l.couplet, Some(l.index))),
            Outcome::Subkey { subkey, at } => {
                self.entry(key, *subkey, *at).map_or(Onward::End, Onward::To)
            }
            Outcome::Elsewhere { key: head, file, at } => {
                self.elsewhere(head, file, at.as_deref()).map_or_else(
                    || Onward::NotAtHand { key: head.clone(), file: file.clone() },
                    Onward::To,
                )
            }
            Outcome::Taxa(_) | Outcome::Stop(_) | Outcome::Nowhere => Onward::End,
        }
    }

    fn entry(&self, key: usize, subkey: SubkeyId, at: Option<Place>) -> Option<Stand> {
        match at {
            Some(Place::Couplet(couplet)) => Some(Stand { key, couplet, lead: None }),
            Some(Place::Lead(l)) => Some(Stand { key, couplet: l.couplet, lead: Some(l.index) }),
            None => {
                let &couplet = self.keys[key].subkey(subkey).couplets.first()?;
                Some(Stand { key, couplet, lead: None })
            }
        }
    }

    /// A key of another file, by head and by the file's name as the pointer writes it.
    fn elsewhere(&self, head: &str, file: &str, at: Option<&str>) -> Option<Stand> {
        let index = self.keys.iter().position(|k| same_file(k.source.name(), file))?;
        let key = &self.keys[index];
        let subkey = key
            .subkeys
            .iter()
            .position(|s| fold(&s.head) == fold(head))
            // A file with one key may call it just `key`.
            .or_else(|| {
                (key.subkeys.len() == 1 || fold(&key.heading.title) == fold(head)).then_some(0)
            })?;
        let place = match at.and_then(letters_of_label) {
            None => None,
            Some((number, capital, letter)) => {
                let couplet = key.subkeys[subkey].couplets.iter().copied().find(|c| {
                    let c = key.couplet(*c);
                    (c.number, c.capital) == (number, capital)
                })?;
                let index =
                    key.couplet(couplet).leads.iter().position(|l| l.label.letter == letter);
                Some(match (letter, index) {
                    (Some(_), Some(i)) => Place::Lead(LeadId { couplet, index: i as u16 }),
                    _ => Place::Couplet(couplet),
                })
            }
        };
        self.entry(index, SubkeyId(subkey as u32), place)
    }
}

/// Whether a path ends in the file that a pointer names.
pub fn same_file(path: &str, named: &str) -> bool {
    let last = |s: &str| s.rsplit(['/', '\\']).next().unwrap_or(s).to_lowercase();
    last(path) == last(named)
}
