//! Leads become couplets, couplets become keys.

use std::cell::OnceCell;

use foldhash::{HashMap, HashMapExt};
use indexmap::IndexMap;

use super::outcomes::{Directory, Said};
use super::{Reader, Taxa};
use crate::key::character::Character;
use crate::key::couplet::{Couplet, CoupletId, Lead, Outcome, Subkey, SubkeyId};
use crate::key::lexicon::Lexicon;
use crate::text::finding::Finding;
use crate::text::language::fold;
use crate::text::tree::{Body, Entry, SectionKind, notes};

/// The most leads of one couplet: a lead is known by a number of sixteen bits.
const MOST_LEADS: usize = u16::MAX as usize;

impl Reader<'_> {
    pub(super) fn couplets(
        &mut self,
        characters: &[Character],
        lexicon: &Lexicon,
        taxa: &mut Taxa,
    ) -> (Vec<Subkey>, Vec<Couplet>) {
        let tree = self.tree;
        let mut subkeys: Vec<Subkey> = Vec::new();
        let mut couplets: Vec<Couplet> = Vec::new();
        // Of each lead, in the order of the couplets.
        let mut said: Vec<Said> = Vec::new();
        let mut heads: IndexMap<String, SubkeyId> = IndexMap::new();
        for section in tree.sections.iter().filter(|s| s.kind == SectionKind::Key) {
            let id = SubkeyId(subkeys.len() as u32);
            let head = section.head.text(self.text).into_owned();
            let mut subkey = Subkey {
                head: if head.is_empty() { "key".into() } else { head },
                span: section.head.span(),
                couplets: Vec::new(),
                intended: Vec::new(),
            };
            for note in notes(&section.below) {
                if self.word(note) == "intended" {
                    subkey.intended.extend(self.intended(note));
                }
            }
            // Of two with one head the first is meant.
            let first = *heads.entry(fold(&subkey.head)).or_insert(id);
            if let Some(old) = subkeys.get(first.0 as usize) {
                self.out.push(
                    Finding::error(
                        "key-twice",
                        subkey.span,
                        format!("there is a second `{}` in this file", subkey.head),
                    )
                    .why("A pointer to it would lead to the first only.")
                    .remedy("Give it another name, or put its couplets under the first.")
                    .related(old.span, "the first is here"),
                );
            }
            for entry in &section.entries {
                let Body::Lead(written) = &entry.body else { continue };
                let (lead, outcome) = self.lead(entry, written, characters, lexicon, taxa);
                // Leads with one number that follow each other are a couplet. What is beyond the
                // most that one can have begins a second of the same number, which is told of.
                let joins = subkey.couplets.last().is_some_and(|c| {
                    let c = &couplets[c.0 as usize];
                    let same = c.number == lead.label.number && c.capital == lead.label.capital;
                    same && c.leads.len() < MOST_LEADS
                });
                if !joins {
                    couplets.last_mut().iter_mut().for_each(|c| c.leads.shrink_to_fit());
                    subkey.couplets.push(CoupletId(couplets.len() as u32));
                    couplets.push(Couplet {
                        subkey: id,
                        number: lead.label.number,
                        capital: lead.label.capital,
                        leads: Vec::new(),
                    });
                }
                if let Some(c) = couplets.last_mut() {
                    c.leads.push(lead);
                    said.push(outcome);
                }
            }
            subkeys.push(subkey);
        }
        for c in &mut couplets {
            letter_missing(c);
        }
        let directory = directory(&subkeys, &couplets, heads);
        let mut said = said.into_iter();
        for couplet in &mut couplets {
            for (lead, said) in couplet.leads.iter_mut().zip(said.by_ref()) {
                lead.outcome = self.outcome(said, couplet.subkey, &directory);
            }
        }
        (subkeys, couplets)
    }

    fn lead(
        &mut self,
        entry: &Entry,
        written: &crate::text::tree::Lead,
        characters: &[Character],
        lexicon: &Lexicon,
        taxa: &mut Taxa,
    ) -> (Lead, Said) {
        let mut lead = Lead {
            label: written.label,
            back: written.back.clone(),
            body: written.body.clone(),
            parts: self.parts(&written.body, characters, lexicon),
            outcome: Outcome::Nowhere,
            outcome_words: written.outcome.clone(),
            pictures: Vec::new(),
            remarks: Vec::new(),
            intended: Vec::new(),
        };
        for note in entry.notes() {
            match self.word(note).as_str() {
                "picture" => lead.pictures.push(self.picture(&note.value)),
                "remark" => lead.remarks.push(self.value(note)),
                "intended" => lead.intended.extend(self.intended(note)),
                _ => {}
            }
        }
        let said = self.said(&written.outcome, lexicon.language, taxa);
        (lead, said)
    }
}

/// Where a letter was forgotten, the next one in order is taken, so that pointers find their lead.
fn letter_missing(couplet: &mut Couplet) {
    for i in 0..couplet.leads.len() {
        if couplet.leads[i].label.letter.is_none() {
            let next = char::from_u32('a' as u32 + i as u32).filter(char::is_ascii_lowercase);
            couplet.leads[i].label.letter = next;
        }
    }
}

fn directory(
    subkeys: &[Subkey],
    couplets: &[Couplet],
    heads: IndexMap<String, SubkeyId>,
) -> Directory {
    let mut by_label = Vec::with_capacity(subkeys.len());
    for subkey in subkeys {
        let mut map = HashMap::with_capacity(subkey.couplets.len());
        for &id in &subkey.couplets {
            let c = &couplets[id.0 as usize];
            // Of two with one label the first is meant; the second is told of by `label-twice`.
            map.entry((c.number, c.capital)).or_insert(id);
        }
        by_label.push(map);
    }
    let mut letters = Vec::new();
    let until = couplets.iter().map(|c| {
        put_letters(c, &mut letters);
        letters.len() as u32
    });
    let until = until.collect();
    Directory { couplets: by_label, numbers: OnceCell::new(), heads, letters, until }
}

/// The letters of a couplet, each with the first lead that bears it.
fn put_letters(couplet: &Couplet, out: &mut Vec<(char, u16)>) {
    let from = out.len();
    for (i, lead) in couplet.leads.iter().enumerate() {
        if let Some(letter) = lead.label.letter
            && !out[from..].iter().any(|(l, _)| *l == letter)
        {
            out.push((letter, i as u16));
        }
    }
}
