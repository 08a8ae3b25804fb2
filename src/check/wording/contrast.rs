//! Which features of a lead another lead of the couplet speaks of too.

use std::collections::HashMap;

use crate::check::lists::{Kinds, Organ};
use crate::key::{CharacterId, Couplet, Key, Lead, Value};

use super::features::{Said, Subject};
use super::words::{Vocabulary, Word, WordId};

/// Which leads mention something: the first, and whether another does.
#[derive(Clone, Copy)]
struct Leads {
    first: usize,
    others: bool,
}

impl Leads {
    fn besides(self, lead: usize) -> bool {
        self.others || self.first != lead
    }
}

struct Mentions<K> {
    leads: HashMap<K, Leads>,
}

impl<K> Default for Mentions<K> {
    fn default() -> Self {
        Mentions { leads: HashMap::new() }
    }
}

impl<K: std::hash::Hash + Eq> Mentions<K> {
    fn add(&mut self, what: K, lead: usize) {
        let leads = self.leads.entry(what).or_insert(Leads { first: lead, others: false });
        leads.others |= leads.first != lead;
    }

    fn besides(&self, what: &K, lead: usize) -> bool {
        self.leads.get(what).is_some_and(|l| l.besides(lead))
    }
}

/// Marks the features of a couplet. A character is contrasted with itself; prose with whatever
/// names the same part of the plant.
pub(super) fn mark(
    leads: &mut [Said],
    couplet: &Couplet,
    key: &Key,
    subjects: &[Subject],
    vocabulary: &Vocabulary,
) {
    let mut characters: Mentions<CharacterId> = Mentions::default();
    let mut topics: Mentions<WordId> = Mentions::default();
    let mut in_prose: Mentions<WordId> = Mentions::default();
    let is_part = |w: &&Word| !w.in_remark && vocabulary.kinds(w.id).has(Kinds::PART);
    for (i, said) in leads.iter().enumerate() {
        for f in &said.features {
            match f.character {
                Some(c) => {
                    characters.add(c, i);
                    subjects[c.0 as usize].nouns.iter().for_each(|&n| topics.add(n, i));
                }
                None => {
                    f.subject(said).iter().for_each(|w| topics.add(w.id, i));
                    let parts = f.words(said).iter().filter(is_part);
                    parts.for_each(|w| in_prose.add(w.id, i));
                }
            }
        }
    }
    for (i, said) in leads.iter_mut().enumerate() {
        let named = |w: &WordId| topics.besides(w, i) || in_prose.besides(w, i);
        let marks: Vec<(bool, bool)> = said
            .features
            .iter()
            .map(|f| match f.character {
                Some(c) => {
                    let contrasted = characters.besides(&c, i);
                    let nouns = &subjects[c.0 as usize].nouns;
                    let prose = nouns.iter().any(|n| in_prose.besides(n, i));
                    (contrasted, !contrasted && !prose && !ruled_out(key, c, couplet, i))
                }
                None => {
                    let subject = f.subject(said);
                    let contrasted = subject.iter().any(|w| topics.besides(&w.id, i));
                    // Trees are contrasted with shrubs.
                    let whole = f.organ == Some(Organ::Whole);
                    let named = subject.iter().any(|w| named(&w.id));
                    (contrasted, !named && !whole && !subject.is_empty())
                }
            })
            .collect();
        for (f, (contrasted, alone)) in said.features.iter_mut().zip(marks) {
            (f.contrasted, f.alone) = (contrasted, alone);
        }
    }
}

/// Beyond this many leads it is not looked whether a character applies under each of them.
const FEW: usize = 16;

// Whether the character cannot apply under the other leads: `petals none` beside `petals red`.
fn ruled_out(key: &Key, character: CharacterId, couplet: &Couplet, own: usize) -> bool {
    if couplet.leads.len() > FEW {
        return true;
    }
    let applies = &key.character(character).applies;
    let others = couplet.leads.iter().enumerate().filter(|(i, _)| *i != own);
    !applies.is_empty()
        && others.map(|(_, l)| l).all(|lead| applies.iter().any(|a| denies(lead, a)))
}

fn denies(lead: &Lead, condition: &crate::key::Statement) -> bool {
    let Some(needed) = condition.value.accepts() else { return false };
    lead.statements().any(|s| {
        s.character == condition.character
            && matches!(&s.value, Value::States(_))
            && s.value.accepts().is_some_and(|said| !said.overlaps(&needed))
    })
}
