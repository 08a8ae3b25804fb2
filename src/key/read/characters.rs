//! Declarations of characters: sentence, states or unit, and everything said of them.

use rust_decimal::Decimal;

use super::Reader;
use crate::key::character::{
    Character, CharacterId, Condition, Ease, Group, Kind, Picture, Reading, State, StateId, Tool,
    Translation,
};
use crate::key::lexicon::forms::sides;
use crate::key::lexicon::{Lexicon, nearest};
use crate::key::statement::StateSet;
use crate::text::amount::Unit;
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::notation;
use crate::text::parse::CHARACTER_WORDS;
use crate::text::span::Span;
use crate::text::tree::{Body, Entry, Note, SectionKind};
use crate::text::words::Words;

impl Reader<'_> {
    pub(super) fn characters(
        &mut self,
        conditions: &[Condition],
        language: &'static Language,
    ) -> Vec<Character> {
        let mut out: Vec<Character> = Vec::new();
        let mut names: indexmap::IndexMap<String, Span> = indexmap::IndexMap::new();
        for entry in self.entries(SectionKind::Characters) {
            let Body::Character { name, sentence } = &entry.body else { continue };
            let Some(character) = self.character(entry, *name, sentence, conditions, language)
            else {
                continue;
            };
            if let Some(first) = names.get(&fold(&character.name)) {
                self.out.push(
                    Finding::error(
                        "character-twice",
                        character.name_span,
                        format!("the character `{}` is declared twice", character.name),
                    )
                    .why("Its name is how tables and messages speak of it.")
                    .remedy("Give one of the two another name, or join them.")
                    .related(*first, "it is declared here already"),
                );
            } else {
                names.insert(fold(&character.name), character.name_span);
            }
            out.push(character);
        }
        out
    }

    fn character(
        &mut self,
        entry: &Entry,
        name: Span,
        sentence: &Words,
        conditions: &[Condition],
        language: &'static Language,
    ) -> Option<Character> {
        let written = sentence.text(self.text).into_owned();
        let name_text = if name.is_empty() {
            fold(&written.replace('_', " "))
        } else {
            self.text[name.range()].to_string()
        };
        let name_span = if name.is_empty() { sentence.span() } else { name };
        let mut c = Character {
            name: name_text,
            name_span,
            sentence: written,
            sentence_span: sentence.span(),
            also: Vec::new(),
            kind: Kind::Count,
            part: None,
            tool: Tool::default(),
            ease: Ease::default(),
            ask: None,
            applies: Vec::new(),
            readings: Vec::new(),
            many: None,
            means: None,
            pictures: Vec::new(),
            remarks: Vec::new(),
            translations: Vec::new(),
        };
        if c.sentence.matches('_').count() != 1 {
            let n = c.sentence.matches('_').count();
            self.out.push(
                Finding::error(
                    "character-without-gap",
                    c.sentence_span,
                    if n == 0 { "this character has no gap" } else { "this character has more than one gap" },
                )
                .why("A character is a sentence with one gap, `_`, that its states or its measure fill.")
                .remedy("Write it as `petals: Petals _`, with one `_` where the state stands."),
            );
            return None;
        }
        let notes: Vec<&Note> = entry.notes().collect();
        let kind = self.kind(&c, &notes)?;
        c.kind = kind;
        let mut seen: Vec<(String, Span)> = Vec::new();
        for note in &notes {
            self.property(&mut c, note, conditions, language, &mut seen);
        }
        self.close_includes(&mut c);
        for note in notes {
            // What looks like what needs the states complete.
            let word = self.word(note);
            if let Some(id) = self.condition(conditions, &word)
                && let Some(reading) = self.reading(&mut c, note, language)
            {
                c.readings.push((id, reading, note.value.span()));
            }
        }
        Some(c)
    }

    /// The property that says what fills the gap.
    fn kind(&mut self, c: &Character, notes: &[&Note]) -> Option<Kind> {
        let of_kind: Vec<&&Note> = notes
            .iter()
            .filter(|n| matches!(self.word(n).as_str(), "states" | "steps" | "measure" | "compare"))
            .collect();
        let Some(first) = of_kind.first() else {
            self.out.push(
                Finding::error("character-without-kind", c.name_span, format!("nothing says what fills the gap of `{}`", c.name))
                    .why("Without it no statement can be read with this sentence.")
                    .remedy("Add `states  red, white`, `steps  short, middling, long`, `measure  mm`, `measure  count` or `compare  length`."),
            );
            return None;
        };
        if let Some(second) = of_kind.get(1) {
            self.out.push(
                Finding::error(
                    "property-twice",
                    second.word,
                    format!("`{}` has two kinds of filling", c.name),
                )
                .why("Only the first is used.")
                .remedy("Declare two characters, or delete one of the lines.")
                .related(first.word, "the first is here"),
            );
        }
        let word = self.word(first);
        match word.as_str() {
            "measure" => match unit(&self.value(first)) {
                Some(Unit::Count) => Some(Kind::Count),
                Some(unit) => Some(Kind::Measure { unit }),
                None => {
                    self.unreadable(
                        first,
                        "unit",
                        "one of mm, cm, m, dm, µm, in, ft, °, %, or count",
                    );
                    None
                }
            },
            "compare" => {
                let dimension = fold(&self.value(first));
                let known =
                    Language::english().compare.dimensions.iter().any(|d| d.name == dimension);
                if !known {
                    self.unreadable(
                        first,
                        "dimension",
                        "one of length, width, height, thickness, size, number",
                    );
                    return None;
                }
                Some(Kind::Ratio { dimension })
            }
            _ => {
                let mut states: Vec<State> = Vec::new();
                for (word, span) in self.list(&first.value) {
                    if let Some(old) = states.iter().find(|s| fold(&s.word) == fold(&word)) {
                        self.out.push(
                            Finding::error(
                                "state-twice",
                                span,
                                format!("the state `{word}` is declared twice"),
                            )
                            .why("A state is said once.")
                            .remedy("Delete one of the two.")
                            .related(old.span, "it is declared here already"),
                        );
                        continue;
                    }
                    let accepts = StateSet::of([StateId(states.len() as u16)]);
                    states.push(State {
                        word,
                        span,
                        also: Vec::new(),
                        means: None,
                        pictures: Vec::new(),
                        accepts,
                        only_a_look: false,
                    });
                }
                if states.is_empty() || states.len() > 4096 {
                    self.unreadable(
                        first,
                        "list of states",
                        "from 1 to 4,096 states, parted by commas",
                    );
                    return None;
                }
                Some(Kind::States { ordered: word == "steps", states, groups: Vec::new() })
            }
        }
    }

    fn property(
        &mut self,
        c: &mut Character,
        note: &Note,
        conditions: &[Condition],
        language: &'static Language,
        seen: &mut Vec<(String, Span)>,
    ) {
        let word = self.word(note);
        let value = self.value(note);
        if value.is_empty() {
            self.empty(note);
            return;
        }
        match word.as_str() {
            "states" | "steps" | "measure" | "compare" => {}
            "also" => self.also(c, note),
            "means" => self.of_states(c, note, |c, state, words, r| {
                let text = words.text(r.text).into_owned();
                match state {
                    Some(s) => c.state_mut(s).means = Some(text),
                    None => c.means = Some(text),
                }
            }),
            "picture" => self.of_states(c, note, |c, state, words, r| {
                let picture: Picture = r.picture(words);
                match state {
                    Some(s) => c.state_mut(s).pictures.push(picture),
                    None => c.pictures.push(picture),
                }
            }),
            "includes" => self.includes(c, note),
            "remark" => c.remarks.push(value),
            // Needs every character; see `applies`.
            "applies" => {}
            _ if self.condition(conditions, &word).is_some() => {}
            _ if Language::of(&word).is_some() => self.translation(c, note, &word),
            _ if !self.once(seen, note) => {}
            "part" => c.part = Some(value.to_lowercase()),
            "tool" => match Tool::ALL.iter().find(|(_, w)| *w == fold(&value)) {
                Some((tool, _)) => c.tool = *tool,
                None => self.unreadable(note, "tool", "one of eye, lens, dissection, microscope"),
            },
            "ease" => match Ease::ALL.iter().find(|(_, w)| *w == fold(&value)) {
                Some((ease, _)) => c.ease = *ease,
                None => self.unreadable(note, "ease", "one of easy, fair, hard"),
            },
            "ask" => c.ask = Some(value),
            "many" => match notation::read(&value, language) {
                Some(r) if r.len == value.len() && !r.is_spoilt() => c.many = Some(r.amount),
                _ => self.unreadable(
                    note,
                    "number",
                    "what `many` stands for, such as `more than 12`",
                ),
            },
            _ => self.unknown_character_property(note, &word, conditions),
        }
    }

    fn unknown_character_property(&mut self, note: &Note, word: &str, conditions: &[Condition]) {
        let known: Vec<&str> = conditions.iter().map(|c| c.name.as_str()).collect();
        // The parser has spoken where the word is nearly a known one.
        if self.out.iter().any(|f| f.rule == "unknown-property" && f.span == note.word) {
            return;
        }
        self.out.push(
            Finding::error(
                "unknown-property",
                note.word,
                format!("`{word}` is no property of a character, no condition and no language"),
            )
            .why("The line has no effect as it stands.")
            .remedy(format!(
                "Use one of: {}; a condition ({}); or a language's code.",
                CHARACTER_WORDS.join(", "),
                known.join(", ")
            )),
        );
    }

    /// `also Leaves _ long`; `also glabrous: hairless, without hairs`.
    fn also(&mut self, c: &mut Character, note: &Note) {
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
    fn includes(&mut self, c: &mut Character, note: &Note) {
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
    fn close_includes(&mut self, c: &mut Character) {
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
    fn of_states(
        &mut self,
        c: &mut Character,
        note: &Note,
        mut put: impl FnMut(&mut Character, Option<StateId>, &Words, &Self),
    ) {
        let text = note.value.text(self.text);
        let known = text.split_once(':').and_then(|(w, _)| self.state_named(c, w));
        let Some(state) = known else {
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

    fn unknown_state(&mut self, c: &Character, word: &str, span: Span) {
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

    /// `cannot be seen`; `red looks purple or red; blue looks white`; `0.80 to 1.00`.
    fn reading(
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
    fn translation(&mut self, c: &mut Character, note: &Note, code: &str) {
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
                for (a, b) in crate::key::lexicon::split(&text, lexicon.language) {
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

impl Character {
    fn state_mut(&mut self, id: StateId) -> &mut State {
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

/// The unit that `measure` names.
fn unit(text: &str) -> Option<Unit> {
    Some(match fold(text).as_str() {
        "count" | "counts" | "number" => Unit::Count,
        "µm" | "μm" | "um" => Unit::Micrometre,
        "mm" => Unit::Millimetre,
        "cm" => Unit::Centimetre,
        "dm" => Unit::Decimetre,
        "m" => Unit::Metre,
        "in" | "inch" | "inches" => Unit::Inch,
        "ft" | "foot" | "feet" => Unit::Foot,
        "°" | "degrees" | "degree" => Unit::Degree,
        "%" | "percent" => Unit::Percent,
        _ => return None,
    })
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
