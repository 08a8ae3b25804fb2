//! One of the two issues, made ready to be compared: its words, and where its lines stand.

use std::collections::HashMap;

use crate::key::graph::target;
use crate::key::{CoupletId, Graph, Key, LeadId, Outcome, SubkeyId};
use crate::text::language::fold;
use crate::text::span::Span;
use crate::text::tree::{Body, Entry, Section, SectionKind, Tree};
use crate::text::words::Words;

pub(super) struct Side<'a> {
    pub key: &'a Key,
    pub tree: &'a Tree,
    pub graph: Graph,
    /// The statements of each lead, by couplet, with single blanks.
    pub leads: Vec<Vec<String>>,
    /// The lead's outcome as written, by couplet.
    pub outcomes: Vec<Vec<String>>,
    /// What stands in the page for each lead, by where its label begins.
    entries: HashMap<u32, &'a Entry>,
}

impl<'a> Side<'a> {
    pub fn of(key: &'a Key, tree: &'a Tree) -> Side<'a> {
        let text = key.source.text();
        let all = |of: &dyn Fn(&crate::key::Lead) -> String| -> Vec<Vec<String>> {
            key.couplets.iter().map(|c| c.leads.iter().map(of).collect()).collect()
        };
        let leads = all(&|l| plain(&l.body.text(text)));
        let outcomes = all(&|l| plain(&l.outcome_words.text(text)));
        let mut entries = HashMap::new();
        for entry in tree.sections.iter().flat_map(|s| &s.entries) {
            let at = match &entry.body {
                Body::Lead(lead) => lead.label.span.start,
                Body::Account { name } => name.span().start,
                _ => continue,
            };
            entries.entry(at).or_insert(entry);
        }
        Side { key, tree, graph: Graph::new(key), leads, outcomes, entries }
    }

    /// The entry of the page that begins with a label or a name.
    pub fn entry(&self, at: Span) -> Option<&'a Entry> {
        self.entries.get(&at.start).copied()
    }

    pub fn sections(&self, kind: SectionKind) -> impl Iterator<Item = &'a Section> + use<'a> {
        self.tree.sections.iter().filter(move |s| s.kind == kind)
    }

    pub fn text(&self, words: &Words) -> String {
        plain(&words.text(self.key.source.text()))
    }

    pub fn slice(&self, span: Span) -> &'a str {
        &self.tree.source.text()[span.range()]
    }

    /// The line of a place, counted from 1.
    pub fn line(&self, span: Span) -> Option<usize> {
        Some(self.key.source.lines().line_of(span.start as usize) + 1)
    }

    pub fn couplet_line(&self, id: CoupletId) -> Option<usize> {
        self.line(self.key.couplet(id).leads.first()?.label.span)
    }

    /// `12`; with the key's head where that is not the file's first.
    pub fn couplet_name(&self, id: CoupletId) -> String {
        let couplet = self.key.couplet(id);
        format!("{}{}", couplet.name(), self.of_key(couplet.subkey))
    }

    /// `12b`; with the key's head where that is not the file's first.
    pub fn lead_name(&self, id: LeadId) -> String {
        format!("{}{}", self.key.lead_name(id), self.of_key(self.key.couplet(id.couplet).subkey))
    }

    fn of_key(&self, id: SubkeyId) -> String {
        // The first key is the key itself.
        if id.0 == 0 {
            return String::new();
        }
        format!(" of `{}`", plain(&self.key.subkey(id).head))
    }

    pub fn couplet_ids(&self) -> impl Iterator<Item = CoupletId> + use<> {
        (0..self.key.couplets.len() as u32).map(CoupletId)
    }

    /// The couplet that a lead goes to, in whatever way.
    pub fn onward(&self, lead: LeadId) -> Option<CoupletId> {
        use crate::key::couplet::Place;
        match target(self.key, &self.key.lead(lead).outcome)? {
            Place::Couplet(c) => Some(c),
            Place::Lead(l) => Some(l.couplet),
        }
    }

    /// The leads of a couplet.
    pub fn leads_of(&self, couplet: CoupletId) -> impl Iterator<Item = LeadId> + use<> {
        let n = self.key.couplet(couplet).leads.len();
        (0..n as u16).map(move |index| LeadId { couplet, index })
    }

    /// Whether a lead ends in a name or names.
    pub fn names(&self, lead: LeadId) -> &'a [crate::key::TaxonId] {
        match &self.key.lead(lead).outcome {
            Outcome::Taxa(taxa) => taxa,
            _ => &[],
        }
    }

    /// The words of a couplet without case, to know it by.
    pub fn wording(&self, id: CoupletId) -> String {
        let leads: Vec<String> = self.leads[id.0 as usize].iter().map(|l| fold(l)).collect();
        leads.join("\n")
    }
}

/// Runs of blanks as one, ends trimmed.
pub(super) fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
