//! Pointers from one key file into another: whether the other is at hand, and what they enter.

use crate::key::couplet::Place;
use crate::key::library::same_file;
use crate::key::{Key, LeadId, Outcome, SubkeyId};
use crate::text::language::fold;
use crate::text::parse::letters_of_label;

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
                && same_file(key.source.name(), file)
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
    let other = beside.iter().find(|o| same_file(o.source.name(), file));
    Some(match other {
        None => Found::NoFile,
        Some(other) => inside(other, head, at.as_deref()),
    })
}

fn inside<'a>(key: &'a Key, head: &str, at: Option<&str>) -> Found<'a> {
    let wanted = fold(head);
    // A file with one key may be named by its title.
    let by_title = key.subkeys.len() == 1 || fold(&key.heading.title) == wanted;
    let named = key.subkeys.iter().position(|s| fold(&s.head) == wanted);
    let Some(i) = named.or((by_title && !key.subkeys.is_empty()).then_some(0)) else {
        return Found::NoKey(key);
    };
    let subkey = SubkeyId(i as u32);
    let place = match at {
        None => key.subkeys[i].couplets.first().map(|&c| Place::Couplet(c)),
        Some(label) => labelled(key, subkey, label),
    };
    place.map_or(Found::NoPlace, Found::Place)
}

fn labelled(key: &Key, subkey: SubkeyId, label: &str) -> Option<Place> {
    let (number, capital, letter) = letters_of_label(label)?;
    let couplets = &key.subkey(subkey).couplets;
    let id = *couplets.iter().find(|&&c| {
        let c = key.couplet(c);
        c.number == number && c.capital == capital
    })?;
    let Some(letter) = letter else { return Some(Place::Couplet(id)) };
    let index = key.couplet(id).leads.iter().position(|l| l.label.letter == Some(letter))?;
    Some(Place::Lead(LeadId { couplet: id, index: index as u16 }))
}
