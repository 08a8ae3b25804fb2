//! Running text broken into lines: where a line may end, where it had better, and where it must
//! not.

use std::ops::Range;

use unicode_width::UnicodeWidthStr;

use super::joints::joined_to_next;
use crate::text::language::Language;
use crate::text::parse::is_blank;

/// After what a line ends most gladly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pauses {
    /// Nowhere: prose.
    None,
    /// After a statement: a semicolon or a full stop.
    Statements,
    /// After an item: a comma or a semicolon.
    Items,
    /// After `or` between names.
    Names,
}

/// What stands on one line whole: a word, or several that belong together.
#[derive(Clone, Debug)]
struct Atom {
    text: String,
    width: usize,
    pause: bool,
    /// No pause, but better than the middle of a phrase: after a comma, before a bracket.
    rest: bool,
}

/// Text to be broken, and the comments that follow some of its words.
#[derive(Clone, Debug)]
pub(super) struct Flow<'a> {
    atoms: Vec<Atom>,
    pauses: Pauses,
    /// The atom that each comment follows.
    tails: Vec<(usize, &'a str)>,
}

/// One line of a broken text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Line<'a> {
    pub text: String,
    pub tails: Vec<&'a str>,
}

/// A line is ended at a pause where at least this share (in hundredths) of it is filled. Above a
/// half: what was left out then always reaches into the next line (see `line_end`).
const FILLED: usize = 52;

/// A line that ends within a statement is as bad as one that is left empty.
const NO_PAUSE: u64 = 120;
const REST: u64 = 70;
const SHORT_END: u64 = 60;

/// Words that belong together stay so up to this width.
const WIDEST_JOINED: usize = 30;

impl<'a> Flow<'a> {
    /// `pieces` are the lines of the source, each with the comments at its end.
    pub fn new<'t>(
        pieces: impl Iterator<Item = (&'t str, Vec<&'a str>)>,
        pauses: Pauses,
        language: &Language,
    ) -> Flow<'a> {
        let mut words: Vec<Word> = Vec::new();
        let mut after: Vec<(usize, &'a str)> = Vec::new();
        for (text, tails) in pieces {
            words_of(text, &mut words);
            let last = words.len().saturating_sub(1);
            after.extend(tails.into_iter().map(|t| (last, t)));
        }
        let texts: Vec<&str> = words.iter().map(|w| w.text.as_str()).collect();
        let mut flow = Flow { atoms: Vec::new(), pauses, tails: Vec::new() };
        let mut atom_of = Vec::with_capacity(words.len());
        for (i, word) in words.iter().enumerate() {
            let width = word.text.width();
            let joined = i > 0 && joined_to_next(&texts, i - 1, language);
            let bracket = texts.get(i + 1).is_some_and(|next| next.starts_with(['(', '[']));
            let pause = pauses.after(&word.text, language) || bracket && pauses == Pauses::Names;
            let rest = bracket || word.text.ends_with(',');
            match flow.atoms.last_mut() {
                Some(atom)
                    if word.held.is_some() || joined && atom.width + width < WIDEST_JOINED =>
                {
                    let blank = word.held.unwrap_or(' ');
                    atom.text.push(blank);
                    atom.text.push_str(&word.text);
                    atom.width = atom.text.width();
                    (atom.pause, atom.rest) = (pause, rest);
                }
                _ => flow.atoms.push(Atom { text: word.text.clone(), width, pause, rest }),
            }
            atom_of.push(flow.atoms.len() - 1);
        }
        flow.tails =
            after.into_iter().map(|(w, t)| (atom_of.get(w).copied().unwrap_or(0), t)).collect();
        flow
    }

    pub fn is_empty(&self) -> bool {
        self.atoms.is_empty()
    }

    /// Breaks the text into the fewest lines of at most `first`, then `rest` columns: prose in
    /// full lines, but no short word alone on the last; what has pauses evenly and as often at
    /// them as may be. A wider word stands alone on its line.
    pub fn lines(&self, first: usize, rest: usize) -> Vec<Line<'a>> {
        let n = self.atoms.len();
        // For every atom: lines and faults from there on, and where its line ends.
        let mut best: Vec<(u32, u64, usize)> = vec![(0, 0, n); n + 1];
        for start in (0..n).rev() {
            let limit = if start == 0 { first } else { rest }.max(1);
            let mut found: Option<(u32, u64, usize)> = None;
            let mut width = 0;
            for (i, atom) in self.atoms.iter().enumerate().skip(start) {
                width += atom.width + usize::from(i > start);
                if width > limit && i > start {
                    break;
                }
                let (lines, faults, _) = best[i + 1];
                let way = (lines + 1, faults + self.fault(start, i, width, limit), i + 1);
                // Of equals the longer line.
                if found.is_none_or(|f| (way.0, way.1) <= (f.0, f.1)) {
                    found = Some(way);
                }
            }
            best[start] = found.unwrap_or((1, 0, n));
        }
        let mut out = Vec::new();
        let mut start = 0;
        while start < n {
            let end = best[start].2;
            out.push(self.line(start..end));
            start = end;
        }
        out
    }

    /// How badly a line of atoms `start..=last` looks.
    fn fault(&self, start: usize, last: usize, width: usize, limit: usize) -> u64 {
        let left = (limit.saturating_sub(width) * 100 / limit) as u64;
        if last + 1 == self.atoms.len() {
            // One short word alone on the last line.
            return if start > 0 && left > 75 { SHORT_END } else { 0 };
        }
        if self.pauses == Pauses::None {
            return 0;
        }
        let end = match &self.atoms[last] {
            atom if atom.pause => 0,
            atom if atom.rest => REST,
            _ => NO_PAUSE,
        };
        left * left / 100 + end
    }

    /// Breaks the text into lines of at most `limit` columns, each as full as it may be; but at a
    /// pause where enough of the line is filled. What follows a line's end is broken as it would
    /// be alone, so that paragraphs which the writer parts stay parted and others join.
    pub fn full_lines(&self, limit: usize) -> Vec<Line<'a>> {
        let mut out = Vec::new();
        let mut start = 0;
        while start < self.atoms.len() {
            let end = self.line_end(start, limit);
            out.push(self.line(start..end));
            start = end;
        }
        out
    }

    /// Where a line ends depends on its own words and the first that has no room. At a pause it
    /// ends only where that word has room on the next line, so that a text which is cut after the
    /// next line, or any later one, still has this line.
    fn line_end(&self, start: usize, limit: usize) -> usize {
        let mut width = 0;
        let mut pause: Option<(usize, usize)> = None;
        for (i, atom) in self.atoms.iter().enumerate().skip(start) {
            width += atom.width + usize::from(i > start);
            if width > limit && i > start {
                return pause.filter(|(_, w)| width - w - 1 <= limit).map_or(i, |(end, _)| end);
            }
            if atom.pause && width * 100 >= limit * FILLED {
                pause = Some((i + 1, width));
            }
        }
        self.atoms.len()
    }

    fn line(&self, atoms: Range<usize>) -> Line<'a> {
        let mut text = String::new();
        for atom in &self.atoms[atoms.clone()] {
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&atom.text);
        }
        let tails = self.tails.iter().filter(|(a, _)| atoms.contains(a)).map(|(_, t)| *t).collect();
        Line { text, tails }
    }
}

impl Pauses {
    fn after(self, word: &str, language: &Language) -> bool {
        match self {
            Pauses::None => false,
            Pauses::Items => word.ends_with([',', ';']),
            Pauses::Names => language.or.contains(&word.to_lowercase().as_str()),
            Pauses::Statements => word.ends_with(';') || ends_sentence(word, language),
        }
    }
}

/// Whether a word ends a sentence: a full stop, but not that of an abbreviation or an initial.
pub(super) fn ends_sentence(word: &str, language: &Language) -> bool {
    let Some(core) = word.strip_suffix('.') else { return false };
    let core = core.trim_start_matches(['(', '[']);
    let initial = core.chars().count() == 1 && core.starts_with(char::is_uppercase);
    !initial && !language.abbreviations.contains(&core.to_lowercase().as_str())
}

/// A word, and the blank that must stand before it on the same line, if any.
struct Word {
    text: String,
    held: Option<char>,
}

/// Text with every run of blanks made one.
pub(super) fn squeeze(text: &str) -> String {
    let mut words = Vec::new();
    words_of(text, &mut words);
    let mut out = String::with_capacity(text.len());
    for word in words {
        if !out.is_empty() {
            out.push(word.held.unwrap_or(' '));
        }
        out.push_str(&word.text);
    }
    out
}

/// Blanks at which a line must not end; they stay as they are, but for runs.
fn is_firm(c: char) -> bool {
    matches!(c, '\u{A0}' | '\u{2007}' | '\u{202F}' | '\u{3000}' | '\u{FEFF}')
}

fn words_of(text: &str, out: &mut Vec<Word>) {
    let mut rest = text.trim_matches(is_blank);
    let mut held = None;
    let mut word = String::new();
    loop {
        let end = rest.find(is_blank).unwrap_or(rest.len());
        word.push_str(&rest[..end]);
        rest = &rest[end..];
        let after = rest.trim_start_matches(is_blank);
        if after.is_empty() {
            break;
        }
        let run = &rest[..rest.len() - after.len()];
        rest = after;
        let last = run.chars().next_back().unwrap_or(' ');
        if run.chars().all(is_firm) {
            word.push(last);
            continue;
        }
        out.push(Word { text: std::mem::take(&mut word), held });
        // A line that begins with a hash would be a comment, and so would a hash between blanks.
        held = after.strip_prefix('#').map(|next| {
            let alone = next.is_empty() || next.starts_with(is_blank);
            if alone { last } else { ' ' }
        });
    }
    if !word.is_empty() {
        out.push(Word { text: word, held });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flow(text: &str, pauses: Pauses) -> Flow<'static> {
        Flow::new([(text, Vec::new())].into_iter(), pauses, Language::english())
    }

    fn texts(lines: Vec<Line<'_>>) -> Vec<String> {
        lines.into_iter().map(|l| l.text).collect()
    }

    fn broken(text: &str, pauses: Pauses, limit: usize) -> Vec<String> {
        texts(flow(text, pauses).full_lines(limit))
    }

    #[test]
    fn leads_are_broken_after_a_statement_and_end_on_more_than_one_word() {
        let lead = "Green leaves present; root a taproot or fibrous or creeping";
        assert_eq!(
            texts(flow(lead, Pauses::Statements).lines(54, 54)),
            ["Green leaves present;", "root a taproot or fibrous or creeping"]
        );
        let ask = "What shape is the base of the blade of a leaf from the lower half of the stem?";
        assert_eq!(
            texts(flow(ask, Pauses::None).lines(74, 74)),
            ["What shape is the base of the blade of a leaf from the", "lower half of the stem?"]
        );
        let names = "Galium aparine or G. tricornutum or G. verum";
        assert_eq!(
            texts(flow(names, Pauses::Names).lines(20, 20)),
            ["Galium aparine or", "G. tricornutum or", "G. verum"]
        );
    }

    #[test]
    fn a_word_too_wide_for_the_line_stands_alone() {
        let text = "a incomprehensibilities b";
        assert_eq!(texts(flow(text, Pauses::None).lines(5, 5)).len(), 3);
        assert_eq!(broken(text, Pauses::None, 5).len(), 3);
    }

    #[test]
    fn lines_end_after_a_statement_where_enough_of_them_is_filled() {
        let text = "Sepals half as long as petals; leaves hairless beneath; leaf blade lobed";
        assert_eq!(
            broken(text, Pauses::Statements, 60),
            ["Sepals half as long as petals; leaves hairless beneath;", "leaf blade lobed"]
        );
        assert_eq!(
            broken(text, Pauses::None, 62),
            ["Sepals half as long as petals; leaves hairless beneath; leaf", "blade lobed"]
        );
        let early = "Sepals; half as long as the petals of the upper flowers";
        assert_eq!(
            broken(early, Pauses::Statements, 40)[0],
            "Sepals; half as long as the petals of"
        );
    }

    #[test]
    fn width_is_counted_as_it_is_shown() {
        // e with a combining acute is one column, a wide character two.
        let text = "cafe\u{301} cafe\u{301} 植物 植物";
        assert_eq!(broken(text, Pauses::None, 9), ["cafe\u{301} cafe\u{301}", "植物 植物"]);
    }

    #[test]
    fn a_hash_never_begins_a_line() {
        assert_eq!(broken("see sheet #5 there", Pauses::None, 10), ["see", "sheet #5", "there"]);
        assert_eq!(squeeze("a\u{2007}# b"), "a\u{2007}# b");
        assert_eq!(squeeze("a \u{2007}# b"), "a\u{2007}# b");
    }

    #[test]
    fn firm_blanks_hold_and_runs_become_one() {
        assert_eq!(squeeze(" a\t b\u{A0}\u{A0}c \u{A0}d "), "a b\u{A0}c d");
        assert_eq!(broken("ab\u{A0}cd ef", Pauses::None, 4), ["ab\u{A0}cd", "ef"]);
    }
}
