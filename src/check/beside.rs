//! Pointers from one key file into another: whether the other is at hand, and what they enter.

use std::path::{Component, Path, PathBuf};

use crate::key::couplet::Place;
use crate::key::{Key, LeadId, Outcome, SubkeyId};
use crate::text::language::fold;

/// What a pointer into another file comes to.
pub enum Found<'a> {
    Place(Place),
    /// The file is not among those that were read.
    NoFile,
    NoKey(&'a Key),
    NoPlace,
}

/// The places of `key` at which the files beside it enter.
pub fn entered(key: &Key, beside: &[&Key]) -> Vec<Place> {
    let mut places = Vec::new();
    for other in beside {
        for (_, lead) in other.leads() {
            if let Outcome::Elsewhere { file, key: head, at } = &lead.outcome
                && same_file(other.source.name(), file, key.source.name())
                && let Found::Place(place) = inside(key, head, at.as_deref())
            {
                places.push(place);
            }
        }
    }
    places
}

/// Follows the lead of `key` into the files beside it; `None` where it stays in its own file.
pub fn follow<'a>(key: &Key, lead: LeadId, beside: &[&'a Key]) -> Option<Found<'a>> {
    let Outcome::Elsewhere { file, key: head, at } = &key.lead(lead).outcome else { return None };
    let other = beside.iter().find(|o| same_file(key.source.name(), file, o.source.name()));
    Some(match other {
        None => Found::NoFile,
        Some(other) => inside(other, head, at.as_deref()),
    })
}

fn inside<'a>(key: &'a Key, head: &str, at: Option<&str>) -> Found<'a> {
    let wanted = fold(head);
    let named = |head: &str| {
        let head = fold(head);
        let language = key.heading.language;
        head == wanted
            || language.after_key_to(&head).is_some_and(|after| {
                after == wanted || language.after_key_to(&wanted) == Some(after)
            })
    };
    let Some(i) = key.subkeys.iter().position(|s| named(&s.head)) else {
        return Found::NoKey(key);
    };
    let subkey = SubkeyId(i as u32);
    let place = match at {
        None => key.subkeys[i].couplets.first().map(|&c| Place::Couplet(c)),
        Some(label) => labelled(key, subkey, label),
    };
    place.map_or(Found::NoPlace, Found::Place)
}

// `2`, `84A`, `2b`, `84Ab`
fn labelled(key: &Key, subkey: SubkeyId, label: &str) -> Option<Place> {
    let label = label.trim();
    let figures = label.bytes().take_while(u8::is_ascii_digit).count();
    let number: u32 = label[..figures].parse().ok()?;
    let mut marks = label[figures..].chars().peekable();
    let capital = marks.next_if(char::is_ascii_uppercase);
    let letter = marks.next_if(char::is_ascii_lowercase);
    if marks.next().is_some() {
        return None;
    }
    let couplets = &key.subkey(subkey).couplets;
    let id = *couplets.iter().find(|&&c| {
        let c = key.couplet(c);
        c.number == number && c.capital == capital
    })?;
    let Some(letter) = letter else { return Some(Place::Couplet(id)) };
    let index = key.couplet(id).leads.iter().position(|l| l.label.letter == Some(letter))?;
    Some(Place::Lead(LeadId { couplet: id, index: index as u16 }))
}

// Whether `written` in the file named `from` means the file named `name`.
fn same_file(from: &str, written: &str, name: &str) -> bool {
    let folder = Path::new(from).parent().unwrap_or(Path::new(""));
    plain(&folder.join(written)) == plain(Path::new(name))
}

// The path without `.` and with `a/..` taken out; nothing is looked up.
fn plain(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if out.file_name().is_some() => {
                out.pop();
            }
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_named_from_the_folder_of_the_file_that_names_it() {
        assert!(same_file("keys/weeds.key", "grasses.key", "keys/grasses.key"));
        assert!(same_file("keys/weeds.key", "../grasses.key", "grasses.key"));
        assert!(same_file("./weeds.key", "grasses.key", "grasses.key"));
        assert!(!same_file("keys/weeds.key", "grasses.key", "grasses.key"));
        assert!(same_file("../weeds.key", "grasses.key", "../grasses.key"));
    }
}
