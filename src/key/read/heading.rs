//! The title and the properties under it.

use super::Reader;
use crate::key::character::{Condition, ConditionId};
use crate::key::heading::Heading;
use crate::key::taxon::Term;
use crate::text::finding::Finding;
use crate::text::language::Language;
use crate::text::tree::{Body, SectionKind, notes};

impl Reader<'_> {
    pub(super) fn heading(&mut self, conditions: &[Condition]) -> Heading {
        let mut h = Heading {
            title: self.tree.title.text(self.text).into_owned(),
            place: None,
            issue: None,
            by: Vec::new(),
            described: ConditionId::FRESH,
            language: Language::english(),
            uses: Vec::new(),
            season: None,
            source: Vec::new(),
            licence: None,
            profile: Vec::new(),
            profile_places: Vec::new(),
            cautions: Vec::new(),
            remarks: Vec::new(),
            intended: Vec::new(),
        };
        let mut seen = Vec::new();
        let tree = self.tree;
        for note in notes(&tree.heading) {
            let word = self.word(note);
            let value = self.value(note);
            if value.is_empty() {
                self.empty(note);
                continue;
            }
            match word.as_str() {
                "by" => h.by.push(value),
                "uses" => h.uses.extend(self.list(&note.value).into_iter().map(|(f, _)| f)),
                "source" => h.source.push(value),
                "profile" => {
                    let (names, places): (Vec<_>, Vec<_>) =
                        self.list(&note.value).into_iter().unzip();
                    h.profile.extend(names);
                    h.profile_places.extend(places);
                }
                "caution" => h.cautions.push(value),
                "remark" => h.remarks.push(value),
                "intended" => h.intended.extend(self.intended(note)),
                _ if !self.once(&mut seen, note) => {}
                "place" => h.place = Some(value),
                "issue" => h.issue = Some(value),
                "season" => h.season = Some(value),
                "licence" => h.licence = Some(value),
                "language" => h.language = Language::of(&value).unwrap_or(h.language),
                "described" => match self.condition(conditions, &value) {
                    Some(c) => h.described = c,
                    None => self.unknown_condition(note.value.span(), &value, conditions),
                },
                _ => {}
            }
        }
        h
    }

    pub(super) fn empty(&mut self, note: &crate::text::tree::Note) {
        let word = self.word(note);
        self.out.push(
            Finding::error("unreadable-value", note.word, format!("`{word}` says nothing"))
                .why("The line has no effect as it stands.")
                .remedy("Write its value after two blanks, or delete the line."),
        );
    }

    pub(super) fn unknown_condition(
        &mut self,
        span: crate::text::span::Span,
        name: &str,
        conditions: &[Condition],
    ) {
        let known: Vec<&str> = conditions.iter().map(|c| c.name.as_str()).collect();
        self.out.push(
            Finding::error("condition-unknown", span, format!("no condition is called `{name}`"))
                .why("A specimen is fresh, pressed, or in a condition that the file declares.")
                .remedy(format!(
                    "Use one of {}, or declare it under `conditions`.",
                    known.join(", ")
                )),
        );
    }

    /// The glossary.
    pub(super) fn terms(&mut self) -> Vec<Term> {
        let mut out = Vec::new();
        for entry in self.entries(SectionKind::Glossary) {
            let Body::Term { term, definition } = &entry.body else { continue };
            let mut t = Term {
                word: self.text[term.range()].to_string(),
                also: Vec::new(),
                definition: definition.text(self.text).into_owned(),
                pictures: Vec::new(),
                span: *term,
            };
            for note in entry.notes() {
                match self.word(note).as_str() {
                    "also" => t.also.extend(self.list(&note.value).into_iter().map(|(w, _)| w)),
                    "picture" => t.pictures.push(self.picture(&note.value)),
                    _ => {}
                }
            }
            out.push(t);
        }
        out
    }
}
