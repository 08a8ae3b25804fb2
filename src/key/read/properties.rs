//! What several kinds of entries have in common: pictures, answers to findings, lists of words.

use super::Reader;
use crate::key::character::Picture;
use crate::key::couplet::Intended;
use crate::text::finding::Finding;
use crate::text::span::Span;
use crate::text::tree::Note;
use crate::text::words::Words;

impl<'a> Reader<'a> {
    /// The property's word in lower case.
    pub(super) fn word(&self, note: &Note) -> String {
        self.text[note.word.range()].to_lowercase()
    }

    pub(super) fn value(&self, note: &Note) -> String {
        note.value.text(self.text).into_owned()
    }

    /// `path; caption; credit NAME`
    pub(super) fn picture(&self, words: &Words) -> Picture {
        let text = words.text(self.text);
        let mut parts = text.split(';').map(str::trim);
        let path = parts.next().unwrap_or("").to_string();
        let (mut caption, mut credit) = (None, None);
        for part in parts.filter(|p| !p.is_empty()) {
            match part.strip_prefix("credit ").or_else(|| part.strip_prefix("Credit ")) {
                Some(name) => credit = Some(name.trim().to_string()),
                None if caption.is_none() => caption = Some(part.to_string()),
                None => caption = caption.map(|c| format!("{c}; {part}")),
            }
        }
        Picture { path, caption, credit, span: words.span() }
    }

    /// `RULE: reason`
    pub(super) fn intended(&mut self, note: &Note) -> Option<Intended> {
        let text = note.value.text(self.text);
        let (rule, reason) = match text.split_once(':') {
            Some((r, why)) => (r.trim(), why.trim()),
            None => (text.trim(), ""),
        };
        // A reason without a rule (`intended  three leads: ...`) is kept under its first words.
        let rule = crate::text::language::fold(rule).replace(' ', "-");
        if reason.is_empty() {
            self.out.push(
                Finding::error("answer-without-reason", note.value.span(), "an answer without a reason")
                    .why("Whoever reads the file later has to know why the warning does not hold.")
                    .remedy("Write `intended  RULE: the reason`, with the rule's name as `hilum check` prints it."),
            );
            return None;
        }
        Some(Intended { rule, reason: reason.to_string(), span: note.value.span() })
    }

    /// Reports a property that may stand once and stands twice.
    pub(super) fn once(&mut self, seen: &mut Vec<(String, Span)>, note: &Note) -> bool {
        let word = self.word(note);
        if let Some((_, first)) = seen.iter().find(|(w, _)| *w == word) {
            self.out.push(
                Finding::error("property-twice", note.word, format!("`{word}` is said twice"))
                    .why("Only the first is used.")
                    .remedy("Delete one of the two lines.")
                    .related(*first, "it is said here already"),
            );
            return false;
        }
        seen.push((word, note.word));
        true
    }

    /// A value that is none of a few words.
    pub(super) fn unreadable(&mut self, note: &Note, what: &str, allowed: &str) {
        self.out.push(
            Finding::error(
                "unreadable-value",
                note.value.span(),
                format!("`{}` is no {what}", self.value(note)),
            )
            .why("The line has no effect as it stands.")
            .remedy(format!("Write {allowed}.")),
        );
    }

    /// The pieces of a value parted by `mark`, blanks trimmed, with their places.
    pub(super) fn pieces(&self, words: &Words, mark: char) -> Vec<(String, Span)> {
        let text = words.text(self.text);
        let mut out = Vec::new();
        let mut at = 0;
        for piece in text.split(mark) {
            let start = at + (piece.len() - piece.trim_start().len());
            let trimmed = piece.trim();
            if !trimmed.is_empty() {
                out.push((trimmed.to_string(), words.locate_span(start, start + trimmed.len())));
            }
            at += piece.len() + mark.len_utf8();
        }
        out
    }

    /// A list parted by commas, or by semicolons where it holds any.
    pub(super) fn list(&self, words: &Words) -> Vec<(String, Span)> {
        let mark = if words.text(self.text).contains(';') { ';' } else { ',' };
        self.pieces(words, mark)
    }
}
