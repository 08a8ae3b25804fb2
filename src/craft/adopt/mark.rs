//! What may be a lead's label at a place in a line, under every way of labelling.

use super::line::{OFF, ON};

pub use super::decimal::of_roman;

/// With what a label counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Style {
    Number,
    Lower,
    Upper,
    RomanLower,
    RomanUpper,
    Greek,
    /// `1.2.1`: the figure counts within the lead above; the bracket is the number of figures.
    Decimal,
    /// `–`, `--`, a bullet: the next lead of the couplet above.
    Dash,
    /// `*`, `**`, `+`, `++`: counted by repetition.
    Star,
}

/// One reading of a label.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    pub style: Style,
    /// The number, or the letter's or figure's place in its row, from 1.
    pub ordinal: u32,
    /// `84A`: the capital.
    pub capital: Option<char>,
    /// `7a`: the letter's place, from 0.
    pub letter: Option<u8>,
    /// How many primes or asterisks follow.
    pub primes: u8,
    /// How often a letter stands: `aa` is 2.
    pub repeated: u8,
    /// `(a)` 2, `a)` 1, `[a]` 3.
    pub bracket: u8,
    /// What ends it: a full stop, a colon; a blank where nothing does.
    pub stop: char,
    /// Numbers in brackets right after it: where one came from.
    pub back: Vec<String>,
    /// As written, without the back-reference.
    pub written: String,
    /// Where the text after it begins.
    pub rest: usize,
    /// It was read with I, l or O for a figure, or with an odd stop.
    pub slip: bool,
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scan<'a> {
    fn peek(&mut self) -> Option<char> {
        while let Some(c) = self.text[self.at..].chars().next() {
            if !matches!(c, ON | OFF) {
                return Some(c);
            }
            self.at += c.len_utf8();
        }
        None
    }

    fn take(&mut self, f: impl Fn(char) -> bool) -> Option<char> {
        let c = self.peek().filter(|&c| f(c))?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn blanks(&mut self) -> usize {
        let from = self.at;
        while self.take(char::is_whitespace).is_some() {}
        self.at - from
    }

    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }
}

/// All readings of the label that begins at byte `at` of a line; none where nothing there can be
/// one.
pub fn readings(text: &str, at: usize) -> Vec<Mark> {
    let mut out = Vec::new();
    let mut scan = Scan { text, at };
    let Some(first) = scan.peek() else { return out };
    let start = scan.at;
    if let Some(mark) = dash(text, start) {
        out.push(mark);
        return out;
    }
    let open = matches!(first, '(' | '[');
    if open {
        scan.at += first.len_utf8();
    }
    let core = scan.at;
    let Some(c) = scan.peek() else { return out };
    if c.is_ascii_digit() || matches!(c, 'I' | 'l' | 'O') {
        out.extend(number(text, core, open.then_some(first)));
        out.extend(super::decimal::decimal(text, core).filter(|_| !open));
    }
    if c.is_alphabetic() {
        out.extend(letters(text, core, open.then_some(first)));
    }
    if !open && matches!(c, '*' | '+' | '†' | '✲' | '§') {
        out.extend(stars(text, core));
    }
    for mark in &mut out {
        let end = text[..mark.rest].trim_end().len().max(start);
        mark.written = super::line::plain(&text[start..end]);
        if !mark.back.is_empty()
            && let Some(bracket) =
                mark.written.char_indices().skip(1).find(|(_, c)| "([".contains(*c))
        {
            let stop =
                mark.written[bracket.0..].trim_end_matches(|c: char| !")]".contains(c)).len();
            let after = mark.written[bracket.0 + stop..].trim().to_string();
            mark.written = format!("{}{after}", mark.written[..bracket.0].trim_end());
        }
    }
    out
}

pub(super) fn blank_mark(style: Style) -> Mark {
    Mark {
        style,
        ordinal: 0,
        capital: None,
        letter: None,
        primes: 0,
        repeated: 1,
        bracket: 0,
        stop: ' ',
        back: Vec::new(),
        written: String::new(),
        rest: 0,
        slip: false,
    }
}

fn dash(text: &str, at: usize) -> Option<Mark> {
    let mut scan = Scan { text, at };
    let c = scan.peek().filter(|c| matches!(c, '-' | '–' | '—' | '−' | '―' | '•' | '·' | '‒'))?;
    let mut count = 0;
    while scan.take(|d| d == c).is_some() {
        count += 1;
    }
    while scan.take(|d| matches!(d, '.' | ':' | ',')).is_some() {}
    let end = scan.at;
    let blanks = scan.blanks();
    let next = scan.peek()?;
    let fits = blanks > 0 || next.is_uppercase();
    if count > 3 || !fits || (blanks == 0 && next.is_ascii_digit()) {
        return None;
    }
    let mut mark = blank_mark(Style::Dash);
    mark.back = back(&mut scan);
    if !mark.back.is_empty() {
        scan.blanks();
    }
    mark.rest = scan.at;
    mark.written = super::line::plain(&text[at..end]);
    Some(mark)
}

fn stars(text: &str, at: usize) -> Option<Mark> {
    let mut scan = Scan { text, at };
    let c = scan.peek()?;
    let mut count = 0u8;
    while scan.take(|d| d == c).is_some() {
        count = count.saturating_add(1);
    }
    let blanks = scan.blanks();
    let next = scan.peek()?;
    if count > 6 || (blanks == 0 && !next.is_uppercase()) {
        return None;
    }
    let mut mark = blank_mark(Style::Star);
    mark.ordinal = u32::from(count);
    mark.rest = scan.at;
    Some(mark)
}

/// Numbers in brackets: `(4)`, `[9b]`, `(1, 5)`, `(6.)`.
fn back(scan: &mut Scan) -> Vec<String> {
    let start = scan.at;
    scan.blanks();
    let Some(open) = scan.take(|c| matches!(c, '(' | '[')) else {
        scan.at = start;
        return Vec::new();
    };
    let close = if open == '(' { ')' } else { ']' };
    let mut out = Vec::new();
    loop {
        scan.blanks();
        let mut word = String::new();
        while let Some(c) = scan.take(|c| c.is_ascii_digit()) {
            word.push(c);
        }
        if word.is_empty() || word.len() > 4 {
            break;
        }
        while let Some(c) = scan.take(|c| c.is_ascii_alphabetic() || c == '\'') {
            word.push(c);
        }
        if word.chars().filter(|c| c.is_alphabetic()).count() > 2 {
            break;
        }
        out.push(word);
        scan.take(|c| c == '.');
        scan.blanks();
        if scan.take(|c| c == close).is_some() {
            return out;
        }
        if scan.take(|c| matches!(c, ',' | ';' | '/' | '&')).is_none() {
            break;
        }
    }
    scan.at = start;
    Vec::new()
}

fn is_prime(c: char) -> bool {
    matches!(c, '\'' | '′' | '´' | '`' | '’' | '‘' | 'ʹ' | '*' | '"' | '″' | '”' | '‴' | '†' | '°')
}

/// Ends a label: closing bracket, primes, back-reference, stop, and what must follow.
/// `needs` says that without a stop or bracket it is no label.
fn end(scan: &mut Scan, mark: &mut Mark, open: Option<char>, needs: bool) -> Option<()> {
    while let Some(c) = scan.take(is_prime) {
        mark.primes += if matches!(c, '"' | '″' | '”') { 2 } else { 1 };
        if mark.primes > 8 {
            return None;
        }
    }
    if let Some(open) = open {
        let close = if open == '(' { ')' } else { ']' };
        scan.take(|c| c == '.');
        scan.take(|c| c == close)?;
        mark.bracket = if open == '(' { 2 } else { 3 };
    } else if scan.take(|c| c == ')').is_some() {
        mark.bracket = 1;
    }
    while scan.take(is_prime).is_some() {
        mark.primes = mark.primes.saturating_add(1);
    }
    mark.back = back(scan);
    let rest = scan.rest();
    let plain = super::line::plain(rest.get(..rest.len().min(24)).unwrap_or(rest));
    let stop =
        scan.take(|c| matches!(c, '.' | ':' | ',' | ';' | ')' | '/' | '—' | '–' | '-' | '−'));
    if let Some(c) = stop {
        mark.stop = c;
        match c {
            // 1-2, a-b: no label. `1--`, `1.-`, `1 -` are.
            '-' | '–' | '−' => {
                let more = scan.take(|d| d == c).is_some();
                let next = scan.peek();
                if !more && next.is_some_and(|n| n.is_alphanumeric()) {
                    return None;
                }
            }
            // `1.' Hojas`, `1.* Blätter`
            '.' if scan.rest().starts_with(['\'', '′', '´', '’', '*']) => {
                let before = scan.at;
                let mut count = 0;
                while scan.take(is_prime).is_some() {
                    count += 1;
                }
                if count <= 8 && scan.rest().starts_with([' ', '\t']) {
                    mark.primes = mark.primes.saturating_add(count);
                } else {
                    scan.at = before;
                }
            }
            '.' => while scan.take(|c| matches!(c, '.' | '-' | '–' | '—')).is_some() {},
            ',' | ';' => mark.slip = true,
            '/' if !scan.rest().starts_with([' ', '\t']) => return None,
            _ => {}
        }
    }
    if mark.back.is_empty() {
        mark.back = back(scan);
        if !mark.back.is_empty() && scan.take(|c| matches!(c, '.' | ':')).is_some() {
            mark.stop = '.';
        }
    }
    let blanks = scan.blanks();
    if stop.is_none()
        && blanks > 0
        && let Some(dash) = scan.peek().filter(|c| matches!(c, '–' | '—' | '-'))
    {
        // `1 – Leaves`
        let before = scan.at;
        scan.take(|c| c == dash);
        if scan.blanks() > 0 {
            mark.stop = dash;
        } else {
            scan.at = before;
        }
    }
    mark.rest = scan.at;
    let next = scan.peek();
    let ended = stop.is_some() || mark.bracket > 0 || mark.primes > 0 || !mark.back.is_empty();
    if blanks == 0 {
        // Text may touch only a capital, a bracket or a quote, and only after a stop.
        let touches = next.is_none_or(|n| n.is_uppercase() || "([“\"„".contains(n));
        if !touches || (!ended && next.is_some()) || plain.starts_with("/") {
            return None;
        }
    }
    if needs && !ended && !next.is_some_and(char::is_uppercase) {
        return None;
    }
    Some(())
}

fn number(text: &str, at: usize, open: Option<char>) -> Vec<Mark> {
    let mut scan = Scan { text, at };
    let mut digits = String::new();
    let mut slip = false;
    // A letter that stands for a figure is one only beside figures or a lead's letter.
    while digits.len() < 4 {
        let Some(c) = scan.peek() else { break };
        let figure = match c {
            c if c.is_ascii_digit() => c,
            'I' | 'l' => '1',
            'O' if !digits.is_empty() => '0',
            _ => break,
        };
        slip |= figure != c;
        digits.push(figure);
        scan.at += c.len_utf8();
    }
    let Ok(ordinal) = digits.parse::<u32>() else { return Vec::new() };
    if scan.peek().is_some_and(|c| c.is_ascii_digit()) {
        return Vec::new();
    }
    let mut base = blank_mark(Style::Number);
    base.ordinal = ordinal;
    base.slip = slip;
    let after = scan.at;
    let mut out = Vec::new();
    let mut attempt = |capital: Option<char>, letter: Option<char>, at: usize| {
        let mut scan = Scan { text, at };
        let mut mark = base.clone();
        mark.capital = capital;
        mark.letter = letter.map(|l| (l.to_ascii_lowercase() as u8) - b'a');
        if end(&mut scan, &mut mark, open, false).is_some() {
            mark.slip |= slip;
            out.push(mark);
        }
    };
    let letter_at = |at: usize| {
        let mut scan = Scan { text, at };
        let c = scan.take(|c| c.is_ascii_alphabetic())?;
        let next = scan.rest().chars().find(|&c| !matches!(c, ON | OFF));
        next.is_none_or(|n| !n.is_alphabetic()).then_some((c, scan.at))
    };
    if let Some((c, end_at)) = letter_at(after) {
        if c.is_ascii_lowercase() {
            attempt(None, Some(c), end_at);
        } else {
            attempt(Some(c), None, end_at);
        }
    } else {
        let mut scan = Scan { text, at: after };
        if let Some(capital) = scan.take(|c| c.is_ascii_uppercase())
            && let Some((c, end_at)) = letter_at(scan.at)
            && c.is_ascii_lowercase()
        {
            attempt(Some(capital), Some(c), end_at);
        }
    }
    // 1 a.   1.a   1-a   1(a)   1 (a)
    let mut scan = Scan { text, at: after };
    let stopped = scan.take(|c| matches!(c, '.' | '-')).is_some();
    let blanks = scan.blanks();
    if blanks <= 2 {
        let bracket = scan.take(|c| c == '(').is_some();
        if let Some((c, mut end_at)) = letter_at(scan.at)
            && (bracket || stopped || blanks > 0)
        {
            let closed = text[end_at..].starts_with(')');
            let dotted = text[end_at..].starts_with(['.', ':']);
            if bracket && closed {
                end_at += 1;
            }
            let tabbed = text[after..scan.at].contains('\t') && text[end_at..].starts_with('\t');
            if closed || tabbed || (!bracket && (dotted || (stopped && blanks == 0))) {
                attempt(None, Some(c), end_at);
            }
        }
    }
    // 1.1 and 1.2: the second figure counts the leads.
    if let Some(rest) = text[after..].strip_prefix('.')
        && let Some(digit) =
            rest.chars().next().and_then(|c| c.to_digit(10)).filter(|d| (1..=9).contains(d))
        && rest[1..].trim_start_matches(['.', ')', ':']).starts_with([' ', '\t'])
        && rest[1..]
            .trim_start_matches(['.', ')', ':', ' ', '\t', ON])
            .starts_with(char::is_uppercase)
    {
        attempt(None, Some(char::from(b'a' + digit as u8 - 1)), after + 2);
    }
    attempt(None, None, after);
    // 1+ and 1-: read last, for `1-` is a number with a dash where no lead has a plus.
    for (sign, letter) in [('+', 'a'), ('-', 'b'), ('–', 'b'), ('−', 'b')] {
        if let Some(rest) = text[after..].strip_prefix(sign)
            && rest.starts_with([' ', '\t'])
            && rest.trim_start().starts_with(char::is_uppercase)
        {
            attempt(None, Some(letter), after + sign.len_utf8());
        }
    }
    // Without a figure of its own, a slip needs a lead's letter: `la.` is 1a, `I` alone is nothing.
    let figures = text[at..after].chars().any(|c| c.is_ascii_digit());
    out.retain(|m| !m.slip || figures || !slip || m.letter.is_some() || m.stop == '.');
    out
}

fn letters(text: &str, at: usize, open: Option<char>) -> Vec<Mark> {
    let mut out = Vec::new();
    let mut scan = Scan { text, at };
    let Some(first) = scan.peek() else { return out };
    let mut run = String::new();
    while let Some(c) = scan.take(|c| c.is_alphabetic()) {
        run.push(c);
        if run.len() > 24 {
            return out;
        }
    }
    let after = scan.at;
    let mut attempt = |style: Style, ordinal: u32, repeated: u8, needs: bool| {
        let mut scan = Scan { text, at: after };
        let mut mark = blank_mark(style);
        mark.ordinal = ordinal;
        mark.repeated = repeated;
        if end(&mut scan, &mut mark, open, needs).is_some() {
            out.push(mark);
        }
    };
    let count = run.chars().count();
    // A1 and A2: the figure counts the leads.
    if count == 1
        && first.is_ascii_uppercase()
        && let Some(digit) = scan.peek().and_then(|c| c.to_digit(10)).filter(|d| *d > 0)
    {
        let mut scan = Scan { text, at: scan.at + 1 };
        let mut mark = blank_mark(Style::Upper);
        mark.ordinal = first as u32 - 'A' as u32 + 1;
        mark.letter = Some(digit as u8 - 1);
        if end(&mut scan, &mut mark, open, false).is_some() {
            out.push(mark);
        }
        return out;
    }
    if run.chars().all(|c| c == first) && count <= 8 {
        let place = |base: char| first as u32 - base as u32 + 1;
        match first {
            'a'..='z' => attempt(Style::Lower, place('a'), count as u8, true),
            'A'..='Z' => attempt(Style::Upper, place('A'), count as u8, true),
            'α'..='ω' => attempt(Style::Greek, place('α'), count as u8, true),
            _ => {}
        }
    }
    if let Some(value) = of_roman(&run) {
        let style = if first.is_lowercase() { Style::RomanLower } else { Style::RomanUpper };
        attempt(style, value, 1, true);
    }
    out
}
