//! The pieces of an amount: figures by the grammar, words by the language's lexicon.

use pest::Parser as _;
use pest_derive::Parser;

use super::figure::{self, Figure, Written};
use crate::text::amount::Unit;
use crate::text::language::Language;
use crate::text::language::lexicon::{Lexicon, Role, begins, is_blank, longest};

#[derive(Parser)]
#[grammar = "../grammar/notation.pest"]
struct Grammar;

#[derive(Clone, Copy, Debug)]
enum Piece {
    Number(Figure),
    Dash,
    Open,
    Close,
    Times,
    Unit(Unit),
}

#[derive(Clone, Copy, Debug)]
struct Token {
    piece: Piece,
    start: usize,
    end: usize,
}

/// Looks at a text at any place. Figures are kept from one look to the next, a run at a time.
pub(super) struct Lexer<'a> {
    pub text: &'a str,
    pub language: &'a Language,
    lexicon: &'static Lexicon,
    run: Vec<Token>,
    /// Where the run begins, and the place after its last blank.
    from: usize,
    stop: usize,
    /// The run was cut short: at its end the grammar has to be asked again.
    cut: bool,
    /// The token looked at last.
    last: usize,
}

impl<'a> Lexer<'a> {
    pub fn new(text: &'a str, language: &'a Language) -> Lexer<'a> {
        let lexicon = Lexicon::of(language);
        Lexer { text, language, lexicon, run: Vec::new(), from: 0, stop: 0, cut: true, last: 0 }
    }

    /// The place after any blanks at `at`.
    pub fn skip(&self, at: usize) -> usize {
        let rest = &self.text[at..];
        match rest.bytes().next() {
            Some(b' ' | b'\t' | b'\n' | b'\r' | 0x80..) => {
                self.text.len() - rest.trim_start_matches(is_blank).len()
            }
            _ => at,
        }
    }

    pub fn next_char(&self, at: usize) -> Option<char> {
        self.text[at..].chars().next()
    }

    pub fn number(&mut self, at: usize) -> Option<(Figure, usize)> {
        match self.piece(at)? {
            Token { piece: Piece::Number(figure), end, .. } => Some((figure, end)),
            _ => None,
        }
    }

    pub fn dash(&mut self, at: usize) -> Option<usize> {
        self.piece(at).filter(|t| matches!(t.piece, Piece::Dash)).map(|t| t.end)
    }

    pub fn open(&mut self, at: usize) -> Option<usize> {
        self.piece(at).filter(|t| matches!(t.piece, Piece::Open)).map(|t| t.end)
    }

    pub fn close(&mut self, at: usize) -> Option<usize> {
        self.piece(at).filter(|t| matches!(t.piece, Piece::Close)).map(|t| t.end)
    }

    pub fn times(&mut self, at: usize) -> Option<usize> {
        self.piece(at).filter(|t| matches!(t.piece, Piece::Times)).map(|t| t.end)
    }

    /// A unit at `at`, written as a sign or as a word, with the full stop of its abbreviation
    /// where the sentence goes on after it; and whether it was a prime.
    pub fn unit(&mut self, at: usize) -> Option<(Unit, usize, bool)> {
        let (unit, end) = match self.piece(at) {
            Some(Token { piece: Piece::Unit(unit), end, .. }) => (unit, end),
            _ => match self.word(at, |r| matches!(r, Role::Unit(_)))? {
                (Role::Unit(unit), end) => (unit, end),
                _ => return None,
            },
        };
        let written = &self.text[at..end];
        if written == "′" {
            return Some((unit, end, true));
        }
        if written.ends_with(char::is_alphabetic) {
            let stopped = self.text[end..].starts_with('.');
            if written.eq_ignore_ascii_case("in") && !stopped && !self.inch_ends(end) {
                return None;
            }
            if stopped && self.goes_on(end + 1) {
                return Some((unit, end + 1, false));
            }
        }
        Some((unit, end, false))
    }

    /// Whether `in`, which ends at `at`, means inches: not before a word that measures nothing
    /// (`3 in a whorl`).
    fn inch_ends(&self, at: usize) -> bool {
        let next = self.skip(at);
        if !self.next_char(next).is_some_and(char::is_alphabetic) {
            return true;
        }
        let follows = |r| {
            use Role::*;
            matches!(r, Measured | Or | And | To | OrMore | OrLess | Frequency(_))
        };
        self.word(next, follows).is_some()
            || longest(&self.text[next..], self.language.compare.times).is_some()
    }

    /// Whether the sentence goes on at `at`, after a stop: with a comma or a dash that touches it, a
    /// cross, a parenthesis, or a word in small letters.
    fn goes_on(&self, at: usize) -> bool {
        let next = self.skip(at);
        match self.next_char(next) {
            None => false,
            Some(c) if next == at => {
                matches!(c, ',' | ';' | ')' | '(' | '×' | '-' | '–' | '—' | '−')
            }
            Some(c) => c.is_lowercase() || matches!(c, '(' | '×'),
        }
    }

    /// The longest phrase at `at` whose role is wanted, and where it ends.
    pub fn word(&self, at: usize, wanted: impl Fn(Role) -> bool) -> Option<(Role, usize)> {
        let (role, len) = self.lexicon.find(&self.text[at..], wanted)?;
        Some((role, at + len))
    }

    pub fn is(&self, at: usize, role: Role) -> Option<usize> {
        self.word(at, |r| r == role).map(|(_, end)| end)
    }

    /// The longest of `phrases` at `at`.
    pub fn phrase(&self, at: usize, phrases: &[&str]) -> Option<usize> {
        longest(&self.text[at..], phrases).map(|len| at + len)
    }

    /// A word that stands for a factor (half, twice), the longest.
    pub fn factor(&self, at: usize) -> Option<(Figure, usize)> {
        let rest = &self.text[at..];
        self.language
            .compare
            .factors
            .iter()
            .filter_map(|&(w, n, d)| Some((begins(rest, w, false)?, n, d)))
            .max()
            .map(|(len, n, d)| (figure::quotient(n.into(), d.into()), at + len))
    }

    fn piece(&mut self, at: usize) -> Option<Token> {
        let known = self.from <= at && at < self.stop || at == self.stop && !self.cut;
        if !known {
            if !self.text[at..].bytes().next().is_some_and(may_begin) {
                return None;
            }
            self.take_run(at);
        }
        // The same place is asked for again and again, and then the next.
        for i in [self.last, self.last + 1] {
            if let Some(token) = self.run.get(i).filter(|t| t.start == at) {
                self.last = i;
                return Some(*token);
            }
        }
        self.last = self.run.iter().position(|t| t.start == at)?;
        Some(self.run[self.last])
    }

    /// Reads the run at `at`. The grammar is shown no more of the text than a run is long: what
    /// stands in a window, without the pieces that its edge might have cut.
    fn take_run(&mut self, at: usize) {
        let mut window = 256;
        loop {
            let mut edge = self.text.len().min(at + window);
            while !self.text.is_char_boundary(edge) {
                edge -= 1;
            }
            self.run.clear();
            self.run.reserve(8);
            // The grammar is total, so that no error is ever made; if one were, the run is empty.
            let pieces = Grammar::parse(Rule::figures, &self.text[at..edge]);
            for pair in pieces.into_iter().flatten() {
                let span = pair.as_span();
                let (rule, written) = (pair.as_rule(), span.as_str());
                self.take_piece(rule, written, at + span.start(), at + span.end());
            }
            let near = edge.saturating_sub(window / 4);
            let whole = edge == self.text.len();
            self.cut = !whole && self.run.last().is_some_and(|t| t.end > near);
            if self.cut {
                // A number of three pieces (1-1/2) may have been cut in its third.
                let sure = self.run.iter().take_while(|t| t.end <= near).count();
                self.run.truncate(sure.saturating_sub(2));
                if self.run.len() < 4 {
                    window *= 4;
                    continue;
                }
            }
            break;
        }
        self.from = at;
        self.stop = self.skip(self.run.last().map_or(at, |t| t.end));
    }

    fn take_piece(&mut self, rule: Rule, written: &str, start: usize, end: usize) {
        let piece = match rule {
            Rule::number => match figure::written(written) {
                Written::One(figure) => Piece::Number(figure),
                Written::Two { whole, dash, part, middle, begin } => {
                    let middle = start + middle;
                    let piece = Piece::Number(whole);
                    self.run.push(Token { piece, start, end: middle });
                    if dash {
                        let piece = Piece::Dash;
                        self.run.push(Token { piece, start: middle, end: middle + 1 });
                    }
                    let piece = Piece::Number(part);
                    self.run.push(Token { piece, start: start + begin, end });
                    return;
                }
            },
            Rule::sign => match written.as_bytes().first() {
                Some(b'(') => Piece::Open,
                Some(b')') => Piece::Close,
                Some(b'x' | b'X') => Piece::Times,
                _ if written == "×" => Piece::Times,
                _ => Piece::Dash,
            },
            Rule::unit => Piece::Unit(unit(written)),
            // Silent rules make no tokens.
            _ => return,
        };
        self.run.push(Token { piece, start, end });
    }
}

/// The unit that the grammar's `unit` has matched.
fn unit(written: &str) -> Unit {
    let is = |sign: &str| written.eq_ignore_ascii_case(sign);
    match written.chars().next() {
        Some('°' | 'º') => Unit::Degree,
        Some('%') => Unit::Percent,
        Some('″' | 'i' | 'I') => Unit::Inch,
        Some('′' | 'f' | 'F') => Unit::Foot,
        Some('c' | 'C') => Unit::Centimetre,
        Some('d' | 'D') => Unit::Decimetre,
        _ if is("mm") => Unit::Millimetre,
        _ if is("m") => Unit::Metre,
        _ => Unit::Micrometre,
    }
}

/// Whether a piece can begin with this byte: a quick answer before the grammar is entered.
pub(super) fn may_begin(byte: u8) -> bool {
    matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'(' | b')' | b'%' | 0x80..)
        || matches!(byte | 0x20, b'x' | b'm' | b'c' | b'd' | b'u' | b'i' | b'f')
}

/// Parses every run of figures in `text` with the bare grammar and counts the pieces: what a
/// benchmark compares the reader with.
pub fn bare_parse(text: &str) -> usize {
    let (mut pieces, mut at) = (0, 0);
    while let Some(digit) = text[at..].find(|c: char| c.is_ascii_digit()) {
        let from = at + digit;
        let edge = text[from..].find('\n').map_or(text.len(), |n| from + n);
        let Ok(pairs) = Grammar::parse(Rule::figures, &text[from..edge]) else { return pieces };
        let mut end = from + 1;
        for pair in pairs {
            pieces += 1;
            end = end.max(from + pair.as_span().end());
        }
        at = end;
    }
    pieces
}
