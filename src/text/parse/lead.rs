//! A lead from its lines: label, back-reference, statements, leader, outcome, and the known slips.

use smallvec::SmallVec;

use super::lines::{BackSpans, Rest, back_at, trim};
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::span::Span;
use crate::text::tree::{Back, Label, Lead};
use crate::text::words::{Segments, Words};

/// A lead while its lines are still coming in.
#[derive(Debug)]
pub(super) struct Draft {
    label: Label,
    back: Option<Back>,
    lines: SmallVec<[Rest; 1]>,
}

impl Draft {
    pub fn new(
        text: &str,
        label: Span,
        back: Option<BackSpans>,
        rest: Rest,
        out: &mut Vec<Finding>,
    ) -> Draft {
        let label = read_label(text, label, out);
        let back = back.map(|b| Back {
            origins: b.origins.iter().filter_map(|o| label_of(text, *o)).collect(),
            span: b.span,
        });
        let mut draft = Draft { label, back, lines: SmallVec::new() };
        draft.go_on(rest);
        draft
    }

    /// A further line of the same lead.
    pub fn go_on(&mut self, rest: Rest) {
        if !rest.text.is_empty() {
            self.lines.push(rest);
        }
    }

    /// The finished lead; what [`Draft::split`] gave.
    pub fn finish(self, text: &str, language: &Language, out: &mut Vec<Finding>) -> Lead {
        let Some((line, leader)) = self.last_leader() else {
            return self.without_leader(text, language, out);
        };
        let mut body = Words::default();
        let mut outcome = Words::default();
        for (i, rest) in self.lines.iter().enumerate() {
            let (before, after) = match i.cmp(&line) {
                std::cmp::Ordering::Less => (rest.text, Span::at(rest.text.end as usize)),
                std::cmp::Ordering::Greater => (Span::at(rest.text.start as usize), rest.text),
                std::cmp::Ordering::Equal => (
                    Span { start: rest.text.start, end: leader.start },
                    Span { start: leader.end, end: rest.text.end },
                ),
            };
            for (span, words) in [(before, &mut body), (after, &mut outcome)] {
                let span = trim(text, span);
                if !span.is_empty() {
                    words.segments.push(span);
                }
            }
        }
        let lead = Lead { label: self.label, back: self.back, body, leader: Some(leader), outcome };
        if lead.outcome.is_empty() {
            out.push(no_outcome(&lead, leader, language));
        }
        lead
    }

    fn last_leader(&self) -> Option<(usize, Span)> {
        let (i, rest) = self.lines.iter().enumerate().rev().find(|(_, r)| !r.leaders.is_empty())?;
        Some((i, *rest.leaders.last()?))
    }

    /// Where further labels stand between the leaders of one line, each lead by itself. One pass,
    /// since a line may hold as many as its writer's program left there.
    pub fn split(self, text: &str, out: &mut Vec<Finding>) -> SmallVec<[Draft; 1]> {
        let mut drafts = SmallVec::new();
        let mut open = Draft { label: self.label, back: self.back, lines: SmallVec::new() };
        for rest in self.lines {
            let (mut from, mut first) = (rest.text.start, 0);
            for (i, pair) in rest.leaders.windows(2).enumerate() {
                let between = Span { start: pair[0].end, end: pair[1].start };
                let Some(label) = label_within(text, between) else { continue };
                out.push(two_leads(text, label));
                open.go_on(Rest {
                    text: trim(text, Span { start: from, end: label.start }),
                    leaders: rest.leaders[first..=i].into(),
                    tail: None,
                });
                let after = trim(text, Span { start: label.end, end: between.end });
                // Only as far as the next leader: a failed reading copies the line it is given.
                let back = back_at(&text[..between.end as usize], after.start as usize);
                from = back.as_ref().map_or(label.end, |b| b.span.end);
                first = i + 1;
                let nothing =
                    Rest { text: Span::at(from as usize), leaders: Segments::new(), tail: None };
                let next = Draft::new(text, label, back, nothing, out);
                drafts.push(std::mem::replace(&mut open, next));
            }
            if first == 0 {
                open.go_on(rest);
                continue;
            }
            open.go_on(Rest {
                text: trim(text, Span { start: from, end: rest.text.end }),
                leaders: rest.leaders[first..].into(),
                tail: rest.tail,
            });
        }
        drafts.push(open);
        drafts
    }

    /// No dots: looks for what was meant, and says so.
    fn without_leader(self, text: &str, language: &Language, out: &mut Vec<Finding>) -> Lead {
        let body = Words { segments: self.lines.iter().map(|r| r.text).collect() };
        let mut lead = Lead {
            label: self.label,
            back: self.back,
            body,
            leader: None,
            outcome: Words::default(),
        };
        let Some(last) = lead.body.segments.last().copied() else {
            out.push(
                Finding::error(
                    "lead-without-outcome",
                    self.label.span,
                    "nothing is written after this label",
                )
                .why("A lead says something of the plant and goes somewhere.")
                .remedy("Write its statements, a run of dots, and where it goes."),
            );
            return lead;
        };
        match guess(text, last, language) {
            Some(Guess { cut, outcome, rule, words }) => {
                let shown = &text[outcome.range()];
                out.push(
                    Finding::error(rule, Span { start: cut, end: last.end }, words)
                        .why("The statements and the outcome are parted by a run of two or more dots; without it they cannot be told apart for certain.")
                        .remedy(format!("Write `..... {shown}`. It was read so here."))
                        .mend(Span { start: cut, end: outcome.end }, format!(" ..... {shown}")),
                );
                let body_end = trim(text, Span { start: last.start, end: cut });
                lead.body.segments.pop();
                if !body_end.is_empty() {
                    lead.body.segments.push(body_end);
                }
                lead.outcome = Words::one(outcome);
            }
            None => out.push(no_outcome(&lead, Span::at(last.end as usize), language)),
        }
        lead
    }
}

fn two_leads(text: &str, label: Span) -> Finding {
    Finding::error("two-leads-on-one-line", label, "a second lead begins on this line")
        .why("Each lead stands on a line of its own, its label at the margin.")
        .remedy(format!(
            "Begin a new line before `{}`; both leads were read.",
            &text[label.range()]
        ))
        .mend(Span::at(label.start as usize), "\n")
}

fn no_outcome(lead: &Lead, at: Span, language: &Language) -> Finding {
    let to = language.key_to[0];
    Finding::error("lead-without-outcome", lead.label.span, "this lead leads nowhere")
        .why("Whoever takes it is left without a name and without a next couplet.")
        .remedy(format!(
            "End it with a run of dots and an outcome: a couplet's number, a name, `{to} ...`, or `{}: the reason`.",
            language.stop[0]
        ))
        .related(at, "an outcome is missing here")
}

struct Guess {
    cut: u32,
    outcome: Span,
    rule: &'static str,
    words: String,
}

/// What the last line of a lead without dots probably ends in: only a figure, or something set
/// apart by blanks, is taken.
fn guess(text: &str, line: Span, language: &Language) -> Option<Guess> {
    let slice = &text[line.range()];
    let base = line.start;
    // `go to 5`, `see 5`
    if let Some(digits) = trailing_label(slice) {
        let before = slice[..digits].trim_end();
        let low = fold(before);
        for phrase in language.go_to {
            let ends = low == *phrase
                || low.strip_suffix(phrase).is_some_and(|r| r.ends_with([' ', '.', ';', ',', '-']));
            // The phrase is found in the folded text; its length in the written one is that of
            // the words it has.
            if ends && let Some(cut) = cut_before_words(before, phrase.split(' ').count()) {
                let shown = &slice[cut..];
                return Some(Guess {
                    cut: base + cut as u32,
                    outcome: trim(text, Span { start: base + digits as u32, end: line.end }),
                    rule: "outcome-phrase",
                    words: format!(
                        "`{shown}` is written where dots and a number stand in this format"
                    ),
                });
            }
        }
        // One dot, a dash or nothing but blanks before the number.
        let dotted = before.ends_with('.');
        let dashed = before.ends_with(['-', '–', '—']);
        let apart = slice[before.len()..digits].chars().count() >= 2;
        if dotted || dashed || apart {
            let cut = before.trim_end_matches(['.', '-', '–', '—', ' ']).len();
            let number = &slice[digits..];
            let (rule, words) = if dotted {
                (
                    "leader-single-dot",
                    format!(
                        "one dot is no leader: this lead leads nowhere; did you mean `..... {number}`?"
                    ),
                )
            } else {
                (
                    "leader-missing",
                    format!(
                        "no dots before `{number}`: this lead leads nowhere; did you mean `..... {number}`?"
                    ),
                )
            };
            return Some(Guess {
                cut: base + cut as u32,
                outcome: Span { start: base + digits as u32, end: line.end },
                rule,
                words,
            });
        }
        return None;
    }
    // A name set apart by two or more blanks.
    let wide = slice.rmatch_indices("  ").next()?.0;
    let name = slice[wide..].trim_start();
    if name.starts_with(char::is_uppercase) {
        let start = line.end - name.len() as u32;
        return Some(Guess {
            cut: base + slice[..wide].trim_end().len() as u32,
            outcome: Span { start, end: line.end },
            rule: "leader-missing",
            words: format!(
                "no dots before `{name}`: this lead leads nowhere; did you mean `..... {name}`?"
            ),
        });
    }
    None
}

/// Where a couplet's number (or a lead's label) at the end of `slice` begins.
fn trailing_label(slice: &str) -> Option<usize> {
    let start = slice
        .rfind(char::is_whitespace)
        .map_or(0, |i| i + slice[i..].chars().next().map_or(1, char::len_utf8));
    let word = slice[start..].trim_start_matches(['.', '-', '–', '—', '→', '>', '(']);
    let start = slice.len() - word.len();
    let core = word.trim_end_matches(['.', ')']);
    let digits = core.bytes().take_while(u8::is_ascii_digit).count();
    let tail = &core[digits..];
    ((1..=9).contains(&digits) && tail.len() <= 2 && tail.bytes().all(|b| b.is_ascii_alphabetic()))
        .then_some(start)
}

/// The byte at which the last `n` words of `text` begin.
fn cut_before_words(text: &str, n: usize) -> Option<usize> {
    let mut end = text.len();
    for _ in 0..n {
        let head = text[..end].trim_end();
        end = head
            .rfind(char::is_whitespace)
            .map_or(0, |i| i + head[i..].chars().next().map_or(1, char::len_utf8));
    }
    Some(end)
}

/// A label (number and letter) between blanks within `span`, not at its beginning.
fn label_within(text: &str, span: Span) -> Option<Span> {
    let slice = &text[span.range()];
    let mut at = 0;
    for word in slice.split_inclusive(char::is_whitespace) {
        let w = word.trim_end();
        let digits = w.bytes().take_while(u8::is_ascii_digit).count();
        let tail = &w[digits..];
        let tail = tail.strip_suffix(['.', ':', ')']).unwrap_or(tail);
        let is_label = (1..=9).contains(&digits)
            && tail.bytes().next_back().is_some_and(|b| b.is_ascii_lowercase())
            && tail.len() <= 2
            && tail.bytes().rev().skip(1).all(|b| b.is_ascii_uppercase());
        let outcome = slice[..at].trim();
        if is_label && !outcome.is_empty() && at + word.len() < slice.len() {
            let start = span.start as usize + at;
            return Some(Span::new(start, start + w.len()));
        }
        at += word.len();
    }
    None
}

fn read_label(text: &str, span: Span, out: &mut Vec<Finding>) -> Label {
    let written = &text[span.range()];
    let core = written.trim_end_matches(['.', ':', ')']);
    let misread = core.trim_end_matches(|c: char| c.is_ascii_lowercase() && c != 'l');
    let letter_after_l = core.len() > 1 && core.ends_with(|c: char| c.is_ascii_lowercase());
    let plain = label_of(text, span);
    if let Some(label) = plain {
        if label.letter.is_none() {
            out.push(
                Finding::error(
                    "label-letter-missing",
                    span,
                    format!("the label `{core}` has no letter"),
                )
                .why("A couplet's leads are told apart by their letters: 7a, 7b.")
                .remedy(format!(
                    "Write `{core}a` for the first lead of the couplet, `{core}b` for the second."
                )),
            );
        }
        return label;
    }
    // Figures misread: I and l for 1, O for 0.
    let figures_end = if letter_after_l { core.len() - 1 } else { misread.len() };
    let figures: String = core[..figures_end]
        .chars()
        .map(|c| match c {
            'I' | 'l' => '1',
            'O' => '0',
            c => c,
        })
        .collect();
    let letter = core[figures_end..].chars().next();
    let label = Label { number: figures.parse().unwrap_or(0), capital: None, letter, span };
    let meant = format!("{figures}{}", letter.map(String::from).unwrap_or_default());
    out.push(
        Finding::error(
            "label-misread",
            span,
            format!("the label `{core}` has a letter where a figure belongs"),
        )
        .why("A capital I or a small l looks like 1, a capital O like 0.")
        .remedy(format!("Write `{meant}`; it was read so here."))
        .mend(Span::new(span.start as usize, span.start as usize + core.len()), meant),
    );
    label
}

/// Reads `7a`, `84Aa`, `7`, with a full stop, colon or bracket after it; `None` where it is no
/// label.
pub fn label_of(text: &str, span: Span) -> Option<Label> {
    let core = text[span.range()].trim_end_matches(['.', ':', ')']);
    let (number, capital, letter) = letters_of_label(core)?;
    Some(Label { number, capital, letter, span })
}

/// The parts of a label written exactly: `84Aa` is 84, `A`, `a`.
pub fn letters_of_label(core: &str) -> Option<(u32, Option<char>, Option<char>)> {
    let digits = core.bytes().take_while(u8::is_ascii_digit).count();
    if !(1..=9).contains(&digits) {
        return None;
    }
    let number = core[..digits].parse().ok()?;
    let mut rest = core[digits..].chars().peekable();
    let capital = rest.next_if(char::is_ascii_uppercase);
    let letter = rest.next_if(char::is_ascii_lowercase);
    rest.next().is_none().then_some((number, capital, letter))
}
