//! The months in which a taxon flowers or fruits: `Apr-Jun`, `IV-VI`, `Nov-Feb`, `Apr, Jun-Jul`.

use std::ops::Range;

use super::language::Language;
use super::language::lexicon::{begins, is_blank, longest};

/// Months as read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// 1 to 12, each once, from January, or from the first of those that go on over the turn of the
    /// year: `Nov-Feb` is 11, 12, 1, 2. Months in parentheses, as in `(Mar-)Apr-Jun(-Jul)`, are among them.
    pub months: Vec<u8>,
    pub faults: Vec<Fault>,
}

/// What is no month, and where: bytes of the text that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    pub span: Range<usize>,
    pub kind: FaultKind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FaultKind {
    /// A word or sign that is neither a month nor joins months.
    NotAMonth,
    /// `14`, `XIII`
    NoSuchMonth,
    /// A dash or `to` with no month before or after it.
    HalfARange,
    /// Nothing is written.
    Nothing,
}

impl FaultKind {
    /// What is wrong, in words that can stand alone.
    pub fn what(self) -> &'static str {
        match self {
            FaultKind::NotAMonth => "this is no month",
            FaultKind::NoSuchMonth => "the year has twelve months",
            FaultKind::HalfARange => "months from or to no month",
            FaultKind::Nothing => "no month is written",
        }
    }
}

/// Reads the whole of `text` as months: names and abbreviations of the language, Roman and Arabic
/// figures; joined by a dash or `to` (all between, over the turn of the year where need be), by
/// commas, `and`, `or`. `early`, `mid`, `late` before a month leave it the month it is.
pub fn read(text: &str, language: &Language) -> Reading {
    let mut present = [false; 12];
    let mut faults = Vec::new();
    // The month that a range may begin with, and the dash after it.
    let mut from: Option<usize> = None;
    let mut dash: Option<Range<usize>> = None;
    let mut written = false;
    let mut at = 0;
    while at < text.len() {
        let rest = &text[at..];
        let (piece, len) = piece(rest, language);
        let span = at..at + len;
        at += len;
        match piece {
            Piece::Blank => continue,
            Piece::Dash => {
                if dash.is_some() || from.is_none() {
                    faults.push(Fault { span, kind: FaultKind::HalfARange });
                } else {
                    dash = Some(span);
                }
            }
            Piece::Month(month) => {
                match (from, dash.take()) {
                    (Some(first), Some(_)) => between(&mut present, first, month),
                    _ => present[month] = true,
                }
                from = Some(month);
            }
            Piece::AllYear => present = [true; 12],
            Piece::Joint => {
                if let Some(span) = dash.take() {
                    faults.push(Fault { span, kind: FaultKind::HalfARange });
                }
                from = None;
            }
            Piece::Fault(kind) => {
                faults.push(Fault { span, kind });
                (from, dash) = (None, None);
            }
        }
        written = true;
    }
    if let Some(span) = dash {
        faults.push(Fault { span, kind: FaultKind::HalfARange });
    }
    if !written {
        faults.push(Fault { span: 0..text.len(), kind: FaultKind::Nothing });
    } else if faults.is_empty() && !present.contains(&true) {
        faults.push(Fault { span: 0..text.len(), kind: FaultKind::NotAMonth });
    }
    Reading { months: in_season(&present), faults }
}

/// Writes months back: `Apr–Jun, Aug`. Two neighbours are a range too. Months outside 1 to 12 are
/// left out.
pub fn write(months: &[u8], language: &Language) -> String {
    let mut present = [false; 12];
    for m in months {
        if let Some(p) = usize::from(*m).checked_sub(1).and_then(|i| present.get_mut(i)) {
            *p = true;
        }
    }
    let months = in_season(&present);
    if months.len() == 12 {
        return format!("{}–{}", name(0, language), name(11, language));
    }
    let mut out = String::new();
    let mut at = 0;
    while at < months.len() {
        let mut last = at;
        while last + 1 < months.len() && months[last + 1] == months[last] % 12 + 1 {
            last += 1;
        }
        if !out.is_empty() {
            out.push_str(", ");
        }
        out.push_str(&name(usize::from(months[at]) - 1, language));
        if last > at {
            out.push('–');
            out.push_str(&name(usize::from(months[last]) - 1, language));
        }
        at = last + 1;
    }
    out
}

enum Piece {
    Blank,
    Dash,
    /// 0 for January.
    Month(usize),
    AllYear,
    Joint,
    Fault(FaultKind),
}

/// What `rest` begins with, and its length; never empty.
fn piece(rest: &str, language: &Language) -> (Piece, usize) {
    let first = rest.chars().next().unwrap_or(' ');
    let dash = |c| matches!(c, '-' | '–' | '—' | '‒' | '‐' | '‑' | '−');
    let sign = match first {
        c if is_blank(c) => Some(Piece::Blank),
        // The ranges of "(Mar-)Apr-Jun(-Jul)" go on over the parentheses.
        '(' | ')' => Some(Piece::Blank),
        c if dash(c) => return (Piece::Dash, rest.len() - rest.trim_start_matches(dash).len()),
        ',' | ';' | '.' | '/' | '&' | '+' => Some(Piece::Joint),
        _ => None,
    };
    if let Some(sign) = sign {
        return (sign, first.len_utf8());
    }
    if let Some(len) = longest(rest, language.all_year) {
        return (Piece::AllYear, len);
    }
    for (month, names) in language.months.iter().enumerate() {
        if let Some(len) = names.iter().filter_map(|n| begins(rest, n, true)).max() {
            return (Piece::Month(month), len + stop(&rest[len..]));
        }
    }
    if let Some(len) = longest(rest, language.to) {
        return (Piece::Dash, len);
    }
    if let Some(len) = longest(rest, language.or).or(longest(rest, language.and)) {
        return (Piece::Joint, len);
    }
    if let Some(len) = longest(rest, language.from) {
        return (Piece::Blank, len);
    }
    if let Some(len) = language.month_parts.iter().filter_map(|n| begins(rest, n, true)).max() {
        // The hyphen of "mid-April" is no range.
        let hyphen = rest[len..].starts_with('-');
        return (Piece::Blank, len + usize::from(hyphen));
    }
    let len = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
    let len = len.max(first.len_utf8());
    let word = &rest[..len];
    let number = if word.bytes().all(|b| b.is_ascii_digit()) {
        Some(word.parse().unwrap_or(usize::MAX))
    } else {
        roman(word)
    };
    match number {
        Some(n @ 1..=12) => (Piece::Month(n - 1), len + stop(&rest[len..])),
        Some(_) => (Piece::Fault(FaultKind::NoSuchMonth), len),
        None => (Piece::Fault(FaultKind::NotAMonth), len),
    }
}

/// The full stop of an abbreviation or an ordinal.
fn stop(rest: &str) -> usize {
    usize::from(rest.starts_with('.'))
}

/// Roman figures of I, V and X, in one case; 13 stands for all that are no month.
fn roman(word: &str) -> Option<usize> {
    const FIGURES: [&str; 12] =
        ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"];
    let upper = word.to_ascii_uppercase();
    let figures = !word.is_empty() && upper.bytes().all(|b| matches!(b, b'I' | b'V' | b'X'));
    if !figures || (upper != word && word.to_ascii_lowercase() != word) {
        return None;
    }
    Some(FIGURES.iter().position(|f| *f == upper).map_or(13, |i| i + 1))
}

/// Marks all months from `first` to `last`, over the turn of the year where `last` comes before.
fn between(present: &mut [bool; 12], first: usize, last: usize) {
    let mut month = first;
    loop {
        present[month] = true;
        if month == last {
            return;
        }
        month = (month + 1) % 12;
    }
}

/// The months in the sequence of the season: from January, or from the first of those that go on
/// over the turn of the year.
fn in_season(present: &[bool; 12]) -> Vec<u8> {
    let at_end = present.iter().rev().take_while(|p| **p).count();
    let start = if present[0] { 12 - at_end } else { 0 };
    (0..12).map(|i| (start + i) % 12).filter(|m| present[*m]).map(|m| m as u8 + 1).collect()
}

/// The abbreviation of a month, or its name where it has none.
fn name(month: usize, language: &Language) -> String {
    let names = language.months[month];
    let name = names.get(1).or(names.first()).copied().unwrap_or_default();
    let mut chars = name.chars();
    match chars.next() {
        Some(c) if language.months_capital => c.to_uppercase().chain(chars).collect(),
        _ => name.to_string(),
    }
}
