//! Text as words that can be compared: case, articles, plurals and remarks in parentheses aside.

use std::borrow::Cow;

use foldhash::HashMap;

use crate::text::language::Language;

/// A word known to a lexicon, or [`Word::UNKNOWN`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Word(u32);

impl Word {
    pub const UNKNOWN: Word = Word(0);
    pub const COMMA: Word = Word(1);
}

/// A word of a text and its place in it, in bytes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub word: Word,
    pub start: u32,
    pub end: u32,
}

/// The words that declarations use, numbered.
#[derive(Clone, Debug, Default)]
pub(crate) struct Vocabulary {
    ids: HashMap<Box<str>, Word>,
}

impl Vocabulary {
    fn add(&mut self, word: &str) -> Word {
        if let Some(&w) = self.ids.get(word) {
            return w;
        }
        let id = Word(self.ids.len() as u32 + 2);
        self.ids.insert(word.into(), id);
        id
    }

    fn find(&self, word: &str) -> Word {
        if word == "," {
            return Word::COMMA;
        }
        self.ids.get(word).copied().unwrap_or(Word::UNKNOWN)
    }

    pub fn knows(&self, word: &str) -> bool {
        self.ids.contains_key(word)
    }

    /// The words of a declaration; new ones are numbered.
    pub fn learn(&mut self, text: &str, language: &Language) -> Vec<Word> {
        let mut out = Vec::new();
        pieces(text, |written, _, _| {
            if let Some(w) = stressed(written, language) {
                out.push(if w == "," { Word::COMMA } else { self.add(&w) });
            }
        });
        out
    }

    /// The words of a text that is read, with their places; `out` is emptied first.
    pub fn read(&self, text: &str, language: &Language, known: &mut Known, out: &mut Vec<Token>) {
        out.clear();
        pieces(text, |written, start, end| {
            let word = match known.0.get(written) {
                Some(&word) => word,
                None => {
                    let word = stressed(written, language).map(|w| self.find(&w));
                    if known.0.len() < MOST_KNOWN {
                        known.0.insert(written.into(), word);
                    }
                    word
                }
            };
            if let Some(word) = word {
                out.push(Token { word, start: start as u32, end: end as u32 });
            }
        });
    }
}

/// The comparable form of one written word.
pub(crate) fn comparable<'a>(word: &'a str, language: &Language) -> Cow<'a, str> {
    let plain = word.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
    let lower: Cow<'a, str> = if plain {
        Cow::Borrowed(word)
    } else {
        let mut s = String::with_capacity(word.len());
        for c in word.chars() {
            match c {
                '’' | '‘' | 'ʼ' => s.push('\''),
                '‐' | '‑' | '–' => s.push('-'),
                '“' | '”' | '„' | '"' | '\u{AD}' | '\u{FEFF}' | '_' | '*' => {}
                c => s.extend(c.to_lowercase()),
            }
        }
        Cow::Owned(s)
    };
    match lower {
        Cow::Borrowed(s) => (language.singular)(s),
        Cow::Owned(s) => Cow::Owned((language.singular)(&s).into_owned()),
    }
}

/// Words as they are written, with what they are to a vocabulary; `None` for those left out.
/// Texts use few words, and each time to make one comparable costs more than to look it up.
#[derive(Debug, Default)]
pub(crate) struct Known(HashMap<Box<str>, Option<Word>>);

/// Figures are new again and again: a long key must not fill the memory with them.
const MOST_KNOWN: usize = 4096;

/// The comparable form of a piece; `None` for articles and forms of "to be".
fn stressed<'a>(written: &'a str, language: &Language) -> Option<Cow<'a, str>> {
    let word = comparable(written, language);
    (!word.is_empty() && !language.unstressed.contains(&&*word)).then_some(word)
}

/// Calls `f` with each word as written, without the marks at its ends, and its place. Commas are
/// words; remarks in parentheses are left out, unless they touch a number.
fn pieces(text: &str, mut f: impl FnMut(&str, usize, usize)) {
    let bytes = text.as_bytes();
    let mut at = 0;
    let mut emit = |start: usize, end: usize| {
        let written = text[start..end].trim_matches(['.', ':', '"', '“', '”', '„', '!', '?']);
        if !written.is_empty() {
            f(written, start, end);
        }
    };
    while at < bytes.len() {
        let c = match text[at..].chars().next() {
            Some(c) => c,
            None => break,
        };
        if c.is_whitespace() || c == ';' {
            at += c.len_utf8();
            continue;
        }
        if c == ',' {
            emit(at, at + 1);
            at += 1;
            continue;
        }
        if c == '(' || c == '[' {
            let close = closing(text, at);
            if !touches_number(text, at, close) {
                at = close;
                continue;
            }
        }
        let end = word_end(text, at);
        // `3-5-lobed` is a number and a word.
        match glued(&text[at..end]) {
            Some(cut) => {
                emit(at, at + cut);
                emit(at + cut, end);
            }
            None => emit(at, end),
        }
        at = end.max(at + c.len_utf8());
    }
}

/// Where the word that begins at `at` ends: at a blank, or a comma that stands between no figures,
/// or a parenthesis that touches no number. Numbers may hold parentheses with blanks: `5(or 10)`.
pub(crate) fn word_end(text: &str, at: usize) -> usize {
    let mut i = at;
    while let Some(c) = text[i..].chars().next() {
        if c.is_whitespace() || c == ';' {
            break;
        }
        if c == ',' {
            let before = text[at..i].ends_with(|c: char| c.is_ascii_digit());
            let after = text[i + 1..].starts_with(|c: char| c.is_ascii_digit());
            if !(before && after) {
                break;
            }
        }
        if c == '(' || c == '[' {
            let close = closing(text, i);
            if !touches_number(text, i, close) {
                break;
            }
            i = close;
            continue;
        }
        i += c.len_utf8();
    }
    i
}

/// The byte after the bracket that closes the one at `at`, or the end of the text.
pub(crate) fn closing(text: &str, at: usize) -> usize {
    let mut depth = 0usize;
    for (i, b) in text.as_bytes()[at..].iter().enumerate() {
        match b {
            b'(' | b'[' => depth += 1,
            b')' | b']' => {
                depth -= 1;
                if depth == 0 {
                    return at + i + 1;
                }
            }
            _ => {}
        }
    }
    text.len()
}

/// The first bracket that is never closed, in bytes.
pub(crate) fn unclosed(text: &str) -> Option<(usize, usize)> {
    let mut open = Vec::new();
    for (i, b) in text.bytes().enumerate() {
        match b {
            b'(' | b'[' => open.push(i),
            b')' | b']' => drop(open.pop()),
            _ => {}
        }
    }
    open.first().map(|&i| (i, i + 1))
}

/// Only a number in parentheses that touches a number belongs to it: `(2-)3`, `5(or 10)`.
pub(crate) fn touches_number(text: &str, open: usize, close: usize) -> bool {
    let inner = &text[open + 1..close];
    // A number with its dash and at most an "or": nothing longer than two numbers can be.
    let short = inner.len() <= 40 && inner.bytes().any(|b| b.is_ascii_digit());
    let joins = |c: char| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅓' | '⅔');
    short && (text[..open].ends_with(joins) || text[close..].starts_with(joins))
}

/// Where a word's figures end and letters follow after a hyphen: `3-5-lobed`, `4–6-angled`.
fn glued(word: &str) -> Option<usize> {
    if !word.starts_with(|c: char| c.is_ascii_digit() || c == '(') {
        return None;
    }
    word.char_indices()
        .filter(|&(_, c)| matches!(c, '-' | '–' | '‐' | '‑'))
        .map(|(i, c)| (i, i + c.len_utf8()))
        .find(|&(i, next)| i > 0 && word[next..].starts_with(char::is_alphabetic))
        .map(|(i, _)| i)
}
