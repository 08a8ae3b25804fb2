//! What stands in parentheses before and after the figures: extremes and rare alternatives.

use super::draft::{Draft, End};
use super::reader::Reader;
use crate::text::frequency::Frequency;
use crate::text::language::lexicon::Role;

impl Reader<'_> {
    /// `(2-)`, `(2)`, `(3 or)`, `(rarely 3)` after its `(`.
    pub(super) fn low(&mut self, at: usize, draft: &mut Draft) -> Option<usize> {
        let mut at = self.lexer.skip(at);
        let mut hedge = None;
        if let Some((Role::Frequency(f), end)) =
            self.lexer.word(at, |r| matches!(r, Role::Frequency(_)))
        {
            hedge = Some(f);
            at = self.lexer.skip(end);
        }
        if let Some(end) = self.lexer.is(at, Role::MoreThan) {
            let (number, end) = self.number(end)?;
            let end = self.dash_close(end)?;
            draft.extreme[0] = Some(Some(End { number, open: true }));
            return Some(end);
        }
        let mut one = Draft { frequency: hedge.unwrap_or(Frequency::Rarely), ..Draft::default() };
        let end = self.usual(at, &mut one)?;
        let single = one.usual[0].filter(|l| one.usual[1].is_some_and(|h| h.number == l.number));
        if let (Some(low), Some(end)) = (single, self.dash_close(end)) {
            if hedge.is_some_and(|f| !f.is_exception()) {
                return None;
            }
            draft.extreme[0] = Some(Some(low));
            return Some(end);
        }
        if let (Some(low), Some(end), None) = (single, self.close(end), hedge) {
            // Without a dash only where the figures touch: (2)3-5.
            if !self.lexer.next_char(end).is_some_and(|c| c.is_ascii_digit() || is_vulgar(c)) {
                return None;
            }
            draft.extreme[0] = Some(Some(low));
            return Some(end);
        }
        self.drafts.push(one);
        let mut end = end;
        loop {
            let next = self.lexer.skip(end);
            if let (Some(end), Some(_)) = (self.close(next), hedge) {
                return Some(end);
            }
            let or = self.lexer.is(next, Role::Or)?;
            if let Some(end) = self.close(or) {
                return Some(end);
            }
            if self.is_full() {
                return None;
            }
            let mut more = Draft { frequency: one.frequency, ..Draft::default() };
            end = self.usual(self.lexer.skip(or), &mut more)?;
            self.drafts.push(more);
        }
    }

    /// What stands in parentheses after the figures, from after its `(`; `None` for a remark.
    /// Without a sign or word of its own it must touch the figures.
    pub(super) fn high(&mut self, at: usize, touching: bool, main: usize) -> Option<usize> {
        let at = self.lexer.skip(at);
        let extreme = self.drafts[main].extreme;
        if let Some((role, end)) = self.lexer.word(at, |r| matches!(r, Role::OrMore | Role::OrLess))
            && let side = usize::from(role == Role::OrMore)
            && extreme[side].is_none()
            && let Some(end) = self.close(end)
        {
            self.drafts[main].extreme[side] = Some(None);
            return Some(end);
        }
        let or = self.lexer.is(at, Role::Or);
        let at = self.lexer.skip(or.unwrap_or(at));
        let hedged = self.lexer.word(at, |r| matches!(r, Role::Frequency(_)));
        let (hedge, at) = match hedged {
            Some((Role::Frequency(f), end)) => (Some(f), self.lexer.skip(end)),
            _ => (None, at),
        };
        let link = self.lexer.dash(at).or_else(|| {
            self.lexer.word(at, |r| matches!(r, Role::UpTo | Role::To)).map(|(_, end)| end)
        });
        if let (Some(link), None) = (link, or) {
            let from = self.drafts[main].usual[1]?;
            let below = self.lexer.is(self.lexer.skip(link), Role::LessThan);
            let (number, end) = self.number(below.unwrap_or(link))?;
            let end = self.close(end)?;
            let high = End { number, open: below.is_some() };
            match hedge {
                Some(frequency) if !frequency.is_exception() => self.drafts.push(Draft {
                    usual: [Some(End { open: false, ..from }), Some(high)],
                    frequency,
                    ..Draft::default()
                }),
                _ if extreme[1].is_some() => return None,
                _ => self.drafts[main].extreme[1] = Some(Some(high)),
            }
            return Some(end);
        }
        if or.is_none() && hedge.is_none() && !touching {
            return None;
        }
        let frequency = hedge.unwrap_or(Frequency::Rarely);
        let mut at = at;
        while !self.is_full() {
            let mut one = Draft { frequency, ..Draft::default() };
            let end = self.usual(at, &mut one)?;
            let closed = self.close(end);
            if let (Some(end), None, None, Some(high)) = (closed, or, hedge, one.usual[1])
                && one.usual[0].is_some_and(|low| low.number == high.number)
            {
                if self.drafts[main].usual[1].is_none() || extreme[1].is_some() {
                    return None;
                }
                self.drafts[main].extreme[1] = Some(Some(high));
                return Some(end);
            }
            self.drafts.push(one);
            if closed.is_some() {
                return closed;
            }
            at = self.lexer.skip(self.lexer.is(self.lexer.skip(end), Role::Or)?);
        }
        None
    }

    fn close(&mut self, at: usize) -> Option<usize> {
        let at = self.lexer.skip(at);
        self.lexer.close(at)
    }

    fn dash_close(&mut self, at: usize) -> Option<usize> {
        let at = self.lexer.skip(at);
        let end = self.lexer.dash(at)?;
        self.close(end)
    }
}

fn is_vulgar(c: char) -> bool {
    matches!(c, '¼'..='¾' | '⅐'..='⅞')
}
