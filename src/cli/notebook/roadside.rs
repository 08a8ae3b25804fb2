//! The short questions about a gathering, as they are asked at the roadside.

use anyhow::{Result, bail};

use super::desk;
use super::gather::{gathering, put};
use super::part::parts_of;
use super::prompt::{Prompt, Said};
use crate::notebook::date::When;
use crate::notebook::number::{Citation, Number};
use crate::notebook::specimen::Specimen;
use crate::notebook::value::{Fields, Value};
use crate::text::shown::shown;

/// A question: the field it fills, its words, and whether `=` can repeat what the last gathering
/// has, since it often is the same all day.
struct Question {
    field: &'static str,
    words: &'static str,
    repeats: bool,
}

const fn once(field: &'static str, words: &'static str) -> Question {
    Question { field, words, repeats: false }
}

const fn often(field: &'static str, words: &'static str) -> Question {
    Question { field, words, repeats: true }
}

/// The questions in the order in which they are asked.
const QUESTIONS: &[Question] = &[
    often("place", "Place"),
    often("coordinates", "Coordinates"),
    often("uncertainty", "How far off they may be"),
    often("altitude", "Altitude"),
    often("habitat", "Habitat"),
    once("habit", "Habit"),
    once("height", "Height"),
    once("fresh colour", "Colour, fresh"),
    once("fresh scent", "Scent"),
    once("fresh sap", "Sap"),
    once("stage", "Stage (flowering | fruiting)"),
    once("plants", "Plants seen"),
    often("associated", "Growing with (parted by |)"),
    often("with", "Companions (parted by |)"),
];

/// The most of a repeated value that a prompt shows.
const SHOWN: usize = 36;

/// The questions under way.
pub struct Form {
    prompt: Prompt,
    /// A full stop was typed: no more questions.
    enough: bool,
    /// What the last gathering has.
    last: Fields,
}

impl Form {
    /// Opens the questions and says how they are answered.
    pub fn open(last: Option<Specimen>) -> Result<Form> {
        let mut fields = Fields::new();
        if let Some(gathering) = last.as_ref().and_then(Specimen::gathering) {
            gathering.write(&mut fields);
        }
        let form = Form { prompt: Prompt::open()?, enough: false, last: fields };
        let repeat = if form.last.is_empty() { "" } else { " = repeats the last gathering's," };
        let how = format!("Enter leaves out,{repeat} a full stop ends, Ctrl-C records nothing.");
        if matches!(form.prompt, Prompt::Terminal(_)) {
            form.prompt.say(&how);
        }
        Ok(form)
    }

    pub fn number(&mut self, given: Option<String>, next: &Number) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        let next = next.to_string();
        self.asked("Number", Some(&next), |t| match Number::read(t) {
            Some(_) => Ok(t.to_string()),
            None => Err("a number such as 1042, A-17 or s.n.".to_string()),
        })
    }

    pub fn date(&mut self, given: When) -> Result<When> {
        let today = given.to_string();
        let read = |t: &str| When::read(t).map_err(|e| e.to_string());
        Ok(self.asked("Date", Some(&today), read)?.unwrap_or(given))
    }

    /// All fields that were not given, each checked as it will be read.
    pub fn fields(&mut self, fields: &mut Fields) -> Result<()> {
        for question in QUESTIONS {
            // Without coordinates there is nothing to be off.
            let idle = question.field == "uncertainty" && !fields.contains_key("coordinates");
            if !idle && !fields.contains_key(question.field) {
                self.field(fields, question)?;
            }
        }
        Ok(())
    }

    fn field(&mut self, fields: &mut Fields, question: &Question) -> Result<()> {
        let field = question.field;
        let before = self.last.get(field).filter(|_| question.repeats).cloned();
        let words = match &before {
            Some(value) => format!("{} (= {})", question.words, cut(&shown(&value.in_a_line()))),
            None => question.words.to_string(),
        };
        let read = |text: &str| -> Result<Answer, String> {
            if text == "=" {
                let again = before.clone().map(Answer::Again);
                return again.ok_or_else(|| "there is nothing to repeat here".to_string());
            }
            let mut one = Fields::new();
            put(&mut one, field, text);
            let probe = Citation::new("x", Number::plain(1));
            let read = gathering(&probe, desk::today(), one).map_err(|e| e.to_string());
            read.map(|_| Answer::Typed(text.to_string()))
        };
        match self.asked(&words, None, read)? {
            Some(Answer::Typed(text)) => put(fields, field, &text),
            Some(Answer::Again(value)) => {
                fields.insert(field.to_string(), value);
            }
            None => {}
        }
        Ok(())
    }

    pub fn parts(&mut self, given: Option<String>) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        let read = |t: &str| parts_of(t).map(|_| t.to_string()).map_err(|e| e.to_string());
        self.asked("Parts taken (parted by ;)", None, read)
    }

    pub fn note(&mut self, given: Option<String>) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        self.asked("Note", None, |t| Ok(t.to_string()))
    }

    /// Asks until the answer can be used.
    fn asked<T>(
        &mut self,
        question: &str,
        default: Option<&str>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>> {
        while !self.enough {
            match self.prompt.ask(question, default)? {
                Said::Nothing => return Ok(None),
                Said::Enough => self.enough = true,
                Said::Broken => bail!("broken off: nothing was recorded"),
                Said::Text(text) => match read(&text) {
                    Ok(value) => return Ok(Some(value)),
                    // From a pipe no better answer will come.
                    Err(why) if matches!(self.prompt, Prompt::Pipe) => bail!("{question}: {why}"),
                    Err(why) => self.prompt.say(&why),
                },
            }
        }
        Ok(None)
    }
}

/// What was answered to a question about a field.
enum Answer {
    Typed(String),
    /// The value of the last gathering.
    Again(Value),
}

fn cut(text: &str) -> String {
    match text.char_indices().nth(SHOWN) {
        Some((at, _)) => format!("{}…", text[..at].trim_end()),
        None => text.to_string(),
    }
}
