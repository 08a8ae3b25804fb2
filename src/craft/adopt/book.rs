//! A manuscript made ready: running heads, page numbers, captions and foot notes set aside, and
//! what its words are known to be.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Repair;
use super::line::{Aside, Line, Manuscript, plain, words};
use super::mark::{Style, readings};
use super::report::LeftOut;

/// The lines that may hold a key, and what was set aside.
#[derive(Debug, Default)]
pub struct Book {
    pub lines: Vec<Line>,
    pub left: Vec<LeftOut>,
    /// Whole words of the manuscript in lower case, with how often they stand unbroken.
    pub vocabulary: BTreeMap<String, u32>,
    /// Hyphenated words that stand unbroken, in lower case.
    pub hyphenated: BTreeSet<String>,
    /// First words of statements in lower case: no names of taxa.
    pub openings: BTreeMap<String, u32>,
    /// Names at the ends of lines have numbers before them, as families have in floras.
    pub numbered_names: bool,
    /// Most lines are rows of three columns and more.
    pub tabular: bool,
    /// What is printed once and read several times: the questions of a table of answers.
    pub repeated: Vec<String>,
    pub repairs: Vec<Repair>,
    /// The width in columns that nine lines in ten keep to.
    pub width: usize,
    /// The code of its language.
    pub tongue: &'static str,
}

impl Book {
    pub fn new(manuscript: &Manuscript) -> Book {
        let mut book = Book { lines: manuscript.lines.clone(), ..Book::default() };
        for Aside { number, text, why } in &manuscript.aside {
            book.left.push(LeftOut::new(*number, text, why));
        }
        book.drop_illustrations();
        book.drop_page_marks();
        book.join_couplet_heads();
        book.drop_running_heads();
        book.drop_rules_and_numbers();
        book.drop_captions();
        book.drop_foot_notes();
        book.unfold_answers();
        book.learn();
        book.tongue = super::languages::tongue(&book);
        let mut widths: Vec<usize> = book.lines.iter().map(Line::columns).collect();
        widths.sort_unstable();
        book.width = widths.get(widths.len() * 9 / 10).copied().unwrap_or(0);
        book
    }

    /// Takes lines out; the line after a gap stands apart only where a sentence has ended.
    pub(super) fn drop(&mut self, mut out: impl FnMut(usize, &Line) -> Option<&'static str>) {
        let lines = std::mem::take(&mut self.lines);
        let mut gap = false;
        for (i, mut line) in lines.into_iter().enumerate() {
            if let Some(why) = out(i, &line) {
                self.left.push(LeftOut::new(line.number, &line.text, why));
                gap = true;
                continue;
            }
            if gap && line.apart {
                let goes_on = plain(&line.text).chars().next().is_some_and(char::is_lowercase)
                    && readings(&line.text, 0).is_empty();
                let open = self.lines.last().is_some_and(|l: &Line| {
                    !plain(&l.text).ends_with(['.', ':', ';', ']']) && !ends_with_number(&l.text)
                });
                line.apart = !(goes_on && open);
            }
            gap = false;
            self.lines.push(line);
        }
    }

    fn learn(&mut self) {
        let numbered = |line: &&Line| {
            let text = plain(&line.text);
            let end = text.trim_end().trim_end_matches('.');
            end.rfind(". ").is_some_and(|at| {
                let name = &end[at + 2..];
                name.starts_with(char::is_uppercase)
                    && name.split(' ').count() <= 2
                    && super::outcome::family_number(&end[..at + 2]) > 0
            })
        };
        self.numbered_names = self.lines.iter().filter(numbered).count() >= 3;
        let gaps = |line: &&Line| {
            let wide = line.text.split("  ").filter(|p| !p.trim().is_empty()).count();
            wide.max(line.text.split('\t').count()) >= 4
        };
        self.tabular = self.lines.iter().filter(gaps).count() * 2 > self.lines.len();
        for line in &self.lines {
            let text = plain(&line.text);
            let tokens: Vec<&str> = text
                .split(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '\'' | '’')))
                .filter(|w| !w.is_empty())
                .collect();
            for (i, token) in tokens.iter().enumerate() {
                let broken = (i + 1 == tokens.len() && token.ends_with('-')) || i == 0;
                let low = token.trim_matches(['-', '\'', '’']).to_lowercase();
                if low.contains('-') {
                    self.hyphenated.insert(low.clone());
                }
                for part in low.split('-').filter(|p| !p.is_empty()) {
                    if !(broken && token.ends_with('-')) {
                        *self.vocabulary.entry(part.to_string()).or_default() += 1;
                    }
                }
            }
            for statement in text.split([';', '.']) {
                if let Some(word) = words(statement).find(|w| w.chars().any(char::is_alphabetic))
                    && word.chars().count() > 2
                {
                    *self.openings.entry(word.to_lowercase()).or_default() += 1;
                }
            }
        }
    }
}

/// Whether a line's last word is a number (a pointer, maybe).
pub fn ends_with_number(text: &str) -> bool {
    let text = plain(text);
    let end = text.trim_end_matches(|c: char| c.is_whitespace() || ".)]".contains(c));
    end.chars().next_back().is_some_and(|c| c.is_ascii_digit())
}

/// Whether most of a text's letters are capitals.
pub fn shouted(text: &str) -> bool {
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let capitals = text.chars().filter(|c| c.is_uppercase()).count();
    letters >= 3 && capitals * 10 >= letters * 8
}

/// Whether a paragraph of one line reads as a heading rather than as a lead or prose.
pub fn is_heading(line: &Line) -> bool {
    if line.heading {
        return true;
    }
    let text = plain(&line.text);
    let low = text.to_lowercase();
    let count = words(&text).count();
    let named = [
        "key",
        "group",
        "section",
        "part",
        "table",
        "family",
        "class",
        "order",
        "tribe",
        "subkey",
        "schlüssel",
        "gruppe",
        "tabelle",
        "familie",
        "tabel",
        "groep",
        "clavis",
        "sleutel",
        "abteilung",
        "reihe",
    ];
    let first = words(&low).next().unwrap_or_default().to_string();
    let keyed = words(&low).any(|w| {
        w == "key"
            || w.ends_with("schlüssel")
            || w == "clavis"
            || w == "conspectus"
            || w == "synopsis"
    });
    count > 0
        && count <= 14
        && text.chars().count() <= 90
        && !readings(&line.text, 0).iter().any(|m| matches!(m.style, Style::Dash | Style::Star))
        && (shouted(&text) || named.contains(&first.as_str()) || keyed)
}
