//! Which of the possible labels are labels: those that follow each other as a key's labels do.

use super::book::{Book, ends_with_number, is_heading};
use super::layout::{Follow, Id, Layout, Step, Tally};
use super::line::plain;
use super::mark::{Mark, Style, readings};

/// A label that was taken, with its place in the key.
#[derive(Clone, Debug)]
pub struct Taken {
    pub line: usize,
    /// Byte of the line where the label begins.
    pub at: usize,
    pub mark: Mark,
    pub id: Id,
    /// Which key of the manuscript, which couplet of the manuscript, which lead of the couplet.
    pub key: usize,
    pub couplet: usize,
    pub lead: usize,
    pub odd: Option<Odd>,
}

/// A label that does not follow the one before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Odd {
    /// Numbers or letters are left out before it.
    Gap,
    /// Its number or letter stands already.
    Repeated,
    /// A later lead of a couplet that has no first one.
    Orphan,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verdict {
    /// The next lead of a couplet that is open, so many places down the stack.
    Lead(usize),
    Couplet,
    Restart,
    Odd(Odd),
    No,
}

#[derive(Clone, Copy, Debug)]
struct Open {
    id: Id,
    level: (Style, u8),
    leads: u32,
    couplet: usize,
}

#[derive(Clone, Debug, Default)]
struct State {
    stack: Vec<Open>,
    /// The highest number so far in this key.
    highest: Option<Id>,
    seen: Vec<Id>,
    key: usize,
    couplets: usize,
}

struct Candidate {
    line: usize,
    at: usize,
    options: Vec<(Mark, Step)>,
    /// A blank line, or the end of a lead, stands before it.
    complete: bool,
    apart: bool,
    /// A heading stands between it and the label before.
    headed: bool,
    indent: usize,
    /// The line before is indented deeper.
    outdented: bool,
    midline: bool,
}

/// The labels of a layout in a manuscript. With `midline`, labels within a line are taken too
/// where the sequence asks for exactly them.
pub fn labels(book: &Book, layout: &dyn Layout, tally: &Tally, midline: bool) -> Vec<Taken> {
    let candidates = candidates(book, layout, tally, midline);
    let levels = layout.follow() == Follow::Levels;
    let mut state = State::default();
    let mut out: Vec<Taken> = Vec::new();
    let mut margins: Vec<usize> = Vec::new();
    let small = small_letters(book, &candidates);
    for (i, candidate) in candidates.iter().enumerate() {
        // `4. b.` is one label: what stands within it is none.
        if out.last().is_some_and(|t| t.line == candidate.line && candidate.at < t.mark.rest) {
            continue;
        }
        let Some((option, verdict)) = best(&state, candidate, levels) else { continue };
        let (mark, step) = &candidate.options[option];
        let text = &book.lines[candidate.line].text;
        let next = plain(&text[mark.rest.min(text.len())..]);
        let lower = next.trim_start().starts_with(char::is_lowercase);
        let strong = mark.stop != ' '
            || mark.bracket > 0
            || mark.letter.is_some()
            || mark.repeated > 1
            || mark.primes > 0;
        let fits = match verdict {
            Verdict::No => false,
            _ if candidate.midline => {
                matches!(verdict, Verdict::Lead(0) | Verdict::Couplet)
                    && !lower
                    && strong
                    && !mark.slip
                    && !state.stack.is_empty()
            }
            Verdict::Lead(_) | Verdict::Couplet if !state.stack.is_empty() => {
                // A line that comes back to the labels' margin begins anew.
                let outdented = candidate.outdented && margins.contains(&candidate.indent);
                let begins = !lower || small && margins.contains(&candidate.indent);
                // A bare number in its turn at the labels' margin, a capital behind it.
                let in_turn = !lower && !mark.slip && margins.contains(&candidate.indent);
                candidate.apart
                    || candidate.complete
                    || outdented
                    || (begins && (strong || in_turn))
            }
            // The first label of all, and the first of a further key.
            Verdict::Lead(_) | Verdict::Couplet | Verdict::Restart => {
                (!mark.slip || verdict == Verdict::Couplet)
                    && (!lower || (strong && candidate.apart))
                    && (candidate.apart || candidate.complete)
                    && !one_more(&state, &candidates[i..], *step, verdict)
                    && (layout.unmarked() && strong && candidate.apart && !mark.slip
                        || supported(&state, &candidates[i..], option, verdict, levels, midline))
            }
            Verdict::Odd(_) => {
                let margin =
                    margins.is_empty() || margins.iter().any(|m| m.abs_diff(candidate.indent) <= 1);
                !mark.slip
                    && !lower
                    && strong
                    && *step != Step::More
                    && (candidate.apart || (candidate.complete && margin))
                    && supported(&state, &candidates[i..], option, verdict, levels, midline)
            }
        };
        // A first number that begins no further key is one more lead of the couplet that it names.
        let verdict = match (fits, verdict, step) {
            (true, ..) => verdict,
            (false, Verdict::Restart, Step::Numbered { id, lead: None })
                if strong && !mark.slip =>
            {
                match state.stack.iter().rev().position(|o| o.id == *id) {
                    Some(deep) if candidate.apart || candidate.complete || !lower => {
                        Verdict::Lead(deep)
                    }
                    _ => continue,
                }
            }
            _ => continue,
        };
        let (id, couplet, lead) = state.take(mark, *step, verdict);
        if margins.len() < 64 && !candidate.midline {
            margins.push(candidate.indent);
        }
        out.push(Taken {
            line: candidate.line,
            at: candidate.at,
            mark: mark.clone(),
            id,
            key: state.key,
            couplet,
            lead,
            odd: match verdict {
                Verdict::Odd(odd) => Some(odd),
                _ => None,
            },
        });
    }
    out
}

/// Whether a first number that comes again below no heading is one more lead of the first
/// couplet: a further key would go on with its second couplet.
fn one_more(state: &State, ahead: &[Candidate], step: Step, verdict: Verdict) -> bool {
    let Step::Numbered { id, lead: None } = step else { return false };
    if verdict != Verdict::Restart
        || ahead.first().is_none_or(|c| c.headed)
        || state.stack.iter().all(|o| o.id != id)
    {
        return false;
    }
    let next = ahead[1..].iter().filter(|c| !c.midline).find_map(|c| {
        c.options.iter().find_map(|(mark, step)| match step {
            Step::Numbered { id: other, .. } if *other != id && !mark.slip => Some(*other),
            _ => None,
        })
    });
    next.is_none_or(|n| n != (id.0 + 1, None))
}

/// Whether the leads begin with small letters.
fn small_letters(book: &Book, candidates: &[Candidate]) -> bool {
    let own = candidates.iter().filter(|c| !c.midline);
    let (mut small, mut all) = (0usize, 0usize);
    for candidate in own {
        let text = &book.lines[candidate.line].text;
        let rest = candidate.options.first().map_or(0, |o| o.0.rest);
        let next = plain(&text[rest.min(text.len())..]);
        all += 1;
        small += usize::from(next.trim_start().starts_with(char::is_lowercase));
    }
    small * 10 > all * 7
}

/// Whether, with this label taken, one of the next few follows it.
fn supported(
    state: &State,
    ahead: &[Candidate],
    option: usize,
    verdict: Verdict,
    levels: bool,
    run_on: bool,
) -> bool {
    let mut state = state.clone();
    let Some(first) = ahead.first() else { return false };
    let (mark, step) = &first.options[option];
    state.take(mark, *step, verdict);
    ahead[1..]
        .iter()
        .filter(|c| {
            (first.midline || !c.midline || run_on) && c.options.iter().any(|o| o.1 != Step::More)
        })
        .take(4)
        .any(|c| {
            best(&state, c, levels)
                .is_some_and(|(_, v)| matches!(v, Verdict::Lead(_) | Verdict::Couplet))
        })
        || matches!(verdict, Verdict::Restart | Verdict::Couplet)
            && ahead.get(1).is_some_and(|c| c.options.iter().any(|o| o.1 == Step::More))
        // The last label of all has nothing behind it that could speak for it.
        || ahead.len() == 1 && (first.apart || first.complete) && state.couplets > 1
}

/// The option that fits best, and how.
fn best(state: &State, candidate: &Candidate, levels: bool) -> Option<(usize, Verdict)> {
    candidate
        .options
        .iter()
        .enumerate()
        .map(|(i, (mark, step))| (i, state.judge(mark, *step, candidate.headed, levels)))
        .min_by_key(|(i, verdict)| {
            let rank = match verdict {
                Verdict::Lead(deep) => 1 + deep.min(&7),
                Verdict::Couplet => 0,
                Verdict::Restart => 9,
                Verdict::Odd(_) => 10,
                Verdict::No => 11,
            };
            {
                let slip = candidate.options[*i].0.slip;
                (slip && rank > 1, rank, slip, *i)
            }
        })
}

fn candidates(book: &Book, layout: &dyn Layout, tally: &Tally, midline: bool) -> Vec<Candidate> {
    let mut out: Vec<Candidate> = Vec::new();
    let mut headed = false;
    for (l, line) in book.lines.iter().enumerate() {
        let options: Vec<(Mark, Step)> = readings(&line.text, 0)
            .into_iter()
            // A number alone on its line is a pointer; a label with a stop may have its text below.
            .filter(|m| {
                m.rest < line.text.len() && !plain(&line.text[m.rest..]).trim().is_empty()
                    || m.stop == '.' && book.lines.get(l + 1).is_some_and(|n| !n.apart)
            })
            .filter_map(|m| layout.step(&m, tally).map(|s| (m, s)))
            .collect();
        let alone = book.lines.get(l + 1).is_none_or(|n| n.apart);
        let before = l.checked_sub(1).map(|k| &book.lines[k]);
        let complete = before.is_none_or(|b| ends_lead(&b.text) || (b.apart && is_heading(b)));
        if line.heading || (line.apart && alone && options.is_empty() && is_heading(line)) {
            headed = true;
        }
        let begun = !options.is_empty();
        if begun {
            let candidate = Candidate {
                line: l,
                at: 0,
                options,
                complete,
                apart: line.apart,
                headed,
                indent: line.indent,
                outdented: l > 0 && book.lines[l - 1].indent > line.indent,
                midline: false,
            };
            headed = false;
            out.push(candidate);
        }
        if !midline {
            continue;
        }
        for (at, _) in line.text.match_indices(' ').map(|(i, s)| (i + 1, s)) {
            let options: Vec<(Mark, Step)> = readings(&line.text, at)
                .into_iter()
                .filter(|m| m.stop != ' ' || m.letter.is_some())
                .filter_map(|m| layout.step(&m, tally).map(|s| (m, s)))
                .filter(|(_, s)| *s != Step::More)
                .collect();
            let before = &line.text[..at];
            if !options.is_empty()
                && (ends_lead(before) || before.trim_end().ends_with(char::is_alphabetic))
            {
                out.push(Candidate {
                    line: l,
                    at,
                    options,
                    complete: true,
                    apart: false,
                    headed: false,
                    indent: line.indent,
                    outdented: false,
                    midline: true,
                });
            }
        }
    }
    out
}

/// Whether a line ends as a lead may: with a number, a stop, or what stands behind a leader.
fn ends_lead(text: &str) -> bool {
    let end = plain(text);
    let end = end.trim_end();
    ends_with_number(text)
        || end.ends_with(['.', ')', ']', '!', '”', '"'])
        || text.ends_with(super::line::OFF)
        || text.contains("   ")
        || text.contains('\t')
        || text.contains("..")
        || text.contains('…')
        || text.contains(". .")
}

impl State {
    fn judge(&self, mark: &Mark, step: Step, headed: bool, levels: bool) -> Verdict {
        match step {
            Step::More if self.stack.is_empty() => Verdict::No,
            Step::More => Verdict::Lead(0),
            Step::Letter(place) => match self.stack.last() {
                Some(top) if top.leads == u32::from(place) => Verdict::Lead(0),
                _ => Verdict::No,
            },
            Step::Level { doubled } => self.judge_level(mark, doubled, headed),
            Step::Numbered { id, lead } => {
                debug_assert!(!levels);
                self.judge_number(id, lead, headed)
            }
        }
    }

    fn judge_number(&self, id: Id, lead: Option<u8>, headed: bool) -> Verdict {
        let one = id == (1, None);
        // A number above all others stands nowhere yet.
        let open = if self.highest.is_some_and(|h| h < id) {
            None
        } else {
            self.stack.iter().rev().position(|o| o.id == id)
        };
        if let Some(deep) = open {
            let leads = self.stack[self.stack.len() - 1 - deep].leads;
            return match lead {
                Some(0) if one => Verdict::Restart,
                Some(k) if u32::from(k) == leads => Verdict::Lead(deep),
                Some(k) if u32::from(k) > leads => Verdict::Odd(Odd::Gap),
                Some(_) => Verdict::Odd(Odd::Repeated),
                None if one && headed && leads >= 2 => Verdict::Restart,
                None if one && deep > 0 && leads >= 2 => Verdict::Restart,
                None if leads >= 12 => Verdict::Odd(Odd::Repeated),
                None => Verdict::Lead(deep),
            };
        }
        if lead.is_some_and(|k| k > 0) {
            return Verdict::Odd(Odd::Orphan);
        }
        let follows = match self.highest {
            None => one || id == (0, None),
            Some(h) if id.1.is_none() => id.0 == h.0 + 1,
            Some(h) => {
                id.0 == h.0
                    && id.1 == Some(h.1.map_or('A', |c| (c as u8).saturating_add(1) as char))
            }
        };
        if follows {
            Verdict::Couplet
        } else if one {
            Verdict::Restart
        } else if self.seen.contains(&id) {
            Verdict::Odd(Odd::Repeated)
        } else {
            Verdict::Odd(Odd::Gap)
        }
    }

    fn judge_level(&self, mark: &Mark, doubled: bool, headed: bool) -> Verdict {
        let level = (mark.style, mark.bracket);
        let place = u32::from(mark.repeated - 1) + u32::from(mark.primes);
        let same = self.stack.iter().rev().position(|o| o.level == level);
        let at = |deep: usize| self.stack[self.stack.len() - 1 - deep];
        if doubled {
            let open = self
                .stack
                .iter()
                .rev()
                .position(|o| o.level == level && o.id.0 == mark.ordinal && o.leads == place);
            if let Some(deep) = open.filter(|_| place > 0) {
                return Verdict::Lead(deep);
            }
            if place > 0 {
                let there = self.stack.iter().any(|o| o.level == level && o.id.0 == mark.ordinal);
                return Verdict::Odd(if there { Odd::Repeated } else { Odd::Orphan });
            }
            return match same {
                Some(0) if mark.ordinal == at(0).id.0 + 1 => Verdict::Couplet,
                None if mark.ordinal == 1 => Verdict::Couplet,
                Some(deep)
                    if mark.ordinal == 1
                        && deep + 1 == self.stack.len().min(deep + 1)
                        && (headed || at(deep).leads >= 2) =>
                {
                    Verdict::Restart
                }
                Some(_) if mark.ordinal == 1 => Verdict::Odd(Odd::Repeated),
                _ => Verdict::Odd(Odd::Gap),
            };
        }
        match same {
            Some(deep) if mark.ordinal == at(deep).leads + 1 && !(headed && mark.ordinal == 1) => {
                Verdict::Lead(deep)
            }
            Some(deep) if mark.ordinal == 1 && deep + 1 == self.stack.len() => Verdict::Restart,
            None if mark.ordinal == 1 => Verdict::Couplet,
            Some(_) if mark.ordinal == 1 => Verdict::Odd(Odd::Repeated),
            _ => Verdict::Odd(Odd::Gap),
        }
    }

    /// Takes a label: its couplet's number, the couplet and the lead's place in it.
    fn take(&mut self, mark: &Mark, step: Step, verdict: Verdict) -> (Id, usize, usize) {
        let id = match step {
            Step::Numbered { id, .. } => id,
            Step::Level { doubled: true } => (mark.ordinal, None),
            Step::Level { doubled: false } | Step::More | Step::Letter(_) => (0, None),
        };
        let level = (mark.style, mark.bracket);
        match verdict {
            Verdict::Lead(deep) => {
                self.stack.truncate(self.stack.len() - deep);
                if let Some(top) = self.stack.last_mut() {
                    top.leads += 1;
                    return (top.id, top.couplet, top.leads as usize - 1);
                }
            }
            Verdict::Restart => {
                self.stack.clear();
                self.seen.clear();
                self.highest = None;
                self.key += 1;
            }
            Verdict::Odd(Odd::Gap | Odd::Repeated) => {
                // A lead out of order joins its couplet where that is open.
                let numbered = matches!(step, Step::Numbered { lead: Some(k), .. } if k > 0);
                let outlined = step == (Step::Level { doubled: false });
                let deep = self.stack.iter().rev().position(|o| {
                    if outlined {
                        o.level == level && mark.ordinal > 1
                    } else {
                        o.id == id && o.level == level
                    }
                });
                if let Some(deep) = deep.filter(|_| numbered || outlined || mark.repeated > 1) {
                    self.stack.truncate(self.stack.len() - deep);
                    if let Some(top) = self.stack.last_mut() {
                        top.leads += 1;
                        return (top.id, top.couplet, top.leads as usize - 1);
                    }
                }
            }
            _ => {}
        }
        let couplet = self.couplets;
        self.couplets += 1;
        self.stack.push(Open { id, level, leads: 1, couplet });
        if self.highest.is_none_or(|h| h < id) {
            self.highest = Some(id);
        }
        self.seen.push(id);
        (id, couplet, 0)
    }
}
