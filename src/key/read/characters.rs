//! Declarations of characters: sentence, states or unit, and everything said of them.

use super::Reader;
use crate::key::character::{Character, Condition, Ease, Kind, Picture, State, StateId, Tool};
use crate::key::statement::StateSet;
use crate::text::amount::Unit;
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::notation;
use crate::text::parse::CHARACTER_WORDS;
use crate::text::span::Span;
use crate::text::tree::{Body, Entry, Note, SectionKind};
use crate::text::words::Words;

/// The most states of one character.
const MOST_STATES: usize = 4096;

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
                for (word, span) in self.list(&first.value).into_iter().take(MOST_STATES + 1) {
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
                if states.is_empty() || states.len() > MOST_STATES {
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
