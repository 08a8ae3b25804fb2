//! What was recorded of a specimen, as the engine reads it.

use crate::key::lexicon::Lexicon;
use crate::key::{ConditionId, Key};
use crate::notebook::record::{KeyUsed, Seen, fingerprint};
use crate::notebook::specimen::Specimen;
use crate::notebook::stage;

use crate::sift::{self, Observation, Table, Unread, read_observation, words};
use crate::text::language::fold;
use crate::text::span::Span;
use crate::text::words::Words;

/// A key made ready to be held against specimens.
pub struct Ready<'k> {
    pub key: &'k Key,
    pub table: Table,
    pub lexicon: Lexicon,
}

/// What a specimen's records say in a key's terms.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    pub observations: Vec<Observation>,
    /// What was recorded and is no sentence of this key: as written, and why.
    pub unread: Vec<(String, String)>,
    /// Fresh notes of the gathering that happen to be sentences of the key are among the
    /// observations; these are not.
    pub notes: Vec<String>,
    pub specimen: sift::Specimen,
}

impl<'k> Ready<'k> {
    pub fn of(key: &'k Key) -> Ready<'k> {
        Ready { key, table: Table::of(key), lexicon: key.lexicon() }
    }

    /// The key as a record names it.
    pub fn used(&self) -> KeyUsed {
        key_used(self.key)
    }

    /// A condition by its name.
    pub fn condition(&self, name: &str) -> Option<ConditionId> {
        let name = fold(name);
        let at = self.key.conditions.iter().position(|c| fold(&c.name) == name)?;
        u16::try_from(at).ok().map(ConditionId)
    }

    /// What is recorded of a specimen, looked at now under `now`. What a correction withdrew is
    /// not in it.
    pub fn evidence(&self, specimen: &Specimen, now: ConditionId) -> Evidence {
        let mut out = Evidence {
            observations: Vec::new(),
            unread: Vec::new(),
            notes: Vec::new(),
            specimen: self.specimen(specimen, now),
        };
        if let Some(g) = specimen.gathering() {
            for (name, value) in &g.fresh {
                let text = format!("{name} {}", value.in_a_line());
                match read_observation(self.key, &self.lexicon, &text, ConditionId::FRESH) {
                    Ok(read) => out.observations.extend(read),
                    Err(_) => out.notes.push(text),
                }
            }
        }
        for kept in &specimen.observations {
            for seen in &kept.body.seen {
                let said = seen.condition.as_ref().or(kept.body.condition.as_ref());
                let condition = match said.map(|name| self.condition(name)) {
                    Some(Some(condition)) => condition,
                    Some(None) => {
                        let why = format!(
                            "this key knows no condition \"{}\"",
                            said.map_or("", String::as_str)
                        );
                        out.unread.push((seen.says.clone(), why));
                        continue;
                    }
                    None => self.assumed(specimen, kept.body.date.as_ref()),
                };
                match self.read(seen, condition) {
                    Ok(read) => out.observations.extend(read),
                    Err(why) => out.unread.push((seen.says.clone(), why)),
                }
            }
        }
        // Said twice, it is no more evidence than once.
        let mut once: Vec<Observation> = Vec::new();
        for o in out.observations {
            let same = |p: &Observation| {
                (p.character, &p.seen, p.condition) == (o.character, &o.seen, o.condition)
            };
            if !once.iter().any(same) {
                once.push(o);
            }
        }
        Evidence { observations: once, ..out }
    }

    /// What is typed of a specimen as it is recorded: with its character, value and unit where it
    /// speaks of one character.
    ///
    /// # Errors
    /// Where it is none of the key's sentences.
    pub fn seen(&self, text: &str, condition: ConditionId) -> Result<Seen, Unread> {
        let read = read_observation(self.key, &self.lexicon, text, condition)?;
        let mut seen = Seen::new(text.to_string());
        if let [o] = &read[..] {
            let character = self.key.character(o.character);
            seen.character = Some(character.name.clone());
            seen.value = Some(words::seen(character, &o.seen, self.key.heading.language));
            seen.unit = character.unit().map(|u| u.sign().to_string()).filter(|u| !u.is_empty());
        }
        Ok(seen)
    }

    /// One statement: typed by the observer, or taken over from a lead that was found to hold.
    fn read(&self, seen: &Seen, condition: ConditionId) -> Result<Vec<Observation>, String> {
        if seen.lead.is_none() {
            return read_observation(self.key, &self.lexicon, &seen.says, condition)
                .map_err(|e| e.to_string());
        }
        let words = Words::one(Span::new(0, seen.says.len()));
        let read = self.lexicon.read(&seen.says, (0, seen.says.len()), &words);
        if read.part.statements.is_empty() || read.part.prose.is_some() {
            return Err("the key does not read this statement any more".to_string());
        }
        let statements = read.part.statements.iter();
        Ok(statements
            .map(|s| {
                let character = self.key.character(s.character);
                Observation::of_statement(s, character, condition).in_words(seen.says.clone())
            })
            .collect())
    }

    /// The condition where none was recorded: fresh on the day of the gathering, else pressed.
    fn assumed(
        &self,
        specimen: &Specimen,
        date: Option<&crate::notebook::date::When>,
    ) -> ConditionId {
        let gathered = specimen.gathering().map(|g| &g.date);
        match (gathered, date) {
            (Some(g), Some(d)) if d.first > g.last.unwrap_or(g.first) => ConditionId::PRESSED,
            _ => ConditionId::FRESH,
        }
    }

    /// The specimen as the engine wants to know it: parts, season, place.
    fn specimen(&self, specimen: &Specimen, now: ConditionId) -> sift::Specimen {
        let mut out = sift::Specimen::in_condition(now);
        let Some(g) = specimen.gathering() else { return out };
        let has = |part: &str| {
            specimen.parts.iter().any(|p| p.body.is_at_hand() && p.body.what.contains(part))
        };
        let borne = stage::borne(&g.stage);
        out.in_flower = borne.is_some_and(|b| b.flowers);
        out.in_fruit = borne.is_some_and(|b| b.fruits);
        out.month = g.date.first.month.and_then(|m| u8::try_from(m).ok());
        // Where the stage was noted, what it does not name was not there.
        if let Some(borne) = borne {
            if !borne.flowers && !borne.buds {
                out.absent.insert("flower".to_string());
            }
            if !borne.fruits && !has("fruit") && !has("seed") {
                out.absent.insert("fruit".to_string());
                out.absent.insert("seed".to_string());
            }
        }
        let texts = [&g.place, &g.habitat, &g.province, &g.substrate];
        for text in texts.into_iter().flatten() {
            let words = text.split(|c: char| !c.is_alphanumeric() && c != '-');
            out.place.extend(words.filter(|w| w.chars().count() > 3).map(str::to_string));
        }
        out
    }
}

/// The key as a record names it: title, issue, and the digest of its text.
pub fn key_used(key: &Key) -> KeyUsed {
    let mut used = KeyUsed::new(key.heading.title.clone());
    used.issue = key.heading.issue.clone();
    used.hash = Some(fingerprint(key.source.text().as_bytes()));
    let file = std::path::Path::new(key.source.name()).file_name();
    used.file = file.map(|f| f.to_string_lossy().into_owned());
    used
}
