//! Pointers: `2`, `--34b.`, `(2)`, `→ 2`, `go to 5`, `see couplet 9`, and in lettered keys `B`.

use super::draft::Pointer;
use super::line::plain;

/// Words that lead to a couplet's number, in the languages that keys are met in.
const WORDS: [&str; 38] = [
    "go to couplet",
    "go to no.",
    "go to",
    "goto",
    "see couplet",
    "see no.",
    "see also",
    "see under",
    "see",
    "proceed to",
    "look under",
    "couplet",
    "no.",
    "to",
    "under",
    "continue at",
    "continue with",
    "turn to",
    "skip to",
    "weiter bei",
    "weiter mit",
    "weiter zu",
    "weiter",
    "gehe zu",
    "siehe unter",
    "siehe",
    "s.",
    "zu",
    "zie onder",
    "zie",
    "ga naar",
    "verder bij",
    "naar",
    "vide",
    "voir",
    "aller à",
    "vgl.",
    "nr.",
];

/// By what the couplets of a key are called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Called {
    Numbers,
    Letters,
    Roman,
}

/// Reads a whole text as a pointer to a couplet that is so called; a number always is one.
pub fn read(text: &str, called: Called) -> Option<Pointer> {
    let text = plain(text);
    let written = text.trim().to_string();
    let text = match page_at_end(&written) {
        Some(at) => written[..at].to_string(),
        None => written.clone(),
    };
    let mut rest =
        text.trim_matches(|c: char| c.is_whitespace() || "-–—−→>=.:,;⇒➔➜►…_*([".contains(c)).trim();
    let low = rest.to_lowercase();
    if let Some(word) = WORDS
        .iter()
        .find(|w| low.starts_with(**w) && low.len() > w.len() && low.is_char_boundary(w.len()))
    {
        let after = rest.get(word.len()..)?;
        if !after.starts_with(char::is_alphanumeric) {
            rest = after;
        }
    }
    let rest = rest.trim_matches(|c: char| c.is_whitespace() || "()[]{}.:,;-–—→>=_".contains(c));
    if rest.is_empty() || rest.chars().count() > 8 {
        return None;
    }
    number(rest, &written).or_else(|| match called {
        Called::Numbers => None,
        Called::Letters => letter(rest, &written),
        Called::Roman => roman(rest, &written),
    })
}

fn number(rest: &str, written: &str) -> Option<Pointer> {
    let mut digits = String::new();
    let mut slip = false;
    let mut chars = rest.chars().peekable();
    while let Some(&c) = chars.peek() {
        let figure = match c {
            c if c.is_ascii_digit() => c,
            'I' | 'l' => '1',
            'O' => '0',
            _ => break,
        };
        slip |= figure != c;
        digits.push(figure);
        chars.next();
    }
    // `lO` is 10 where there is a couplet 10; one letter alone, and a Roman number, say nothing.
    let figures = rest.chars().any(|c| c.is_ascii_digit())
        || (digits.len() == 2 && rest.starts_with('l') && rest.len() == 2);
    if digits.is_empty() || digits.len() > 4 || !figures {
        return None;
    }
    let capital = chars.next_if(char::is_ascii_uppercase);
    let letter = chars.next_if(char::is_ascii_lowercase);
    let mut primes = 0;
    while chars.next_if(|c| matches!(c, '\'' | '′' | '´' | '’' | '*')).is_some() {
        primes += 1;
    }
    if chars.next().is_some() {
        return None;
    }
    let lead = letter.map(|l| l as u8 - b'a').or((primes > 0).then_some(primes));
    Some(Pointer {
        number: digits.parse().ok()?,
        capital,
        lead,
        written: written.to_string(),
        slip,
    })
}

/// `B`, `GG`, `bb`: counted as in [`super::layout::group_letters`].
fn letter(rest: &str, written: &str) -> Option<Pointer> {
    let first = rest.chars().next().filter(char::is_ascii_uppercase)?;
    let count = rest.chars().count() as u32;
    if count > 4 || !rest.chars().all(|c| c == first) {
        return None;
    }
    Some(Pointer {
        number: (first as u32 - 'A' as u32 + 1) + 26 * (count - 1),
        capital: None,
        lead: None,
        written: written.to_string(),
        slip: false,
    })
}

/// `IV`, `IV'`
fn roman(rest: &str, written: &str) -> Option<Pointer> {
    let bare = rest.trim_end_matches(['\'', '′', '’']);
    let primes = rest.chars().count() - bare.chars().count();
    Some(Pointer {
        number: super::mark::of_roman(bare)?,
        capital: None,
        lead: (primes > 0).then_some(primes.min(8) as u8),
        written: written.to_string(),
        slip: false,
    })
}

/// Where a reference to a page begins at a text's end: `(B.) page 60`, `2, p. 31`.
pub fn page_at_end(text: &str) -> Option<usize> {
    let end = text.trim_end().trim_end_matches(['.', ')']);
    let digits = end.len() - end.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    if digits == 0 || digits > 4 {
        return None;
    }
    let before = end[..end.len() - digits].trim_end();
    let low = before.to_ascii_lowercase();
    let word = ["pages", "page", "pp.", "p.", "seite", "s."].iter().find(|w| low.ends_with(**w))?;
    let head = before[..before.len() - word.len()].trim_end();
    let head = head.trim_end_matches([',', ';', '(']).trim_end();
    (!head.is_empty() && !before[..before.len() - word.len()].ends_with(char::is_alphanumeric))
        .then_some(head.len())
}
