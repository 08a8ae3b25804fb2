//! The layouts in which keys are printed and typed: how each labels its leads.
//!
//! A new layout is one file here and one line in [`ALL`].

mod doubled_letters;
mod group_letters;
mod indented;
mod number_dash;
mod number_first;
mod number_letter;
mod number_prime;
mod number_twice;
mod outline;
mod roman_numbers;

use std::collections::BTreeMap;

use super::book::Book;
use super::mark::{Mark, Style, readings};
use super::pointer::Called;

/// Every layout, those that say most about themselves first.
pub const ALL: [&dyn Layout; 10] = [
    &number_letter::NumberLetter,
    &number_prime::NumberPrime,
    &number_twice::NumberTwice,
    &number_dash::NumberDash,
    &number_first::NumberFirst,
    &doubled_letters::DoubledLetters,
    &group_letters::GroupLetters,
    &roman_numbers::RomanNumbers,
    &outline::Outline,
    &indented::Indented,
];

/// The number of a couplet as printed: `84`, or `84A` with its capital.
pub type Id = (u32, Option<char>);

/// What a label says in a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// A lead of couplet `id`; `lead` is its place (from 0) where the label says it.
    Numbered { id: Id, lead: Option<u8> },
    /// One lead more of the couplet above.
    More,
    /// The lead of that place in the couplet above: `b` below `1a`.
    Letter(u8),
    /// A level of an outline.
    Level { doubled: bool },
}

/// How a layout's labels are followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Follow {
    /// By couplets' numbers.
    Numbers,
    /// By levels, each with its own kind of label.
    Levels,
    /// By indentation alone.
    Indents,
}

/// One way to lay out a key.
pub trait Layout: Sync {
    /// The name by which a person asks for it.
    fn name(&self) -> &'static str;
    /// What it is, in words.
    fn told(&self) -> &'static str;
    /// What a label says here; `None` where it is none in this layout.
    fn step(&self, mark: &Mark, tally: &Tally) -> Option<Step>;
    /// Whether leads without a label begin at paragraphs.
    fn unmarked(&self) -> bool {
        false
    }
    fn follow(&self) -> Follow {
        Follow::Numbers
    }
    /// By what couplets are called, so that it can be a pointer.
    fn called(&self) -> Called {
        Called::Numbers
    }
    /// Whether the manuscript has labels of this kind at all.
    fn possible(&self, tally: &Tally) -> bool;
}

/// The layout of a name.
pub fn of(name: &str) -> Option<&'static dyn Layout> {
    ALL.into_iter().find(|l| l.name().eq_ignore_ascii_case(name.trim()))
}

/// How often each kind of label begins a line.
#[derive(Debug, Default)]
pub struct Tally {
    /// Numbers with a small letter, with a capital only, with a prime, and bare.
    pub lettered: usize,
    pub capitals: usize,
    pub primed: usize,
    pub bare: usize,
    pub dashes: usize,
    /// By style and bracket: all, and those that are doubled or primed.
    pub styles: BTreeMap<(Style, u8), (usize, usize)>,
}

impl Tally {
    pub fn of(book: &Book) -> Tally {
        let mut tally = Tally::default();
        for line in &book.lines {
            let marks = readings(&line.text, 0);
            if let Some(mark) = marks.iter().find(|m| m.style == Style::Number && !m.slip) {
                match (mark.letter, mark.capital, mark.primes) {
                    (Some(_), ..) => tally.lettered += 1,
                    (None, Some(_), _) => tally.capitals += 1,
                    (None, None, 0) => tally.bare += 1,
                    _ => tally.primed += 1,
                }
            }
            for mark in &marks {
                let entry = tally.styles.entry((mark.style, mark.bracket)).or_default();
                entry.0 += 1;
                // `II` may be two as well as I doubled: it proves nothing.
                let roman =
                    marks.iter().any(|m| matches!(m.style, Style::RomanLower | Style::RomanUpper));
                entry.1 += usize::from((mark.repeated > 1 && !roman) || mark.primes > 0);
                tally.dashes += usize::from(mark.style == Style::Dash);
            }
        }
        tally
    }

    /// Whether the letters of a style come doubled or primed: `a`, `aa`.
    pub fn doubled(&self, mark: &Mark) -> bool {
        self.styles.get(&(mark.style, mark.bracket)).is_some_and(|s| s.1 > 0)
    }

    /// Whether capitals after numbers name the leads: `1A`, `1B`.
    pub fn capital_leads(&self) -> bool {
        self.capitals > self.lettered
    }
}
