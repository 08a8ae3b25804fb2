//! What a printed page has around its text: captions, running heads, page numbers, foot notes.

use std::collections::{BTreeMap, BTreeSet};

use super::book::{Book, ends_with_number, shouted};
use super::line::{OFF, ON, plain, words};
use super::mark::readings;
use super::report::LeftOut;

impl Book {
    /// `[Illustration: ...]`, over as many lines as its bracket reaches.
    pub(super) fn drop_illustrations(&mut self) {
        let mut depth = 0i32;
        let mut since = 0;
        self.drop(|_, line| {
            let text = plain(&line.text);
            if depth <= 0 {
                let low = text.to_lowercase();
                let begins =
                    ["[illustration", "[figure", "[plate", "[abbildung", "[image", "[afbeelding"]
                        .iter()
                        .any(|b| low.starts_with(b));
                if !begins {
                    return None;
                }
                since = 0;
                depth = 0;
            }
            depth += text.matches('[').count() as i32 - text.matches(']').count() as i32;
            since += 1;
            if since > 60 {
                depth = 0;
            }
            Some("a caption")
        });
    }

    /// `[Pg 12]`, `[Page 12]` and `{12}`, alone or within a line.
    pub(super) fn drop_page_marks(&mut self) {
        for line in &mut self.lines {
            let mut from = 0;
            while let Some(at) = line.text[from..].find(['[', '{']).map(|i| i + from) {
                let open = line.text.as_bytes()[at];
                let close = if open == b'[' { ']' } else { '}' };
                let Some(len) = line.text[at..].find(close) else { break };
                let inner = line.text[at + 1..at + len].trim().to_lowercase();
                let figures = |s: &str| {
                    !s.is_empty() && s.len() <= 4 && s.bytes().all(|b| b.is_ascii_digit())
                };
                let page = ["pg", "page", "p.", "seite", "s."]
                    .iter()
                    .filter_map(|w| inner.strip_prefix(w))
                    .any(|rest| figures(rest.trim()));
                if page || (open == b'{' && figures(&inner)) {
                    let mark = line.text[at..=at + len].to_string();
                    self.left.push(LeftOut::new(line.number, &mark, "a page number"));
                    line.text.replace_range(at..=at + len, "");
                } else {
                    from = at + 1;
                }
            }
            line.text = line.text.trim().to_string();
        }
        self.lines.retain(|l| !l.text.is_empty());
    }

    /// A head that several pages repeat, with the page's number beside it.
    pub(super) fn drop_running_heads(&mut self) {
        let mut seen: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (i, line) in self.lines.iter().enumerate() {
            let text = plain(&line.text);
            let labelled = readings(&line.text, 0)
                .iter()
                .any(|m| m.stop != ' ' || m.bracket > 0 || m.letter.is_some());
            let below_number = i > 0
                && (self.lines[i - 1].apart || shouted(&text))
                && lone_number(&self.lines[i - 1].text).is_some();
            let edge = line.apart || line.page || below_number;
            // A row of dots leads to an outcome: the same lead may stand twice.
            let led = super::outcome::has_leader(&line.text);
            if text.chars().count() <= 70 && edge && !led && (!labelled || line.page) {
                let letters: String = text
                    .chars()
                    .filter(|c| c.is_alphabetic())
                    .flat_map(char::to_lowercase)
                    .collect();
                if letters.len() >= 4 {
                    seen.entry(letters).or_default().push(i);
                }
            }
        }
        let lines = &self.lines;
        let lone = |i: usize| {
            lines.get(i).is_some_and(|l| (l.apart || l.page) && lone_number(&l.text).is_some())
        };
        // A head in capitals without a number of its own, the page's number right above it.
        let numbered_above = |i: usize| {
            let text = plain(&lines[i].text);
            i > 0
                && !lines[i].page
                && shouted(&text)
                && edge_number(&text).0.is_none()
                && lone_number(&lines[i - 1].text).is_some()
        };
        let mut heads = BTreeSet::new();
        for at in seen.values().filter(|v| v.len() >= 2) {
            // The title at the top is no running head, though the pages repeat it.
            let at: Vec<usize> = at.iter().copied().filter(|&i| i > 0).collect();
            let mut numbers = BTreeSet::new();
            // At a page's edge, or within a sentence that the next line takes up again.
            let mut sure = 0usize;
            let mut numbered = 0usize;
            for &i in &at {
                let text = plain(&lines[i].text);
                let (number, _) = edge_number(&text);
                numbers.insert(number);
                numbered += usize::from(number.is_some() && readings(&lines[i].text, 0).is_empty());
                let breaks_in = i > 0
                    && lines.get(i + 1).is_some_and(|l| {
                        l.apart
                            && plain(&l.text).starts_with(char::is_lowercase)
                            && readings(&l.text, 0).is_empty()
                    })
                    && plain(&lines[i - 1].text)
                        .ends_with(|c: char| c.is_lowercase() || ",-–".contains(c));
                // A foot of its page: not where the next page has its own head with a number.
                let foot = lines.get(i + 1).is_some_and(|l| {
                    let text = plain(&l.text);
                    l.page
                        && (lines[i].page
                            || edge_number(&text).0.is_none()
                            || !readings(&l.text, 0).is_empty())
                });
                let paged = lines[i].page
                    || foot
                    || lone(i + 1)
                    || (i > 0 && lone(i - 1))
                    || numbered_above(i);
                sure += usize::from(
                    breaks_in || paged || (shouted(&text) && (number.is_some() || at.len() >= 3)),
                );
            }
            let differ = numbers.len() == at.len() || numbers.iter().all(Option::is_none);
            if differ && (sure == at.len() || (sure > 0 && numbered == at.len())) {
                heads.extend(at.iter().copied());
                for i in at {
                    if lone(i + 1) {
                        heads.insert(i + 1);
                    } else if i > 0 && (lone(i - 1) || numbered_above(i)) {
                        heads.insert(i - 1);
                    }
                }
            }
        }
        // The first line of a page that holds the page's number is its head, though no other is like it.
        for (i, line) in lines.iter().enumerate().filter(|(_, l)| l.page) {
            let text = plain(&line.text);
            let (number, beside) = edge_number(&text);
            if number.is_some() && (beside || shouted(&text)) && text.chars().count() <= 80 {
                heads.insert(i);
            }
        }
        self.drop(|i, line| {
            heads.contains(&i).then_some(if lone_number(&line.text).is_some() {
                "a page number"
            } else {
                "a running head"
            })
        });
    }

    /// Lines of no words, and numbers alone on a line that can be nothing but a page's.
    pub(super) fn drop_rules_and_numbers(&mut self) {
        let lines = self.lines.clone();
        let widest = lines.iter().map(|l| l.columns()).max().unwrap_or(0);
        self.drop(|i, line| {
            let text = plain(&line.text);
            if !text.chars().any(char::is_alphanumeric) {
                return Some("a rule between parts");
            }
            let (_, decorated) = lone_number(&line.text)?;
            let next = lines.get(i + 1);
            let at_page = line.page || next.is_some_and(|l| l.page) || next.is_none();
            let goes_on = next.is_some_and(|l| {
                plain(&l.text).starts_with(char::is_lowercase) && readings(&l.text, 0).is_empty()
            });
            // Alone in the middle of the page; numbers above couplets were joined to them before,
            // and a pointer that was wrapped stands at the margin.
            let middle = 3 * widest..=7 * widest;
            let centred = line.indent >= 12
                && middle.contains(&(10 * line.indent))
                && next.is_some_and(|l| 2 * l.indent < line.indent);
            (decorated || (line.apart && (at_page || goes_on || centred)))
                .then_some("a page number")
        });
        // The line after a rule stands apart.
        let mut ruled = BTreeSet::new();
        for left in &self.left {
            if left.why == "a rule between parts" {
                ruled.insert(left.line + 1);
            }
        }
        for line in &mut self.lines {
            line.apart |= ruled.contains(&line.number);
        }
    }

    /// Paragraphs that begin `Fig. 12`, `Plate 3`, `Abb. 7`.
    pub(super) fn drop_captions(&mut self) {
        let mut inside = false;
        // Right below a line that has ended, a paragraph's end behind it: `Fig. 2. Ash in winter.`
        let below: BTreeSet<usize> = (1..self.lines.len())
            .filter(|&i| {
                let text = plain(&self.lines[i].text);
                let head = text.split_whitespace().nth(1).unwrap_or_default();
                let before = &self.lines[i - 1].text;
                text.starts_with(char::is_uppercase)
                    && head.ends_with(['.', ':'])
                    && head.starts_with(|c: char| c.is_ascii_digit())
                    && self.lines.get(i + 1).is_none_or(|n| n.apart)
                    && (super::outcome::has_leader(before) || plain(before).ends_with('.'))
            })
            .collect();
        self.drop(|i, line| {
            if line.apart || below.contains(&i) {
                let text = plain(&line.text);
                let mut parts = words(&text);
                let word = parts.next().unwrap_or_default().to_lowercase();
                let number = parts.next().unwrap_or_default();
                let captions = [
                    "fig",
                    "figs",
                    "figure",
                    "figures",
                    "plate",
                    "pl",
                    "abb",
                    "abbildung",
                    "taf",
                    "afb",
                ];
                inside = text.starts_with(char::is_alphabetic)
                    && captions.contains(&word.as_str())
                    && (number.chars().next().is_some_and(|c| c.is_ascii_digit())
                        || super::mark::of_roman(number).is_some());
            }
            inside.then_some("a caption")
        });
    }

    /// Marks such as `[A]`, `[3]` and raised figures after a word, and the notes that they name.
    pub(super) fn drop_foot_notes(&mut self) {
        let mut marks = BTreeSet::new();
        for line in &mut self.lines {
            let chars: Vec<(usize, char)> = line.text.char_indices().collect();
            let mut cuts: Vec<(usize, usize)> = Vec::new();
            let mut i = 0;
            while i < chars.len() {
                let (at, c) = chars[i];
                let before = chars[..i].iter().rev().map(|p| p.1).find(|c| !matches!(*c, ON | OFF));
                if c == '[' && i > 0 {
                    let inner: String =
                        chars[i + 1..].iter().map(|p| p.1).take_while(|c| *c != ']').collect();
                    let single =
                        inner.chars().count() == 1 && inner.chars().all(char::is_alphanumeric);
                    let figures = inner.len() <= 2 && inner.bytes().all(|b| b.is_ascii_digit());
                    let close = i + 1 + inner.chars().count();
                    let next = chars.get(close + 1).map(|p| p.1);
                    let glued = before.is_some_and(|b| !b.is_whitespace() && b != '(');
                    let last = chars[close.min(chars.len())..].len() <= 2;
                    let plain_before = plain(&line.text[..at]);
                    let labelled =
                        readings(&line.text, 0).iter().any(|m| m.rest > at || !m.back.is_empty());
                    let after_dots = plain_before.trim_end().ends_with(['.', '…', '\t'])
                        && plain_before.trim_end().ends_with("..");
                    if !inner.is_empty()
                        && close < chars.len()
                        && (single || figures)
                        && !labelled
                        && !after_dots
                        && (glued || (last && ends_with_number(&line.text[..at])))
                        && next.is_none_or(|n| !n.is_alphanumeric())
                    {
                        let end = chars[close].0 + 1;
                        marks.insert(inner);
                        cuts.push((at, end));
                        i = close + 1;
                        continue;
                    }
                } else if matches!(c, '¹' | '²' | '³' | '⁴'..='⁹')
                    && before.is_some_and(|b| b.is_alphabetic() || ".,;:)".contains(b))
                {
                    // A square measure is no foot note.
                    let word: String = chars[..i]
                        .iter()
                        .rev()
                        .map(|p| p.1)
                        .take_while(|c| c.is_alphabetic())
                        .collect();
                    if !matches!(
                        word.chars().rev().collect::<String>().as_str(),
                        "mm" | "cm" | "m" | "dm" | "km" | "µm"
                    ) {
                        marks.insert(c.to_string());
                        cuts.push((at, at + c.len_utf8()));
                    }
                }
                i += 1;
            }
            for (from, to) in cuts.into_iter().rev() {
                let mark = line.text[from..to].to_string();
                self.left.push(LeftOut::new(line.number, &mark, "a foot note's mark"));
                line.text.replace_range(from..to, "");
            }
        }
        self.lines.retain(|l| !l.text.is_empty());
        if marks.is_empty() {
            return;
        }
        let mut inside = false;
        self.drop(|_, line| {
            if line.apart {
                let text = plain(&line.text);
                inside = marks.iter().any(|m| {
                    text.strip_prefix(&format!("[{m}]")).is_some_and(|r| r.starts_with([' ', '\t']))
                        || (text.starts_with(m.as_str()) && "¹²³⁴⁵⁶⁷⁸⁹".contains(m.as_str()))
                });
            }
            inside.then_some("a foot note")
        });
    }
}

/// The number that stands alone on a line, and whether it is decorated as page numbers are.
pub fn lone_number(text: &str) -> Option<(u32, bool)> {
    let text = plain(text);
    let text = text.trim();
    let bare =
        text.trim_matches(|c: char| matches!(c, '-' | '–' | '—' | '[' | ']' | ' ' | '·' | '|'));
    let low = bare.to_lowercase();
    let bare = ["page ", "pg ", "p. ", "seite ", "pagina "]
        .iter()
        .find_map(|w| low.strip_prefix(w))
        .unwrap_or(bare);
    if bare.is_empty() || bare.len() > 4 || !bare.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let both =
        text.starts_with(['-', '–', '—', '·', '|']) && text.ends_with(['-', '–', '—', '·', '|']);
    let paged = low.starts_with('p') || low.starts_with("seite");
    Some((bare.parse().ok()?, both || paged))
}

/// A number at a line's edge, and whether wide blanks part it from the rest.
fn edge_number(text: &str) -> (Option<u32>, bool) {
    let wide = |rest: &str| rest.contains("  ") || rest.contains('\t');
    let from_end = text.trim_end_matches(|c: char| c.is_ascii_digit());
    if from_end.len() < text.len() && from_end.len() + 4 >= text.len() {
        let gap = &from_end[from_end.trim_end().len()..];
        return (text[from_end.len()..].parse().ok(), wide(gap));
    }
    let from_start = text.trim_start_matches(|c: char| c.is_ascii_digit());
    if from_start.len() < text.len() && from_start.len() + 4 >= text.len() {
        let gap = &from_start[..from_start.len() - from_start.trim_start().len()];
        return (text[..text.len() - from_start.len()].parse().ok(), wide(gap));
    }
    (None, false)
}
