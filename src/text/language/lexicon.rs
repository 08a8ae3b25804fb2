//! The phrases of a language that belong to amounts, found by their first letter.

use std::sync::OnceLock;

use super::{ALL, Language};
use crate::text::amount::Unit;
use crate::text::frequency::Frequency;

/// What a phrase does in an amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::text) enum Role {
    About,
    UpTo,
    AtMost,
    LessThan,
    AtLeast,
    MoreThan,
    From,
    Between,
    OrMore,
    OrLess,
    Or,
    And,
    To,
    Frequency(Frequency),
    Number(u32),
    Many,
    Unit(Unit),
    /// Long, wide, across: what may follow a length.
    Measured,
}

/// The phrases of one language by first letter, longest first.
pub(in crate::text) struct Lexicon {
    /// One bucket for each ASCII character, the last for all others.
    buckets: [Vec<(&'static str, Role)>; 129],
}

impl Lexicon {
    /// The lexicon of a language, made when first asked for.
    pub(in crate::text) fn of(language: &Language) -> &'static Lexicon {
        static MADE: [OnceLock<Lexicon>; ALL.len()] = [const { OnceLock::new() }; ALL.len()];
        // Languages exist only in ALL; English stands in for one that is not there.
        let at = ALL.iter().position(|l| l.code == language.code).unwrap_or(0);
        MADE[at].get_or_init(|| Lexicon::new(ALL[at]))
    }

    fn new(l: &'static Language) -> Lexicon {
        let mut buckets = [const { Vec::new() }; 129];
        let mut all: Vec<(&'static str, Role)> = Vec::new();
        for (words, role) in [
            (l.about, Role::About),
            (l.up_to, Role::UpTo),
            (l.at_most, Role::AtMost),
            (l.less_than, Role::LessThan),
            (l.at_least, Role::AtLeast),
            (l.more_than, Role::MoreThan),
            (l.from, Role::From),
            (l.between, Role::Between),
            (l.or_more, Role::OrMore),
            (l.or_less, Role::OrLess),
            (l.or, Role::Or),
            (l.and, Role::And),
            (l.but, Role::And),
            (l.to, Role::To),
            (l.many, Role::Many),
            (l.long, Role::Measured),
            (l.wide, Role::Measured),
            (l.measured, Role::Measured),
        ] {
            all.extend(words.iter().map(|w| (*w, role)));
        }
        for d in l.compare.dimensions {
            all.extend(d.plain.iter().map(|w| (*w, Role::Measured)));
        }
        all.extend(l.frequency.iter().map(|&(w, f)| (w, Role::Frequency(f))));
        all.extend(l.numbers.iter().map(|&(w, n)| (w, Role::Number(n))));
        all.extend(l.units.iter().map(|&(w, u)| (w, Role::Unit(u))));
        all.sort_by_key(|(w, _)| std::cmp::Reverse(w.len()));
        for (word, role) in all {
            if let Some(c) = word.chars().next() {
                buckets[bucket(c)].push((word, role));
            }
        }
        Lexicon { buckets }
    }

    /// The longest phrase at the beginning of `text` whose role `wanted` accepts, and its length.
    pub(in crate::text) fn find(
        &self,
        text: &str,
        wanted: impl Fn(Role) -> bool,
    ) -> Option<(Role, usize)> {
        let first = text.chars().next()?;
        let first = first.to_lowercase().next().unwrap_or(first);
        self.buckets[bucket(first)].iter().filter(|(_, role)| wanted(*role)).find_map(
            |&(phrase, role)| {
                let hyphen = matches!(role, Role::Number(_));
                Some((role, begins(text, phrase, hyphen)?))
            },
        )
    }
}

fn bucket(c: char) -> usize {
    if c.is_ascii() { c as usize } else { 128 }
}

/// How many bytes of `text` the phrase takes, where `text` begins with it: case is not compared, a
/// blank stands for any run of blanks or one hyphen, and a phrase ends where its last word ends.
/// With `hyphen`, the word may go on after a hyphen (`three-lobed`).
pub(in crate::text) fn begins(text: &str, phrase: &str, hyphen: bool) -> Option<usize> {
    let mut rest = text;
    let mut last = ' ';
    for p in phrase.chars() {
        if p == ' ' {
            let after = rest.trim_start_matches(is_blank);
            rest = if after.len() < rest.len() { after } else { rest.strip_prefix('-')? };
        } else {
            let c = rest.chars().next()?;
            let same = c == p || (c == '’' && p == '\'') || c.to_lowercase().eq(std::iter::once(p));
            if !same {
                return None;
            }
            rest = &rest[c.len_utf8()..];
        }
        last = p;
    }
    if last.is_alphanumeric() {
        let mut after = rest.chars();
        match after.next() {
            Some(c) if c.is_alphanumeric() => return None,
            Some('-') if !hyphen && after.next().is_some_and(char::is_alphabetic) => return None,
            _ => {}
        }
    }
    Some(text.len() - rest.len())
}

/// The longest of `phrases` that `text` begins with, and its length.
pub(in crate::text) fn longest(text: &str, phrases: &[&str]) -> Option<usize> {
    phrases.iter().filter_map(|p| begins(text, p, false)).max()
}

/// The blanks that keyboards and word processors make, as in `grammar/notation.pest`.
pub(in crate::text) fn is_blank(c: char) -> bool {
    matches!(
        c,
        ' ' | '\t'..='\r' | '\u{A0}' | '\u{2000}'..='\u{200A}' | '\u{202F}' | '\u{3000}'
    )
}
