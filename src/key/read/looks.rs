//! What becomes of a character under a condition, and when it applies at all; its translations.

use rust_decimal::Decimal;

use super::Reader;
use crate::key::character::{Character, CharacterId, Kind, Reading, State, StateId, Translation};
use crate::key::lexicon::forms::sides;
use crate::key::lexicon::{Lexicon, nearest};
use crate::key::statement::StateSet;
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::span::Span;
use crate::text::tree::{Body, Note, SectionKind};

impl Reader<'_> {
    /// `cannot be seen`; `red looks purple or red; blue looks white`; `0.80 to 1.00`.
    pub(super) fn reading(
        &mut self,
        c: &mut Character,
        note: &Note,
        language: &'static Language,
    ) -> Option<Reading> {
        let value = self.value(note);
        let low = fold(&value);
        if language.cannot_be_seen.contains(&low.as_str()) {
            return Some(Reading::CannotBeSeen);
        }
        if !matches!(c.kind, Kind::States { .. }) {
            let factor = factor(&value, language);
            if factor.is_none() {
                self.unreadable(
                    note,
                    "reading of a measure",
                    "`cannot be seen`, or the share of the fresh measure from low to high, such as `0.80 to 1.00`",
                );
            }
            return factor.map(|(a, b)| Reading::Factor(a, b));
        }
        let mut looks: Vec<(StateSet, StateSet)> = Vec::new();
        for (piece, span) in self.pieces(&note.value, ';') {
            let padded = format!(" {} ", fold(&piece));
            let found = language
                .looks
                .iter()
                .find_map(|w| padded.find(&format!(" {w} ")).map(|at| (w.len(), at)));
            let Some((word, at)) = found else {
                self.out.push(
                    Finding::error(
                        "unreadable-value",
                        span,
                        format!("`{piece}` says not what a state looks like"),
                    )
                    .why("The line would have no effect.")
                    .remedy(
                        "Write `cannot be seen`, or `red looks purple or red; blue looks white`.",
                    ),
                );
                continue;
            };
            let left = padded[..at].trim().to_string();
            let right = padded[at + word + 2..].trim().to_string();
            let from = self.states_listed(c, &left, language, span, false);
            let to = self.states_listed(c, &right, language, span, true);
            looks.push((from, to));
        }
        let mut by_state: Vec<StateSet> =
            (0..c.states().len()).map(|i| StateSet::of([StateId(i as u16)])).collect();
        for (from, to) in looks.into_iter().filter(|(_, to)| !to.is_empty()) {
            for s in from.iter() {
                by_state[s.0 as usize] = to.clone();
            }
        }
        Some(Reading::Looks(by_state))
    }

    /// `purple or red`, general words included. A word on the right of `looks` that is no declared
    /// state, nor nearly one, is a look of its own.
    fn states_listed(
        &mut self,
        c: &mut Character,
        text: &str,
        language: &Language,
        span: Span,
        looks: bool,
    ) -> StateSet {
        let mut out = StateSet::default();
        let mut words = vec![text.to_string()];
        for or in language.or {
            words = words
                .iter()
                .flat_map(|w| w.split(&format!(" {or} ")).map(str::to_string).collect::<Vec<_>>())
                .collect();
        }
        for word in words.iter().flat_map(|w| w.split(',')).map(str::trim).filter(|w| !w.is_empty())
        {
            let group = match &c.kind {
                Kind::States { groups, .. } => groups.iter().find(|g| fold(&g.word) == fold(word)),
                _ => None,
            };
            match (self.state_named(c, word), group) {
                (Some(s), _) => out.insert(s),
                (None, Some(g)) => out.extend(&g.accepts),
                (None, None) => {
                    let near = nearest(word, c.states().iter().map(|s| s.word.as_str()));
                    if !looks || near.is_some() {
                        self.unknown_state(c, word, span);
                    } else if let Kind::States { states, .. } = &mut c.kind {
                        let id = StateId(states.len() as u16);
                        states.push(State {
                            word: word.to_string(),
                            span,
                            also: Vec::new(),
                            means: None,
                            pictures: Vec::new(),
                            accepts: StateSet::of([id]),
                            only_a_look: true,
                        });
                        out.insert(id);
                    }
                }
            }
        }
        out
    }

    /// `Blütenblätter _: rot, orange, gelb`
    pub(super) fn translation(&mut self, c: &mut Character, note: &Note, code: &str) {
        let Some(language) = Language::of(code) else { return };
        let text = note.value.text(self.text).into_owned();
        let (sentence, states) = match text.find(':') {
            Some(colon) => (
                text[..colon].trim().to_string(),
                self.list(&note.value.part(colon + 1, text.len())),
            ),
            None => (text.clone(), Vec::new()),
        };
        if sides(&sentence).is_none() {
            self.unreadable(
                note,
                "sentence with a gap",
                "`de  Blütenblätter _: rot, orange, gelb`",
            );
            return;
        }
        let wanted = c.declared();
        if states.len() != wanted {
            self.out.push(
                Finding::error(
                    "translation-states",
                    note.value.span(),
                    format!("{} states in the translation, {wanted} in the character", states.len()),
                )
                .why("The states are matched by their order; a missing one would shift all that follow.")
                .remedy("Give one word for every state, in the same order."),
            );
            return;
        }
        c.translations.push(Translation {
            language: language.code,
            sentence,
            states: states.into_iter().map(|(s, _)| s).collect(),
            span: note.value.span(),
        });
    }

    /// `applies  where petals present`, read when all characters are known.
    pub(super) fn applies(&mut self, characters: &mut [Character], lexicon: &Lexicon) {
        let mut index = 0;
        for entry in self.entries(SectionKind::Characters) {
            let Body::Character { sentence, .. } = &entry.body else { continue };
            // Entries that could not be read have no character.
            let Some(i) = characters[index..]
                .iter()
                .position(|c| c.sentence_span == sentence.span())
                .map(|i| i + index)
            else {
                continue;
            };
            index = i + 1;
            for note in entry.notes() {
                if self.word(note) != "applies" {
                    continue;
                }
                let text = note.value.text(self.text);
                let low = text.trim_start();
                let start = lexicon
                    .language
                    .where_
                    .iter()
                    .find_map(|w| {
                        let head = low.get(..w.len())?;
                        (head.to_lowercase() == **w && low[w.len()..].starts_with(' '))
                            .then_some(w.len() + 1)
                    })
                    .unwrap_or(0);
                let mut statements = Vec::new();
                let mut unread = false;
                for (a, b) in lexicon.split(&text) {
                    let range = (a.max(start), b);
                    let read = lexicon.read(&text, range, &note.value);
                    unread |= read.part.prose.is_some() || read.ambiguity.is_some();
                    statements.extend(read.part.statements);
                }
                if unread || statements.is_empty() {
                    self.out.push(
                        Finding::error(
                            "applies-unread",
                            note.value.span(),
                            "this condition is not in the key's own sentences",
                        )
                        .why("The program can only act on statements that it reads.")
                        .remedy(
                            "Write it as a statement, such as `applies  where petals present`.",
                        ),
                    );
                    continue;
                }
                if statements.iter().any(|s| s.character == CharacterId(i as u32)) {
                    self.out.push(
                        Finding::error(
                            "applies-unread",
                            note.value.span(),
                            "a character cannot depend on itself",
                        )
                        .why("It would never be known whether it applies.")
                        .remedy("Name another character."),
                    );
                    continue;
                }
                characters[i].applies.extend(statements);
            }
        }
    }
}

/// `0.80 to 1.00`, `0.8-1.1`, `0.9`: both positive, low first.
fn factor(text: &str, language: &Language) -> Option<(Decimal, Decimal)> {
    let mut normal = text.replace(['–', '—'], "-");
    for to in language.to {
        normal = normal.replace(&format!(" {to} "), "-");
    }
    let mut parts = normal.split('-').map(|p| p.trim().parse::<Decimal>());
    let low = parts.next()?.ok()?;
    let high = match parts.next() {
        Some(p) => p.ok()?,
        None => low,
    };
    (parts.next().is_none() && low > Decimal::ZERO && low <= high).then_some((low, high))
}
