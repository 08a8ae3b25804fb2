//! Statements in words again: in the key's own language or through its translation lines.

use super::character::{Character, Kind, Picture};
use super::model::Key;
use super::statement::{Choice, Part, StateSet, Statement, Value};
use super::taxon::TaxonId;
use rust_decimal::Decimal;

use crate::text::amount::{Amount, Limit, Range, Unit};
use crate::text::frequency::Frequency;
use crate::text::language::Language;
use crate::text::notation;
use crate::text::words::Words;

/// The most states that a question names.
const MOST_ASKED: usize = 5;

impl Key {
    /// A statement as a sentence in `language`: through the character's translation line where it
    /// has one, else as the key declares it.
    pub fn say(&self, statement: &Statement, language: &Language) -> String {
        let c = self.character(statement.character);
        let language = self.spoken(c, language);
        c.fill_in(&c.value_in_words(&statement.value, language), language)
    }

    /// The language in which a character is spoken of: `language` where it has a line for it, else
    /// the key's own, so that no sentence is half translated.
    pub fn spoken<'l>(&self, character: &Character, language: &'l Language) -> &'l Language {
        let translated = character.translations.iter().any(|t| t.language == language.code);
        if translated { language } else { self.heading.language }
    }

    /// A part of a lead or account as it is shown: translated where all of it was read and the
    /// language is not the key's own, else the writer's words.
    pub fn part_in_words(&self, part: &Part, written: &Words, language: &Language) -> String {
        let own = language.code == self.heading.language.code;
        let translated = part.prose.is_none()
            && !part.statements.is_empty()
            && part.statements.iter().all(|s| {
                self.character(s.character).translations.iter().any(|t| t.language == language.code)
            });
        if !own && translated {
            let said: Vec<String> = part.statements.iter().map(|s| self.say(s, language)).collect();
            return said.join(", ");
        }
        written.within(part.span).text(self.source.text()).into_owned()
    }
}

impl Character {
    /// The sentence with `filling` in its gap, translated where there is a line for `language`.
    /// English `a` before the gap becomes `an` where the filling asks for it.
    pub fn fill_in(&self, filling: &str, language: &Language) -> String {
        let line = self.translations.iter().find(|t| t.language == language.code);
        let sentence = line.map_or(&self.sentence, |t| &t.sentence);
        let vowel = filling.starts_with(['a', 'e', 'i', 'o', 'A', 'E', 'I', 'O']);
        if language.code == "en"
            && vowel
            && let Some((before, after)) = sentence.split_once(" a _")
        {
            return format!("{before} an {filling}{after}");
        }
        sentence.replacen('_', filling, 1)
    }

    /// What is asked of a person: the character's own question; without one its sentence, the gap
    /// open, and what may fill it: `Petals …: red, white or others`, `Leaf blade … mm long`.
    pub fn asked(&self, language: &Language) -> String {
        if let Some(question) = &self.ask {
            return question.clone();
        }
        let open = self.fill_in("…", language);
        let values = self.values(language);
        if !values.is_empty() {
            let more = if self.declared() > MOST_ASKED { " ..." } else { "" };
            let first = &values[..values.len().min(MOST_ASKED)];
            return format!("{open}: {}{more}", first.join(", "));
        }
        let unit = self.unit().map(|u| u.sign()).filter(|u| !u.is_empty());
        unit.map_or(open, |u| self.fill_in(&format!("… {u}"), language))
    }

    /// The words that may fill the gap: the states; of a comparison the three that are said
    /// without a figure. Empty for other numbers.
    pub fn values(&self, language: &Language) -> Vec<String> {
        if let Kind::Ratio { dimension } = &self.kind {
            let one = Limit::closed(Decimal::ONE);
            let open = Limit { open: true, ..one };
            let ranges = [
                Range { low: None, high: Some(open) },
                Range { low: Some(one), high: Some(one) },
                Range { low: Some(open), high: None },
            ];
            let said = |r| notation::write_ratio(&Amount::plain(r), dimension, language);
            return ranges.into_iter().filter_map(said).collect();
        }
        (0..self.declared()).map(|i| self.state_word(i, language).to_string()).collect()
    }

    /// Its sentence with something in the gap, as an example of what can be typed.
    pub fn example(&self, language: &Language) -> String {
        let first = self.values(language).into_iter().next();
        let figure = || match self.unit().map(|u| u.sign()).filter(|u| !u.is_empty()) {
            Some(unit) => format!("5 {unit}"),
            None => "5".to_string(),
        };
        self.fill_in(&first.unwrap_or_else(figure), language)
    }

    /// The word of a state in `language`.
    pub fn state_word(&self, index: usize, language: &Language) -> &str {
        let line = self.translations.iter().find(|t| t.language == language.code);
        line.and_then(|t| t.states.get(index))
            .or_else(|| self.states().get(index).map(|s| &s.word))
            .map_or("?", String::as_str)
    }

    /// What fills the gap: `red, rarely white`, `(2–)3–5 mm`.
    pub fn value_in_words(&self, value: &Value, language: &Language) -> String {
        match value {
            Value::States(choices) => self.choices_in_words(choices, language),
            Value::Number(amount) => match &self.kind {
                Kind::Ratio { dimension } => {
                    let said = notation::write_ratio(amount, dimension, language);
                    said.unwrap_or_else(|| notation::write(amount, Unit::Count, language) + " ×")
                }
                _ => notation::write(amount, self.unit().unwrap_or(Unit::Count), language),
            },
        }
    }

    /// `red or orange`, in the order of declaration.
    pub fn set_in_words(&self, set: &StateSet, language: &Language) -> String {
        let words: Vec<&str> =
            set.iter().map(|s| self.state_word(s.0 as usize, language)).collect();
        or_list(&words, language)
    }

    fn choices_in_words(&self, choices: &[Choice], language: &Language) -> String {
        let mut out = String::new();
        let mut last = Frequency::Stated;
        for (i, choice) in choices.iter().enumerate() {
            let word = match choice.named {
                Some(s) => self.state_word(s.0 as usize, language).to_string(),
                None => self.set_in_words(&choice.accepts, language),
            };
            let changed = choice.frequency != last;
            let frequency =
                language.frequency.iter().find(|(_, f)| *f == choice.frequency).map(|(w, _)| *w);
            if i > 0 {
                out.push_str(if changed { ", " } else { " " });
                if !changed {
                    out.push_str(language.or[0]);
                    out.push(' ');
                }
            }
            if let (true, Some(f)) = (changed, frequency) {
                out.push_str(f);
                out.push(' ');
            }
            out.push_str(&word);
            last = choice.frequency;
        }
        out
    }
}

fn or_list(words: &[&str], language: &Language) -> String {
    match words {
        [] => String::new(),
        [one] => one.to_string(),
        [head @ .., last] => format!("{} {} {last}", head.join(", "), language.or[0]),
    }
}

impl Key {
    /// The cautions that go with a result: the taxa's, their groups', the key's own. Each once.
    pub fn cautions_for(&self, taxa: &[TaxonId]) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for &id in taxa {
            let mut next = Some(id);
            for _ in 0..=self.taxa.len() {
                let Some(at) = next else { break };
                let t = self.taxon(at);
                for c in &t.cautions {
                    let line = format!("{}: {c}", t.name);
                    if !out.contains(&line) {
                        out.push(line);
                    }
                }
                next = t.above;
            }
        }
        out.extend(self.heading.cautions.iter().cloned());
        out
    }
}

impl Picture {
    /// `path (caption; credit)`
    pub fn in_words(&self) -> String {
        let more: Vec<&str> =
            [&self.caption, &self.credit].into_iter().flatten().map(String::as_str).collect();
        if more.is_empty() {
            self.path.clone()
        } else {
            format!("{} ({})", self.path, more.join("; "))
        }
    }
}

impl Key {
    /// A print of the file's text by which a later reader sees whether it has changed: 16
    /// hexadecimal figures of 64-bit FNV-1a (Fowler, Noll and Vo), the length behind them. It
    /// guards against mistakes, not against malice.
    pub fn print(&self) -> String {
        let text = self.source.text();
        let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
            (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3)
        });
        format!("{hash:016x}-{}", text.len())
    }
}
