//! What a declaration says of its states: other words, general words, meanings, pictures.

use super::Reader;
use crate::key::character::{Character, Group, Kind, State, StateId};
use crate::key::lexicon::nearest;
use crate::key::statement::StateSet;
use crate::text::finding::Finding;
use crate::text::language::fold;
use crate::text::span::Span;
use crate::text::tree::Note;
use crate::text::words::Words;

impl Reader<'_> {
    /// `also Leaves _ long`; `also glabrous: hairless, without hairs`.
    pub(super) fn also(&mut self, c: &mut Character, note: &Note) {
        let text = note.value.text(self.text);
        if text.contains('_') {
            if text.matches('_').count() > 1 {
                return self.unreadable(
                    note,
                    "sentence with one gap",
                    "a second sentence with one `_`",
                );
            }
            c.also.push((text.into_owned(), note.value.span()));
            return;
        }
        let Some((state, rest)) = self.before_colon(c, note) else { return };
        for (word, _) in self.list(&rest) {
            c.state_mut(state).also.push(word);
        }
    }

    /// `hairy: sparsely hairy, densely hairy`: of a state, or a general word of its own.
    pub(super) fn includes(&mut self, c: &mut Character, note: &Note) {
        let text = note.value.text(self.text);
        let Kind::States { states, .. } = &c.kind else {
            return self.unreadable(
                note,
                "thing that a measure has",
                "`includes` only under `states` or `steps`",
            );
        };
        let Some(colon) = text.find(':') else {
            return self.unreadable(
                note,
                "general word with its states",
                "`includes  toothed: serrate, crenate`",
            );
        };
        let word = text[..colon].trim().to_string();
        let general = states.iter().position(|s| fold(&s.word) == fold(&word));
        let mut accepts = StateSet::default();
        for (name, span) in self.list(&note.value.part(colon + 1, text.len())) {
            match self.state_named(c, &name) {
                Some(s) => accepts.insert(s),
                None => self.unknown_state(c, &name, span),
            }
        }
        let span = note.value.span();
        if let Kind::States { groups, .. } = &mut c.kind {
            match general {
                Some(i) => c.state_mut(StateId(i as u16)).accepts.extend(&accepts),
                None => match groups.iter_mut().find(|g| fold(&g.word) == fold(&word)) {
                    Some(group) => group.accepts.extend(&accepts),
                    None => groups.push(Group { word, accepts, span }),
                },
            }
        }
    }

    /// What a state includes may include more; groups may name states that include others.
    pub(super) fn close_includes(&mut self, c: &mut Character) {
        let Kind::States { states, groups, .. } = &mut c.kind else { return };
        for _ in 0..states.len() {
            let before: Vec<StateSet> = states.iter().map(|s| s.accepts.clone()).collect();
            let mut changed = false;
            for state in states.iter_mut() {
                let mut wide = state.accepts.clone();
                for s in state.accepts.iter() {
                    wide.extend(&before[s.0 as usize]);
                }
                changed |= wide != state.accepts;
                state.accepts = wide;
            }
            if !changed {
                break;
            }
        }
        for group in groups {
            let mut wide = group.accepts.clone();
            for s in group.accepts.iter() {
                wide.extend(&states[s.0 as usize].accepts);
            }
            group.accepts = wide;
        }
    }

    /// Splits `state: rest; state: rest`, or the whole where no known state begins it.
    pub(super) fn of_states(
        &mut self,
        c: &mut Character,
        note: &Note,
        mut put: impl FnMut(&mut Character, Option<StateId>, &Words, &Self),
    ) {
        let text = note.value.text(self.text);
        let known = text.split_once(':').and_then(|(w, _)| self.state_named(c, w));
        let Some(state) = known else {
            // `hary: with hairs` is meant for `hairy`, and no words about the character.
            if let Some(colon) = text.find(':')
                && let words = c.states().iter().map(|s| s.word.as_str())
                && nearest(&fold(&text[..colon]), words).is_some()
            {
                let span = note.value.locate_span(0, colon);
                return self.unknown_state(c, &text[..colon], span);
            }
            put(c, None, &note.value, self);
            return;
        };
        let colon = text.find(':').unwrap_or(0);
        put(c, Some(state), &note.value.part(colon + 1, text.len()).trimmed(self.text), self);
    }

    fn before_colon(&mut self, c: &Character, note: &Note) -> Option<(StateId, Words)> {
        let text = note.value.text(self.text);
        let Some(colon) = text.find(':') else {
            self.unreadable(
                note,
                "sentence with a gap and no state with other words",
                "`also  Leaves _ long` or `also  glabrous: hairless`",
            );
            return None;
        };
        let name = text[..colon].trim();
        match self.state_named(c, name) {
            Some(s) => Some((s, note.value.part(colon + 1, text.len()))),
            None => {
                self.unknown_state(c, name, note.value.locate_span(0, colon));
                None
            }
        }
    }

    pub(super) fn state_named(&self, c: &Character, word: &str) -> Option<StateId> {
        let low = fold(word);
        c.states()
            .iter()
            .position(|s| fold(&s.word) == low || s.also.iter().any(|a| fold(a) == low))
            .map(|i| StateId(i as u16))
    }

    pub(super) fn unknown_state(&mut self, c: &Character, word: &str, span: Span) {
        let words: Vec<&str> = c.states().iter().map(|s| s.word.as_str()).collect();
        let near = nearest(&fold(word), words.iter().copied()).map(str::to_string);
        let mut f =
            Finding::error("unknown-state", span, format!("`{}` has no state `{word}`", c.name))
                .why("The line would have no effect.");
        f = match near {
            Some(n) => f.remedy(format!("Did you mean `{n}`?")).mend(span, n),
            None => f.remedy(format!("Its states are: {}.", words.join(", "))),
        };
        self.out.push(f);
    }
}

impl Character {
    pub(super) fn state_mut(&mut self, id: StateId) -> &mut State {
        match &mut self.kind {
            Kind::States { states, .. } => &mut states[id.0 as usize],
            // Only states have identities, and they come from this character.
            _ => unreachable!("a state of a character without states"),
        }
    }
}

impl Words {
    /// Without blanks at its ends.
    fn trimmed(mut self, text: &str) -> Words {
        if let Some(first) = self.segments.first_mut() {
            let s = &text[first.range()];
            first.start += (s.len() - s.trim_start().len()) as u32;
        }
        self.segments.retain(|s| !s.is_empty());
        self
    }
}
