//! What the leads of a key say, word by word and feature by feature, found out once for all rules
//! on wording.
//!
//! Where a statement was read its character counts; words count only in prose.

mod contrast;
mod features;
mod words;

use crate::key::{Character, CharacterId, CoupletId, Key, LeadId, Statement};
use crate::text::span::Span;

use super::lists::{self, Kinds, Lists, Organ};

pub(super) use features::{Feature, Said, Subject};
pub(super) use words::{Word, WordId};

/// The wording of a key.
#[derive(Debug)]
pub(super) struct Wording {
    /// The word lists of the key's language.
    pub lists: Option<&'static Lists>,
    vocabulary: words::Vocabulary,
    subjects: Vec<Subject>,
    /// By couplet, then by lead.
    said: Vec<Vec<Said>>,
}

impl Wording {
    pub fn of(key: &Key) -> Wording {
        let lists = lists::of(key.heading.language);
        let mut vocabulary = words::Vocabulary::default();
        let subjects: Vec<Subject> =
            key.characters.iter().map(|c| Subject::of(c, key, lists, &mut vocabulary)).collect();
        let mut said: Vec<Vec<Said>> = key
            .couplets
            .iter()
            .map(|c| {
                let leads = c.leads.iter();
                leads.map(|l| Said::of(l, key, lists, &subjects, &mut vocabulary)).collect()
            })
            .collect();
        for (leads, couplet) in said.iter_mut().zip(&key.couplets) {
            contrast::mark(leads, couplet, key, &subjects, &vocabulary);
        }
        Wording { lists, vocabulary, subjects, said }
    }

    pub fn said(&self, lead: LeadId) -> &Said {
        &self.said[lead.couplet.0 as usize][lead.index as usize]
    }

    /// What each lead of a couplet says.
    pub fn couplet(&self, couplet: CoupletId) -> &[Said] {
        &self.said[couplet.0 as usize]
    }

    pub fn subject(&self, character: CharacterId) -> &Subject {
        &self.subjects[character.0 as usize]
    }

    pub fn kinds(&self, word: &Word) -> Kinds {
        self.vocabulary.kinds(word.id)
    }

    /// A word in the form in which it is compared.
    pub fn text(&self, word: WordId) -> &str {
        self.vocabulary.text(word)
    }

    pub fn find(&self, word: &str) -> Option<WordId> {
        self.vocabulary.find(word)
    }

    /// Whether some word of the feature outside remarks is of these kinds.
    pub fn speaks_of(&self, said: &Said, feature: &Feature, kinds: Kinds) -> bool {
        self.first_of(said, feature, kinds).is_some()
    }

    /// The first word of the feature outside remarks that is of these kinds.
    pub fn first_of<'s>(
        &self,
        said: &'s Said,
        feature: &Feature,
        kinds: Kinds,
    ) -> Option<&'s Word> {
        feature.words(said).iter().find(|w| !w.in_remark && self.kinds(w).has(kinds))
    }

    /// The lead's first word, articles aside.
    pub fn first<'s>(&self, said: &'s Said) -> Option<&'s Word> {
        said.words.iter().find(|w| !w.in_remark && !self.kinds(w).has(Kinds::UNSTRESSED))
    }

    /// Whether two words say the same at the head of a lead: they are one, or both name the whole
    /// plant (trees, shrubs).
    pub fn heads_alike(&self, a: &Word, b: &Word) -> bool {
        let whole = |w: &Word| self.vocabulary.organ(w.id) == Some(Organ::Whole);
        a.id == b.id || (whole(a) && whole(b))
    }

    /// Whether a feature in prose says nothing but words of this kind, of some part: `petals red`,
    /// but not `petals red, notched`.
    pub fn only_says(&self, said: &Said, feature: &Feature, kind: Kinds) -> bool {
        let small = Kinds::PART
            .and(Kinds::PREPOSITION)
            .and(Kinds::UNSTRESSED)
            .and(Kinds::NEGATIVE)
            .and(Kinds::HEDGE)
            .and(Kinds::EXCEPTION)
            .and(Kinds::DEGREE);
        let mut words = feature.words(said).iter().filter(|w| !w.in_remark);
        self.speaks_of(said, feature, kind)
            && words.all(|w| self.kinds(w).has(kind.and(small).and(Kinds::OR).and(Kinds::AND)))
    }

    /// The one feature of a lead that says one thing only; `None` where it says more. Commas in
    /// prose part what is said (`long, narrow`), but for those of a list (`red, white or blue`).
    pub fn sole<'s>(&self, said: &'s Said) -> Option<&'s Feature> {
        let [feature] = said.features.as_slice() else { return None };
        let words = || feature.words(said).iter().filter(|w| !w.in_remark);
        let commas = words().any(|w| w.after_comma && !self.kinds(w).has(Kinds::EXCEPTION));
        let list = words().any(|w| self.kinds(w).has(Kinds::OR));
        (!feature.is_prose() || !commas || list).then_some(feature)
    }

    /// Whether a couplet can only be answered by features of one sort: in every lead all that is
    /// contrasted with another lead, or all that is said where nothing is.
    pub fn decided_by(
        &self,
        couplet: CoupletId,
        sort: impl Fn(LeadId, &Said, &Feature) -> bool,
    ) -> bool {
        let leads = self.couplet(couplet);
        leads.len() > 1
            && leads.iter().enumerate().all(|(i, said)| {
                let lead = LeadId { couplet, index: i as u16 };
                let contrasted = said.features.iter().any(|f| f.contrasted);
                let mut counted = said.features.iter().filter(|f| f.contrasted || !contrasted);
                !said.features.is_empty() && counted.all(|f| sort(lead, said, f))
            })
    }
}

/// The statement of a feature that was read, with its character.
pub(super) fn read<'k>(
    key: &'k Key,
    lead: LeadId,
    feature: &Feature,
) -> Option<(&'k Statement, &'k Character)> {
    let (part, nth) = feature.statement?;
    let statement = key.lead(lead).parts.get(part as usize)?.statements.get(nth as usize)?;
    Some((statement, key.character(statement.character)))
}

/// From the first to the last of the lead's words; its label where it says nothing.
pub(super) fn body(key: &Key, lead: LeadId) -> Span {
    let lead = key.lead(lead);
    if lead.body.is_empty() { lead.label.span } else { lead.body.span() }
}
