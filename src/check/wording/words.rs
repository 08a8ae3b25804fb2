//! The words of leads, each with its place, numbered by what the lists and tables know of it.

use std::collections::HashMap;

use crate::check::lists::{Kinds, Lists, Organ};
use crate::key::lexicon::tokens::{closing, comparable, touches_number, word_end};
use crate::text::frequency::Frequency;
use crate::text::language::Language;
use crate::text::span::Span;
use crate::text::words::Words;

/// A word as it stands in a lead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::check) struct Word {
    pub span: Span,
    /// Its number among the words of the key.
    pub id: WordId,
    /// It begins with a capital letter.
    pub capital: bool,
    /// A comma stands before it.
    pub after_comma: bool,
    /// It stands in parentheses: shown, not compared.
    pub in_remark: bool,
}

/// A word in the form in which it is compared, numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(in crate::check) struct WordId(pub u32);

/// The different words of a key.
#[derive(Debug, Default)]
pub(super) struct Vocabulary {
    ids: HashMap<Box<str>, WordId>,
    known: Vec<Known>,
}

#[derive(Debug)]
struct Known {
    text: Box<str>,
    kinds: Kinds,
    organ: Option<Organ>,
}

impl Vocabulary {
    pub fn text(&self, id: WordId) -> &str {
        &self.known[id.0 as usize].text
    }

    pub fn kinds(&self, id: WordId) -> Kinds {
        self.known[id.0 as usize].kinds
    }

    pub fn organ(&self, id: WordId) -> Option<Organ> {
        self.known[id.0 as usize].organ
    }

    pub fn find(&self, word: &str) -> Option<WordId> {
        self.ids.get(word).copied()
    }

    fn number(&mut self, word: &str, language: &Language, lists: Option<&Lists>) -> WordId {
        if let Some(&id) = self.ids.get(word) {
            return id;
        }
        let id = WordId(self.known.len() as u32);
        let kinds = kinds(word, language, lists);
        let part = lists.and_then(|l| l.last_part(word, language));
        let organ = lists.and_then(|l| l.organ(word).or_else(|| l.organ(part?)));
        let kinds = if part.is_some() { kinds.and(Kinds::PART) } else { kinds };
        self.known.push(Known { text: word.into(), kinds, organ });
        self.ids.insert(word.into(), id);
        id
    }

    /// The words of a text in one or more pieces.
    pub fn read(
        &mut self,
        words: &Words,
        source: &str,
        language: &Language,
        lists: Option<&Lists>,
    ) -> Vec<Word> {
        let text = words.text(source);
        let mut place = Places { segments: &words.segments, index: 0, offset: 0 };
        let mut out = Vec::new();
        each(&text, |start, end, after_comma, in_remark| {
            let written = &text[start..end];
            let compared = comparable(written, language);
            if compared.is_empty() {
                return;
            }
            out.push(Word {
                span: Span { start: place.of(start), end: place.of(end - 1) + 1 },
                id: self.number(&compared, language, lists),
                capital: written.starts_with(char::is_uppercase),
                after_comma,
                in_remark,
            });
        });
        out
    }

    /// The words of a short text whose places do not matter.
    pub fn learn(&mut self, text: &str, language: &Language, lists: Option<&Lists>) -> Vec<WordId> {
        let mut out = Vec::new();
        each(text, |start, end, _, in_remark| {
            let compared = comparable(&text[start..end], language);
            if !compared.is_empty() && !in_remark {
                out.push(self.number(&compared, language, lists));
            }
        });
        out
    }
}

fn kinds(word: &str, language: &Language, lists: Option<&Lists>) -> Kinds {
    let mut kinds = lists.map(|l| l.kinds(word)).unwrap_or_default();
    let mut mark = |kind: Kinds, is: bool| {
        if is {
            kinds = kinds.and(kind);
        }
    };
    mark(Kinds::NOT.and(Kinds::NEGATIVE), language.not.contains(&word));
    mark(Kinds::AND, language.and.contains(&word) || word == "&");
    mark(Kinds::OR, language.or.contains(&word));
    mark(Kinds::UNSTRESSED, language.unstressed.contains(&word));
    let frequency = language.frequency.iter().find(|(w, _)| *w == word).map(|(_, f)| *f);
    mark(Kinds::HEDGE, frequency.is_some_and(|f| f >= Frequency::Perhaps));
    mark(Kinds::EXCEPTION, frequency.is_some_and(|f| f < Frequency::Perhaps));
    mark(Kinds::MONTH, language.months.iter().any(|m| m.contains(&word)));
    let figures = word.bytes().any(|b| b.is_ascii_digit())
        || word.contains(['½', '¼', '¾', '⅓', '⅔'])
        || language.numbers.iter().any(|(w, _)| *w == word)
        || language.compare.factors.iter().any(|(w, _, _)| *w == word);
    mark(Kinds::NUMBER, figures);
    let compare = &language.compare;
    mark(
        Kinds::COMPARES,
        compare.than.contains(&word)
            || compare.as_before.contains(&word)
            || compare.as_after.contains(&word),
    );
    kinds
}

/// Where bytes of the joined text stand in the source; asked for in rising order.
struct Places<'a> {
    segments: &'a [Span],
    index: usize,
    offset: usize,
}

impl Places<'_> {
    fn of(&mut self, at: usize) -> u32 {
        while let Some(segment) = self.segments.get(self.index)
            && at >= self.offset + segment.len()
            && self.index + 1 < self.segments.len()
        {
            self.offset += segment.len() + 1;
            self.index += 1;
        }
        let start = self.segments.get(self.index).map_or(0, |s| s.start);
        start + at.saturating_sub(self.offset) as u32
    }
}

// Calls `f` with each word's start and end, whether a comma stands before it, and whether it stands
// in a remark.
fn each(text: &str, mut f: impl FnMut(usize, usize, bool, bool)) {
    let (mut at, mut comma, mut remark) = (0, false, 0);
    while let Some(c) = text[at..].chars().next() {
        match c {
            ',' => comma = true,
            ';' => comma = false,
            '(' | '[' if at < remark => {}
            '(' | '[' => {
                let close = closing(text, at);
                if touches_number(text, at, close) {
                    at = word(text, at, text.len(), comma, false, &mut f);
                    comma = false;
                    continue;
                }
                remark = close;
            }
            ')' | ']' | ':' => {}
            c if c.is_whitespace() => {}
            _ => {
                let inside = at < remark;
                let most = if inside { remark } else { text.len() };
                at = word(text, at, most, comma, inside, &mut f);
                comma = false;
                continue;
            }
        }
        at += c.len_utf8();
    }
}

// One word; returns where the next may begin.
fn word(
    text: &str,
    at: usize,
    most: usize,
    comma: bool,
    remark: bool,
    f: &mut impl FnMut(usize, usize, bool, bool),
) -> usize {
    let end = word_end(text, at).min(most);
    let bare = text[at..end].trim_end_matches(['.', ':', '"', '“', '”', '!', '?', ')', ']']);
    // Brackets that belong to a number stay with it: `3-5(-7)`.
    let bare = if bare.contains(['(', '[']) { &text[at..end] } else { bare };
    if !bare.is_empty() {
        f(at, at + bare.len(), comma, remark);
    }
    let first = text[at..].chars().next().map_or(1, char::len_utf8);
    end.max(at + first)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<(String, bool, bool)> {
        let mut vocabulary = Vocabulary::default();
        let words = Words::one(Span::new(0, text.len()));
        let language = Language::english();
        let lists = crate::check::lists::of(language);
        let read = vocabulary.read(&words, text, language, lists);
        read.iter()
            .map(|w| (vocabulary.text(w.id).to_string(), w.after_comma, w.in_remark))
            .collect()
    }

    #[test]
    fn words_are_compared_without_case_number_and_stops() {
        let words: Vec<String> =
            read("Leaves  alternate. Blades (2-)3-5(-7) mm.").into_iter().map(|w| w.0).collect();
        assert_eq!(words, ["leaf", "alternate", "blade", "(2-)3-5(-7)", "mm"]);
    }

    #[test]
    fn remarks_and_commas_are_marked() {
        let words = read("bark smooth, twigs (when young) hairy");
        let said: Vec<(&str, bool, bool)> =
            words.iter().map(|(w, c, r)| (w.as_str(), *c, *r)).collect();
        assert_eq!(
            said,
            [
                ("bark", false, false),
                ("smooth", false, false),
                ("twig", true, false),
                ("when", false, true),
                ("young", false, true),
                ("hairy", false, false),
            ]
        );
    }

    #[test]
    fn places_go_over_line_ends() {
        let source = "1a  Leaves\n    alternate here";
        let words = Words { segments: vec![Span::new(4, 10), Span::new(15, 29)].into() };
        let mut vocabulary = Vocabulary::default();
        let read = vocabulary.read(&words, source, Language::english(), None);
        let slices: Vec<&str> = read.iter().map(|w| &source[w.span.range()]).collect();
        assert_eq!(slices, ["Leaves", "alternate", "here"]);
    }

    #[test]
    fn brackets_that_never_close_do_no_harm() {
        assert_eq!(read("leaves (when young").len(), 3);
        assert_eq!(read("((((").len(), 0);
        assert_eq!(read("5( 6( ) ] a").last().map(|w| w.0.as_str()), Some("a"));
    }
}
