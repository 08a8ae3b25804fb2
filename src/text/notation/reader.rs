//! Figures and words to an amount, from left to right, as far as it goes.
//!
//! What is read, with `[ ]` for what may be missing and `{ }` for what may be repeated:
//!
//! ```text
//! amount      = alternative { joint alternative }
//! joint       = [","] or | "," before a word of frequency | a word of frequency | ", , or"
//! alternative = [frequency] [about] [low] (usual | bound) { high | unit | or more }
//! low         = "(2-)" | "(2)" | "(3 or)" | "(rarely 3)"
//! usual       = number [unit] [(dash | to) number [unit]]
//! bound       = (up to | less than | at least | more than) number [unit] [and bound]
//! high        = "(-7)" | "(7)" | "(to 7)" | "(or 10)" | "(rarely 7)" | "(or more)"
//! ```

use super::draft::{Draft, End, Mark, Mode, Number};
use super::figure::Figure;
use super::lexer::Lexer;
use crate::text::amount::Unit;
use crate::text::frequency::Frequency;
use crate::text::language::Language;
use crate::text::language::lexicon::Role;

/// No amount has more alternatives; what follows is left unread.
pub(super) const ALTERNATIVES: usize = 32;

pub(super) struct Reader<'a> {
    pub lexer: Lexer<'a>,
    pub mode: Mode,
    pub numbers: Vec<Number>,
    pub drafts: Vec<Draft>,
    /// Where the drafts of the amount that is being read begin.
    base: usize,
    /// In a ratio: the adjectives between `as` and `as`.
    pub plain: &'static [&'static str],
}

impl<'a> Reader<'a> {
    pub fn new(text: &'a str, language: &'a Language, mode: Mode) -> Reader<'a> {
        Reader {
            lexer: Lexer::new(text, language),
            mode,
            numbers: Vec::with_capacity(4),
            drafts: Vec::with_capacity(2),
            base: 0,
            plain: &[],
        }
    }

    pub fn here(&self, end: usize) -> Mark {
        Mark { drafts: self.drafts.len(), numbers: self.numbers.len(), end }
    }

    pub(super) fn is_full(&self) -> bool {
        self.drafts.len() - self.base >= ALTERNATIVES
    }

    /// Takes back what a reading that failed has left.
    pub fn back(&mut self, mark: Mark) {
        self.drafts.truncate(mark.drafts);
        self.numbers.truncate(mark.numbers);
    }

    /// Reads an amount at `at`; the last place where it may end. `frequency` is in force there, and
    /// is left as it is at the end; `leads` says that nothing of the same value stands before.
    pub fn amount(&mut self, at: usize, frequency: &mut Frequency, leads: bool) -> Option<Mark> {
        self.base = self.drafts.len();
        let mut end = self.alternative(at, frequency, leads)?;
        let mut good = self.good(end);
        // After a bare comma the list is good only when its `or` has come.
        let mut listed = false;
        while !self.is_full() {
            let mut next = self.lexer.skip(end);
            // The hyphen of "3- or 5-lobed".
            if next == end && self.lexer.text[end..].starts_with("- ") {
                next = self.lexer.skip(end + 1);
            }
            let comma = self.lexer.text[next..].starts_with(',');
            if comma {
                next = self.lexer.skip(next + 1);
            }
            let or = self.lexer.is(next, Role::Or);
            let hedged = self.lexer.word(next, |r| matches!(r, Role::Frequency(_))).is_some();
            let stated = *frequency == Frequency::Stated;
            let bare = comma && or.is_none() && !hedged;
            if or.is_none() && (listed && !bare || !comma && !hedged || bare && !stated) {
                break;
            }
            if comma {
                *frequency = Frequency::Stated;
            }
            let before = self.here(end);
            match self.alternative(or.unwrap_or(next), frequency, false) {
                Some(to) => end = to,
                None => {
                    self.back(before);
                    break;
                }
            }
            listed = bare || listed && or.is_none();
            if !listed {
                good = self.good(end).or(good);
            }
        }
        if let Some(mark) = good {
            self.back(mark);
        }
        good
    }

    /// The place as a mark, where an amount may end there.
    fn good(&self, end: usize) -> Option<Mark> {
        (self.mode == Mode::Ratio || ends(&self.lexer.text[end..])).then(|| self.here(end))
    }

    /// One alternative; pushes one draft or more, and says where it ends.
    fn alternative(&mut self, at: usize, frequency: &mut Frequency, first: bool) -> Option<usize> {
        let mut at = at;
        let mut about = false;
        // "usually about"; a row of such words is no amount.
        for _ in 0..4 {
            at = self.lexer.skip(at);
            match self.lexer.word(at, |r| matches!(r, Role::Frequency(_) | Role::About)) {
                Some((Role::Frequency(f), end)) => (*frequency, at) = (f, end),
                Some((_, end)) => (about, at) = (true, end),
                None => break,
            }
        }
        let mut draft = Draft { about, frequency: *frequency, ..Draft::default() };
        if let Some(inside) = self.lexer.open(at) {
            let end = self.low(inside, &mut draft)?;
            at = self.lexer.skip(end);
        }
        if let Some((role, end)) = self.lexer.word(at, is_bound) {
            return match role {
                Role::Between => self.between(end, draft),
                _ => self.bound(role, at, end, draft, first),
            };
        }
        let end = self.usual(at, &mut draft)?;
        self.drafts.push(draft);
        Some(self.after(end))
    }

    /// `3`, `3-5`, `3 to 5`, `3- to 5-`, `4-many`.
    pub(super) fn usual(&mut self, at: usize, draft: &mut Draft) -> Option<usize> {
        let (number, end) = self.number(at)?;
        let low = End { number, open: false };
        draft.usual = [Some(low), Some(low)];
        let next = self.lexer.skip(end);
        // "5 mm --19" is no range: a dash that stands off on one side stands off on the other.
        let mut link = self.lexer.dash(next).filter(|d| next == end || self.lexer.skip(*d) > *d);
        let suspended = link.filter(|_| next == end).map(|d| self.lexer.skip(d));
        if let Some(to) = self.lexer.is(suspended.unwrap_or(next), Role::To) {
            link = Some(to);
        }
        let Some(link) = link else { return Some(end) };
        let mut high = self.lexer.skip(link);
        if let Some(to) = self.lexer.is(high, Role::Many) {
            draft.to_many = true;
            draft.usual[1] = None;
            return Some(to);
        }
        let about = self.lexer.is(high, Role::About);
        high = self.lexer.skip(about.unwrap_or(high));
        if let Some((role, to)) =
            self.lexer.word(high, |r| matches!(r, Role::MoreThan | Role::LessThan))
        {
            let Some((number, to)) = self.number(to) else { return Some(end) };
            let below = End { number, open: true };
            draft.usual[1] = (role == Role::LessThan).then_some(below);
            draft.about |= about.is_some();
            return Some(to);
        }
        let Some((number, to)) = self.number(high) else { return Some(end) };
        draft.usual[1] = Some(End { number, open: false });
        draft.about |= about.is_some();
        Some(to)
    }

    /// `up to 5`, `more than 3 and less than 5`; the role's phrase stands from `at` to `end`.
    fn bound(
        &mut self,
        role: Role,
        at: usize,
        end: usize,
        mut draft: Draft,
        first: bool,
    ) -> Option<usize> {
        if let Some(range) = self.lexer.is(at, Role::From) {
            let mark = self.here(range);
            let mut whole = draft;
            let to = self.usual(self.lexer.skip(range), &mut whole);
            let ends = whole.usual.map(|e| e.map(|e| e.number));
            if let (Some(to), true) = (to, ends[0] != ends[1]) {
                self.drafts.push(whole);
                return Some(self.after(to));
            }
            self.back(mark);
        }
        if role == Role::From {
            return None;
        }
        let (limit, mut end) = self.limit(role, end, &mut draft)?;
        let side = usize::from(is_upper(role));
        draft.usual[side] = Some(limit);
        let mut both = false;
        let next = self.lexer.skip(end);
        if let Some(and) = self.lexer.is(next, Role::And) {
            let mark = self.here(end);
            let next = self.lexer.skip(and);
            if let Some((other, to)) = self.lexer.word(next, is_bound)
                && !matches!(other, Role::Between | Role::From)
                && is_upper(other) != is_upper(role)
            {
                match self.limit(other, to, &mut draft) {
                    Some((limit, to)) => {
                        draft.usual[1 - side] = Some(limit);
                        (both, end) = (true, to);
                    }
                    None => self.back(mark),
                }
            }
        }
        let hedge = draft.frequency;
        if first && implies_the_rule(hedge) && !both && draft.extreme[0].is_none() {
            match role {
                // "rarely exceeding 5" says that up to 5 is the rule.
                Role::MoreThan | Role::LessThan => {
                    let mut rule = Draft { about: draft.about, ..Draft::default() };
                    rule.usual[1 - side] = Some(End { number: limit.number, open: false });
                    self.drafts.push(rule);
                }
                // "rarely to 5 m" says that nothing is above it.
                Role::UpTo | Role::AtMost => draft.frequency = Frequency::Stated,
                _ => {}
            }
        }
        if draft.usual[0].is_none() && draft.extreme[0].is_some() {
            return None;
        }
        draft.goes_on = !first && !both && role == Role::UpTo && hedge != Frequency::Stated;
        self.drafts.push(draft);
        Some(self.after(end))
    }

    /// The number after the words of a bound. Of `up to 3-5` the outer figure counts.
    fn limit(&mut self, role: Role, at: usize, draft: &mut Draft) -> Option<(End, usize)> {
        let mut at = self.lexer.skip(at);
        if let Some(end) = self.lexer.is(at, Role::About) {
            (draft.about, at) = (true, self.lexer.skip(end));
        }
        let mut one = Draft::default();
        let end = self.usual(at, &mut one)?;
        draft.about |= one.about;
        let end_of_range = one.usual[usize::from(is_upper(role))]?;
        let open = matches!(role, Role::MoreThan | Role::LessThan);
        Some((End { open: open || end_of_range.open, ..end_of_range }, end))
    }

    /// `between 3 and 5`, after its first word.
    fn between(&mut self, at: usize, mut draft: Draft) -> Option<usize> {
        let (low, end) = self.number(at)?;
        let and = self.lexer.is(self.lexer.skip(end), Role::And)?;
        let (high, end) = self.number(and)?;
        draft.usual = [low, high].map(|number| Some(End { number, open: false }));
        self.drafts.push(draft);
        Some(self.after(end))
    }

    /// What may follow the figures, in any order: extremes, alternatives in parentheses, the unit,
    /// `or more`. The last draft is the one that they belong to.
    fn after(&mut self, at: usize) -> usize {
        let main = self.drafts.len() - 1;
        let mut at = at;
        let mut more = false;
        loop {
            let next = self.lexer.skip(at);
            if let Some(end) = self.trailing_unit(next) {
                at = end;
                continue;
            }
            if let Some(inside) = self.lexer.open(next) {
                let mark = self.here(at);
                if let Some(end) = self.high(inside, next == at, main) {
                    at = end;
                    continue;
                }
                self.back(mark);
                return at;
            }
            match self.or_more(next) {
                Some((role, end))
                    if !more && self.drafts[main].usual.iter().all(Option::is_some) =>
                {
                    self.drafts[main].usual[usize::from(role == Role::OrMore)] = None;
                    (more, at) = (true, end);
                }
                _ => return at,
            }
        }
    }

    /// A unit that does not stand right after its figure: `5(-7) cm`, `5 or more cm`.
    fn trailing_unit(&mut self, at: usize) -> Option<usize> {
        let last = self.numbers.len().checked_sub(1)?;
        if self.numbers[last].unit.is_some() {
            return None;
        }
        let (unit, end, prime) = self.unit(at)?;
        self.numbers[last].unit = Some(unit);
        self.numbers[last].prime = prime;
        Some(end)
    }

    /// `or more`, but not the beginning of `or more than 7`.
    fn or_more(&mut self, at: usize) -> Option<(Role, usize)> {
        let (role, end) = self.lexer.word(at, |r| matches!(r, Role::OrMore | Role::OrLess))?;
        let next = self.lexer.skip(self.lexer.is(at, Role::Or).unwrap_or(at));
        if let Some((_, figure)) = self.lexer.word(next, is_bound)
            && figure >= end
        {
            let figure = self.lexer.skip(figure);
            let about = self.lexer.is(figure, Role::About).unwrap_or(figure);
            let figure = self.lexer.skip(about);
            if self.lexer.number(figure).is_some() || self.number_word(figure).is_some() {
                return None;
            }
        }
        Some((role, end))
    }

    /// A number in figures or as a word, with the unit that stands right after it.
    pub(super) fn number(&mut self, at: usize) -> Option<(usize, usize)> {
        let at = self.lexer.skip(at);
        let (figure, end, unit) = match self.lexer.number(at) {
            Some((figure, end)) => (figure, end, None),
            None => self.number_word(at)?,
        };
        let mut number = Number { figure, unit, prime: false, start: at, end };
        let mut end = end;
        let next = self.lexer.skip(end);
        if let Some((unit, after, prime)) = self.unit(next) {
            (number.unit, number.prime, end) = (Some(unit), prime, after);
        }
        self.numbers.push(number);
        Some((self.numbers.len() - 1, end))
    }

    /// A word for a number; factors and `as long as` (once as long) count in times already.
    fn number_word(&mut self, at: usize) -> Option<(Figure, usize, Option<Unit>)> {
        if self.mode == Mode::Ratio {
            if let Some((figure, end)) = self.lexer.factor(at) {
                return Some((figure, end, Some(Unit::Count)));
            }
            if self.as_plain_as(at).is_some() {
                let once = Figure { value: 1.into(), slip: None };
                return Some((once, at, Some(Unit::Count)));
            }
        }
        match self.lexer.word(at, |r| matches!(r, Role::Number(_)))? {
            (Role::Number(n), end) => match self.lexer.factor(at) {
                // "one-third"
                Some((figure, further)) if further > end => Some((figure, further, None)),
                _ => Some((Figure { value: n.into(), slip: None }, end, None)),
            },
            _ => None,
        }
    }

    /// `as long as` at `at`, in a ratio; where it ends.
    pub fn as_plain_as(&self, at: usize) -> Option<usize> {
        let compare = &self.lexer.language.compare;
        let end = self.lexer.phrase(self.lexer.skip(at), compare.as_before)?;
        let end = self.lexer.phrase(self.lexer.skip(end), self.plain)?;
        self.lexer.phrase(self.lexer.skip(end), compare.as_after)
    }

    fn unit(&mut self, at: usize) -> Option<(Unit, usize, bool)> {
        match self.mode {
            Mode::Measure => self.lexer.unit(at),
            Mode::Count => None,
            Mode::Ratio => {
                let words = self.lexer.language.compare.times;
                let end = self.lexer.phrase(at, words).or_else(|| {
                    // 2-3-mal
                    let rest = self.lexer.text[at..].strip_prefix('-')?;
                    self.lexer.phrase(self.lexer.text.len() - rest.len(), words)
                })?;
                Some((Unit::Count, end, false))
            }
        }
    }
}

/// Whether the word, before a limit, says that what is on the other side of it is the rule.
pub(super) fn implies_the_rule(frequency: Frequency) -> bool {
    frequency.is_exception() || frequency == Frequency::Sometimes
}

fn is_bound(role: Role) -> bool {
    use Role::*;
    matches!(role, UpTo | AtMost | LessThan | AtLeast | MoreThan | From | Between)
}

fn is_upper(role: Role) -> bool {
    matches!(role, Role::UpTo | Role::AtMost | Role::LessThan)
}

/// Whether an amount may end before `rest`: not within a figure or before one that it touches.
fn ends(rest: &str) -> bool {
    let mut chars = rest.chars();
    let Some(c) = chars.next() else { return true };
    let next = chars.next();
    let digit = next.is_some_and(|c| c.is_ascii_digit());
    match c {
        '.' | ',' | '(' => !digit,
        ';' | ':' | '!' | '?' | ')' | ']' | '…' | '"' | '”' | '’' | '“' | '»' => true,
        // The hyphen of "3-5-lobed", the dash before an aside.
        '-' | '–' | '—' | '‐' | '‑' => next.is_some_and(char::is_alphabetic),
        // "5zählig", "3nerved", but neither "5th" nor a unit that is none.
        c if c.is_alphabetic() => rest.chars().take(4).filter(|c| c.is_lowercase()).count() == 4,
        c => crate::text::language::lexicon::is_blank(c),
    }
}
