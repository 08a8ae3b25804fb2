//! The pieces of an amount: figures by the grammar, words by the language's lexicon.

use pest::Parser as _;
use pest_derive::Parser;
use rust_decimal::Decimal;

use super::fault::FaultKind;
use crate::text::amount::Unit;
use crate::text::language::Language;
use crate::text::language::lexicon::{Lexicon, Role, begins, is_blank, longest};

#[derive(Parser)]
#[grammar = "../grammar/notation.pest"]
struct Grammar;

/// The most digits that a number may have, leading noughts not counted.
pub(super) const DIGITS: usize = 27;
/// Decimal places kept of a fraction that no decimal ends, such as 1/3.
pub(super) const PLACES: u32 = 24;

/// A number as written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figure {
    pub value: Decimal,
    pub slip: Option<FaultKind>,
}

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
}

impl<'a> Lexer<'a> {
    pub fn new(text: &'a str, language: &'a Language) -> Lexer<'a> {
        let lexicon = Lexicon::of(language);
        Lexer { text, language, lexicon, run: Vec::new(), from: 0, stop: 0, cut: true }
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

    /// Whether the sentence goes on at `at`, after a stop: a comma, a dash or a cross, or a word in
    /// small letters.
    fn goes_on(&self, at: usize) -> bool {
        let next = self.skip(at);
        match self.next_char(next) {
            None => false,
            Some(c) if next == at => {
                matches!(c, ',' | ';' | ')' | '(' | '×' | '-' | '–' | '—' | '−')
            }
            Some(c) => c.is_lowercase() || matches!(c, '(' | '×' | '-' | '–' | '—' | '−'),
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
            .map(|(len, n, d)| (quotient(n.into(), d.into()), at + len))
    }

    fn piece(&mut self, at: usize) -> Option<Token> {
        let known = self.from <= at && at < self.stop || at == self.stop && !self.cut;
        if !known {
            if !self.text[at..].bytes().next().is_some_and(may_begin) {
                return None;
            }
            self.take_run(at);
        }
        self.run.iter().find(|t| t.start == at).copied()
    }

    fn take_run(&mut self, at: usize) {
        self.run.clear();
        let mut end = at;
        // The rule is total, so that no error is ever made; if one were, the run is empty.
        let pieces = Grammar::parse(Rule::figures, &self.text[at..]);
        let mut count = 0;
        for pair in pieces.into_iter().flatten() {
            let span = pair.as_span();
            let (start, stop) = (at + span.start(), at + span.end());
            self.take_piece(pair.as_rule(), span.as_str(), start, stop);
            end = stop;
            count += 1;
        }
        self.from = at;
        self.stop = self.skip(end);
        self.cut = count >= 16;
    }

    fn take_piece(&mut self, rule: Rule, written: &str, start: usize, end: usize) {
        let piece = match rule {
            Rule::decimal => Piece::Number(decimal(written)),
            Rule::comma => {
                let figure = decimal(&written.replace(',', "."));
                Piece::Number(Figure { slip: figure.slip.or(Some(FaultKind::Comma)), ..figure })
            }
            Rule::fraction => Piece::Number(fraction(written)),
            Rule::mixed => return self.take_mixed(written, start, end),
            Rule::dash => Piece::Dash,
            Rule::open => Piece::Open,
            Rule::close => Piece::Close,
            Rule::times => Piece::Times,
            Rule::micrometre => Piece::Unit(Unit::Micrometre),
            Rule::millimetre => Piece::Unit(Unit::Millimetre),
            Rule::centimetre => Piece::Unit(Unit::Centimetre),
            Rule::decimetre => Piece::Unit(Unit::Decimetre),
            Rule::metre => Piece::Unit(Unit::Metre),
            Rule::inch => Piece::Unit(Unit::Inch),
            Rule::foot => Piece::Unit(Unit::Foot),
            Rule::degree => Piece::Unit(Unit::Degree),
            Rule::percent => Piece::Unit(Unit::Percent),
            // Silent rules make no pairs.
            _ => return,
        };
        self.run.push(Token { piece, start, end });
    }

    /// `1½`, `1 1/2`, `1-1/2` are one number; `0-1/2` and `1-3/2` are ranges.
    fn take_mixed(&mut self, written: &str, start: usize, end: usize) {
        let digits = written.bytes().take_while(u8::is_ascii_digit).count();
        let (whole, rest) = written.split_at(digits);
        let part = rest.trim_start_matches(|c| c == '-' || is_blank(c));
        let joint = &rest[..rest.len() - part.len()];
        let (whole, part_figure) = (decimal(whole), fraction(part));
        let below_one = part_figure.value < Decimal::ONE;
        if below_one && (joint != "-" || !whole.value.is_zero()) {
            let figure = match whole.value.checked_add(part_figure.value) {
                Some(sum) => {
                    let slip = whole.slip.or(part_figure.slip);
                    let places = (DIGITS as u32).saturating_sub(digits as u32).min(PLACES);
                    Figure { value: sum.round_dp(places).normalize(), slip }
                }
                None => Figure { value: Decimal::MAX, slip: Some(FaultKind::TooLong) },
            };
            self.run.push(Token { piece: Piece::Number(figure), start, end });
            return;
        }
        let middle = start + digits;
        self.run.push(Token { piece: Piece::Number(whole), start, end: middle });
        if joint == "-" {
            self.run.push(Token { piece: Piece::Dash, start: middle, end: middle + 1 });
        }
        let piece = Piece::Number(part_figure);
        self.run.push(Token { piece, start: end - part.len(), end });
    }
}

/// Whether a piece can begin with this byte: a quick answer before the grammar is entered.
pub(super) fn may_begin(byte: u8) -> bool {
    matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'(' | b')' | b'%' | 0x80..)
        || matches!(byte | 0x20, b'x' | b'm' | b'c' | b'd' | b'u' | b'i' | b'f')
}

/// Digits with at most one point, to a number; the places written are kept (`3.0`).
fn decimal(written: &str) -> Figure {
    let digits = written.bytes().filter(|b| b.is_ascii_digit());
    let count = digits.clone().skip_while(|b| *b == b'0').count();
    let places = written.find('.').map_or(0, |dot| written.len() - dot - 1);
    if count <= 18 && places <= 18 {
        // Eighteen digits fit into 64 bits.
        let mantissa = digits.fold(0_i64, |n, b| n * 10 + i64::from(b - b'0'));
        return Figure { value: Decimal::new(mantissa, places as u32), slip: None };
    }
    let long = Some(FaultKind::TooLong);
    if count > DIGITS || places > DIGITS {
        return Figure { value: Decimal::MAX, slip: long };
    }
    // A leading point is no number to the decimal reader, so a nought is put before it.
    match format!("0{written}").parse() {
        Ok(value) => Figure { value, slip: None },
        Err(_) => Figure { value: Decimal::MAX, slip: long },
    }
}

fn fraction(written: &str) -> Figure {
    let signs = [
        ("½", 1, 2),
        ("¼", 1, 4),
        ("¾", 3, 4),
        ("⅓", 1, 3),
        ("⅔", 2, 3),
        ("⅛", 1, 8),
        ("⅜", 3, 8),
        ("⅝", 5, 8),
        ("⅞", 7, 8),
        ("⅕", 1, 5),
        ("⅖", 2, 5),
        ("⅗", 3, 5),
        ("⅘", 4, 5),
        ("⅙", 1, 6),
        ("⅚", 5, 6),
        ("⅐", 1, 7),
        ("⅑", 1, 9),
        ("⅒", 1, 10),
    ];
    if let Some((_, n, d)) = signs.iter().find(|(sign, ..)| *sign == written) {
        return quotient(Decimal::from(*n), Decimal::from(*d));
    }
    let (above, below) = written.split_once(['/', '\u{2044}']).unwrap_or((written, "1"));
    let (above, below) = (decimal(above), decimal(below));
    let figure = quotient(above.value, below.value);
    Figure { slip: above.slip.or(below.slip).or(figure.slip), ..figure }
}

/// `n / d`, exactly where a decimal of at most 24 places ends, else rounded to as many.
pub(super) fn quotient(n: Decimal, d: Decimal) -> Figure {
    if d.is_zero() {
        return Figure { value: Decimal::ZERO, slip: Some(FaultKind::ZeroDenominator) };
    }
    match n.checked_div(d) {
        Some(value) => {
            let room = DIGITS.saturating_sub(significant(value.trunc())) as u32;
            Figure { value: value.round_dp(room.min(PLACES)).normalize(), slip: None }
        }
        None => Figure { value: Decimal::MAX, slip: Some(FaultKind::TooLong) },
    }
}

/// Digits without leading noughts.
pub(super) fn significant(value: Decimal) -> usize {
    let mantissa = value.mantissa().unsigned_abs();
    mantissa.checked_ilog10().map_or(0, |n| n as usize + 1)
}
