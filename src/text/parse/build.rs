//! Lines become a tree: sections, entries, and what is indented under each.

use super::bodies::{character, condition, term};
use super::lead::Draft;
use super::lines::{Line, Rest, depth, tab_after, trim};
use super::properties::words_of;
use super::slips::{self, Slip};
use crate::text::finding::Finding;
use crate::text::language::Language;
use crate::text::source::Source;
use crate::text::span::Span;
use crate::text::tree::{Below, Body, Entry, Note, Section, SectionKind, Tree, Trivia};
use crate::text::words::Words;

pub(super) struct Builder<'a> {
    text: &'a str,
    out: &'a mut Vec<Finding>,
    language: &'static Language,
    tree: Tree,
    pending: Trivia,
    /// The lead whose lines are coming in, with what stands before it and under it.
    lead: Option<(Draft, Trivia, Vec<Below>)>,
    entry: Option<Entry>,
    /// The indentation of the property line that deeper lines go on, in columns.
    note_indent: Option<usize>,
    /// Whether a title was met, or a section without one.
    begun: bool,
    /// The first line says `Key`, and the key begins further down.
    bare_title: bool,
}

impl<'a> Builder<'a> {
    pub fn new(source: &'a Source, out: &'a mut Vec<Finding>) -> Self {
        Builder {
            text: source.text(),
            out,
            language: Language::english(),
            tree: Tree {
                source: source.clone(),
                before: Vec::new(),
                title: Words::default(),
                heading: Vec::new(),
                sections: Vec::new(),
                after: Vec::new(),
                trailing: Vec::new(),
            },
            pending: Vec::new(),
            lead: None,
            entry: None,
            note_indent: None,
            begun: false,
            bare_title: false,
        }
    }

    pub fn build(mut self, lines: impl Iterator<Item = Line>) -> Tree {
        self.bare_title = slips::begins_with_bare_key(self.text);
        for line in lines {
            match line {
                Line::Blank(at) => self.pending.push(at),
                Line::Comment(hash) => self.pending.push(hash),
                Line::Lead { label, back, rest } => {
                    self.tail(&rest);
                    self.lead_line(label, back, rest);
                }
                Line::Indented { indent, word, rest } => {
                    self.tail(&rest);
                    self.indented(indent, word, rest);
                }
                Line::Margin(rest) => {
                    self.tail(&rest);
                    self.margin(rest);
                }
            }
        }
        self.close();
        self.unknown_language();
        self.tree.after = std::mem::take(&mut self.pending);
        if self.tree.title.is_empty() {
            self.out.push(
                Finding::warning("title-missing", Span::at(0), "the file has no title")
                    .why("The first line says what the key covers; readers choose a key by it.")
                    .remedy(
                        "Write a line such as `Key to weeds of the barley terraces` at the top.",
                    ),
            );
        }
        self.tree
    }

    fn tail(&mut self, rest: &Rest) {
        self.tree.trailing.extend(rest.tail);
    }

    fn kind(&self) -> Option<SectionKind> {
        self.tree.sections.last().map(|s| s.kind)
    }

    /// Ends the open entry and puts it into its section.
    fn close(&mut self) {
        self.note_indent = None;
        let Some(section) = self.tree.sections.last_mut() else { return };
        if let Some((draft, mut before, mut below)) = self.lead.take() {
            let mut drafts = draft.split(self.text, self.out).into_iter().peekable();
            while let Some(draft) = drafts.next() {
                let lead = draft.finish(self.text, self.language, self.out);
                let last = drafts.peek().is_none();
                section.entries.push(Entry {
                    before: std::mem::take(&mut before),
                    body: Body::Lead(lead),
                    below: if last { std::mem::take(&mut below) } else { Vec::new() },
                });
            }
        }
        section.entries.extend(self.entry.take());
    }

    fn open(&mut self, body: Body) {
        self.close();
        let before = std::mem::take(&mut self.pending);
        self.entry = Some(Entry { before, body, below: Vec::new() });
    }

    fn lead_line(&mut self, label: Span, back: Option<super::lines::BackSpans>, rest: Rest) {
        let whole = Span { start: label.start, end: rest.text.end.max(label.end) };
        if !self.begun {
            // The first line is the title, whatever it says; a lead there is surely none.
            self.begun = true;
            self.tree.before = std::mem::take(&mut self.pending);
            self.tree.title = Words::one(trim(self.text, whole));
            self.out.push(slips::lead_as_title(label));
            return;
        }
        let misread = !self.text[label.range()].starts_with(|c: char| c.is_ascii_digit())
            || super::lead::label_of(self.text, label).is_none();
        self.settle_language();
        if self.kind() != Some(SectionKind::Key) {
            // `Ia ...` outside a key is a word like another.
            if misread {
                return self.margin(Rest { text: trim(self.text, whole), ..rest });
            }
            self.out.push(
                Finding::error("lead-outside-key", label, "a lead stands outside a key")
                    .why(
                        "Leads are read only under a line that says `key` (or `key to ...`) alone.",
                    )
                    .remedy(format!(
                        "Write `{}` alone on a line before the first lead.",
                        self.key_word()
                    )),
            );
            if self.kind().is_none() {
                // All that follows are leads too: read them as the key that they are.
                self.close();
                self.tree.sections.push(Section {
                    before: std::mem::take(&mut self.pending),
                    kind: SectionKind::Key,
                    head: Words::default(),
                    below: Vec::new(),
                    entries: Vec::new(),
                });
            } else {
                return self.open(Body::Stray(Words::one(trim(self.text, whole))));
            }
        }
        self.close();
        let before = std::mem::take(&mut self.pending);
        let draft = Draft::new(self.text, label, back, rest, self.out);
        self.lead = Some((draft, before, Vec::new()));
    }

    fn key_word(&self) -> &'static str {
        self.language
            .sections
            .iter()
            .find(|(_, k)| *k == SectionKind::Key)
            .map_or("key", |(w, _)| w)
    }

    fn margin(&mut self, rest: Rest) {
        self.settle_language();
        let text = &self.text[rest.text.range()];
        let section =
            self.language.section(text).or_else(|| Language::english().section(text)).filter(|k| {
                let key = !self.bare_title && slips::is_bare_key(text);
                self.begun || *k != SectionKind::Key || key
            });
        if let Some(kind) = section {
            self.begun = true;
            self.close();
            self.tree.sections.push(Section {
                before: std::mem::take(&mut self.pending),
                kind,
                head: Words::one(rest.text),
                below: Vec::new(),
                entries: Vec::new(),
            });
            return;
        }
        if !self.begun {
            self.begun = true;
            self.tree.before = std::mem::take(&mut self.pending);
            self.tree.title = Words::one(rest.text);
            if self.bare_title {
                self.out.push(slips::bare_title(rest.text));
            }
            return;
        }
        let body = match self.kind() {
            None => {
                self.stray(
                    rest.text,
                    "a line at the margin before any section",
                    &format!(
                        "Indent it if it belongs to the title; or begin a section: {}.",
                        self.section_words()
                    ),
                );
                // Kept where it stands, so that nothing of the file is lost.
                self.note_indent = None;
                self.tree.heading.push(Below::Text {
                    before: std::mem::take(&mut self.pending),
                    words: Words::one(rest.text),
                });
                return;
            }
            Some(SectionKind::Conditions) => condition(self.text, rest.text),
            Some(SectionKind::Characters) => character(self.text, rest.text),
            Some(SectionKind::Taxa) => Body::Account { name: Words::one(rest.text) },
            Some(SectionKind::Glossary) => match term(self.text, rest.text) {
                Some(body) => body,
                None => {
                    self.stray(
                        rest.text,
                        "no colon after the term",
                        "Write `term: what it means`.",
                    );
                    Body::Stray(Words::one(rest.text))
                }
            },
            Some(SectionKind::Key) => {
                self.out.push(slips::unlabelled(&rest));
                Body::Stray(Words::one(rest.text))
            }
        };
        self.open(body);
    }

    fn stray(&mut self, span: Span, what: &str, remedy: &str) {
        self.out.push(Finding::error("stray-line", span, what).remedy(remedy));
    }

    fn section_words(&self) -> String {
        let mut words: Vec<&str> = Vec::new();
        for kind in [
            SectionKind::Conditions,
            SectionKind::Characters,
            SectionKind::Key,
            SectionKind::Taxa,
            SectionKind::Glossary,
        ] {
            words.extend(self.language.sections.iter().find(|(_, k)| *k == kind).map(|(w, _)| *w));
        }
        words.join(", ")
    }

    fn indented(&mut self, indent: Span, word: Option<Span>, rest: Rest) {
        let kind = self.kind();
        let depth = depth(&self.text[indent.range()]);
        let whole = match word {
            Some(w) => Span { start: w.start, end: rest.text.end.max(w.end) },
            None => rest.text,
        };
        if !self.begun {
            self.begun = true;
            self.tree.before = std::mem::take(&mut self.pending);
            self.tree.title = Words::one(trim(self.text, whole));
            return;
        }
        if kind == Some(SectionKind::Key)
            && let Some(label) = slips::indented_label(self.text, whole, &rest)
        {
            self.out.push(slips::indented_lead(self.text, indent, label));
            return self.lead_line(label, None, slips::after_label(self.text, label, rest));
        }
        // Deeper than the property line above: its value goes on, unless a known word stands here.
        let known = word.is_some_and(|w| self.is_known(kind, w));
        let deeper = self.note_indent.is_some_and(|n| depth > n);
        // A word alone on its line is text, whatever blanks the writer left after it.
        let says = !rest.text.is_empty();
        if let Some(w) =
            word.filter(|w| known || (says && !deeper && self.looks_like_property(kind, *w)))
        {
            let note = Note {
                before: std::mem::take(&mut self.pending),
                word: w,
                value: Words::one(trim(
                    self.text,
                    Span { start: w.end, end: rest.text.end.max(w.end) },
                )),
            };
            self.note_indent = Some(depth);
            self.put(note);
            return;
        }
        let trimmed = trim(self.text, whole);
        if let Some((draft, before, below)) = self.lead.as_mut()
            && below.is_empty()
        {
            before.extend(self.pending.drain(..).filter(|s| !s.is_empty()));
            let mut leaders = rest.leaders;
            if let Some(tab) = word.and_then(|w| tab_after(self.text, w, trimmed)) {
                leaders.insert(0, tab);
            }
            draft.go_on(Rest { text: trimmed, leaders, ..rest });
            return;
        }
        if deeper && self.go_on_note(trimmed) {
            return;
        }
        self.note_indent = None;
        self.put_text(trimmed, kind);
    }

    fn is_known(&self, kind: Option<SectionKind>, word: Span) -> bool {
        let low = self.text[word.range()].to_lowercase();
        words_of(kind).contains(&low.as_str())
            || (kind == Some(SectionKind::Characters)
                && (low == "fresh"
                    || low == "pressed"
                    || low == "remark"
                    || self.is_condition(&low)))
            || (matches!(kind, Some(SectionKind::Characters | SectionKind::Taxa))
                && Language::of(&low).is_some())
    }

    fn is_condition(&self, low: &str) -> bool {
        self.tree.sections.iter().filter(|s| s.kind == SectionKind::Conditions).any(|s| {
            s.entries.iter().any(|e| match e.body {
                Body::Condition { name, .. } => self.text[name.range()].to_lowercase() == low,
                _ => false,
            })
        })
    }

    /// An unknown word that must be meant as a property: anywhere but among leads and accounts,
    /// where running text may hold two blanks; there only a near miss.
    fn looks_like_property(&mut self, kind: Option<SectionKind>, word: Span) -> bool {
        let low = self.text[word.range()].to_lowercase();
        let near = words_of(kind)
            .iter()
            .map(|w| (strsim::damerau_levenshtein(w, &low), *w))
            .min()
            .filter(|(d, w)| *d <= 2 && *d * 2 < w.chars().count());
        let running = matches!(kind, Some(SectionKind::Key | SectionKind::Taxa));
        // In a section of characters, a word may be a condition declared further down; the
        // resolver knows.
        let said_later = kind == Some(SectionKind::Characters) && near.is_none();
        if running && near.is_none() {
            return false;
        }
        if !said_later {
            let mut finding =
                Finding::error("unknown-property", word, format!("`{low}` is no property that may stand here"))
                    .why("A line of one word, two blanks and a value says something that the program acts on; this one would be lost.");
            finding = match near {
                Some((_, w)) => finding.remedy(format!("Did you mean `{w}`?")).mend(word, w),
                None => finding
                    .remedy(format!("Use one of: {}; or a `remark`.", words_of(kind).join(", "))),
            };
            self.out.push(finding);
        }
        true
    }

    /// Comments within what goes on over several lines; blank lines there part nothing.
    fn comments(&mut self) -> Trivia {
        self.pending.drain(..).filter(|s| !s.is_empty()).collect()
    }

    /// Where what is indented belongs: the lead or entry above, the section's word, the title.
    fn below(&mut self) -> &mut Vec<Below> {
        if let Some((_, _, below)) = self.lead.as_mut() {
            return below;
        }
        if let Some(entry) = self.entry.as_mut() {
            return &mut entry.below;
        }
        match self.tree.sections.last_mut() {
            Some(section) => &mut section.below,
            None => &mut self.tree.heading,
        }
    }

    fn put(&mut self, note: Note) {
        self.below().push(Below::Note(note));
    }

    /// The heading is complete: its language lends the section words.
    fn settle_language(&mut self) {
        if self.tree.sections.is_empty() {
            self.language = self.tree.language();
        }
    }

    fn unknown_language(&mut self) {
        let Some(note) = self.tree.language_note() else { return };
        let code = note.value.text(self.text);
        if Language::of(&code).is_none() {
            self.out.push(slips::unknown_language(&code, note.value.span()));
        }
    }

    /// Adds a line to the value of the last property line.
    fn go_on_note(&mut self, span: Span) -> bool {
        if !matches!(self.below().last(), Some(Below::Note(_))) {
            return false;
        }
        let comments = self.comments();
        if let Some(Below::Note(note)) = self.below().last_mut() {
            note.before.extend(comments);
            note.value.segments.push(span);
        }
        true
    }

    fn put_text(&mut self, span: Span, kind: Option<SectionKind>) {
        // A wrapped sentence, term or condition goes on under its first line.
        if let Some(entry) = self.entry.as_mut()
            && entry.below.is_empty()
        {
            let words = match &mut entry.body {
                Body::Condition { means: w, .. }
                | Body::Character { sentence: w, .. }
                | Body::Term { definition: w, .. } => Some(w),
                Body::Stray(w) => Some(w),
                _ => None,
            };
            if let Some(words) = words {
                entry.before.extend(self.pending.drain(..).filter(|s| !s.is_empty()));
                words.segments.push(span);
                return;
            }
        }
        let trivia = std::mem::take(&mut self.pending);
        if kind == Some(SectionKind::Taxa) && self.entry.is_some() {
            let before = match self.below().last() {
                Some(Below::Text { words, .. }) => words.segments.last().copied(),
                _ => None,
            };
            if let Some(slip) = Slip::of(self.text, span, kind)
                && slip.is_meant(self.text, before, self.language)
            {
                self.out.push(slip.in_account(self.text));
            }
            if let Some(Below::Text { words, before }) = self.below().last_mut() {
                before.extend(trivia);
                words.segments.push(span);
            } else {
                self.below().push(Below::Text { before: trivia, words: Words::one(span) });
            }
            return;
        }
        let what = match kind {
            None => "an indented line under the title that is no property",
            Some(SectionKind::Key) if self.lead.is_none() && self.entry.is_none() => {
                "an indented line before the first lead"
            }
            _ => "an indented line that belongs to nothing",
        };
        let remedy = format!(
            "A property is one word, two blanks and a value ({}); put `# ` before a comment.",
            words_of(kind).join(", ")
        );
        match Slip::of(self.text, span, kind) {
            Some(slip) => {
                let finding = Finding::error("stray-line", span, what);
                self.out.push(slip.mended(finding, self.text));
            }
            None => self.stray(span, what, &remedy),
        }
        self.below().push(Below::Text { before: trivia, words: Words::one(span) });
    }
}
