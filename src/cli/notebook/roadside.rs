//! The short questions about a gathering, as they are asked at the roadside.

use std::cell::{Cell, RefCell};

use anyhow::{Result, bail};

use super::desk;
use super::gather::{gathering, put};
use super::part::{misspelt, parts_of};
use super::prompt::{Prompt, Said};
use crate::notebook::date::When;
use crate::notebook::number::{Citation, Number};
use crate::notebook::specimen::Specimen;
use crate::notebook::stage;
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
    prompt: RefCell<Prompt>,
    /// Answers come from a pipe, not from a person.
    piped: bool,
    /// A full stop was typed: no more questions.
    enough: Cell<bool>,
    /// What the last gathering has.
    last: Fields,
    /// An answer that is kept only if it is typed twice.
    doubted: RefCell<String>,
    width: usize,
}

impl Form {
    /// Opens the questions and says how they are answered.
    pub fn open(last: Option<Specimen>, width: usize) -> Result<Form> {
        let mut fields = Fields::new();
        if let Some(gathering) = last.as_ref().and_then(Specimen::gathering) {
            gathering.write(&mut fields);
        }
        let prompt = Prompt::open()?;
        let form = Form {
            piped: matches!(prompt, Prompt::Pipe),
            prompt: RefCell::new(prompt),
            enough: Cell::new(false),
            last: fields,
            doubted: RefCell::default(),
            width,
        };
        let repeat = if form.last.is_empty() { "" } else { " = repeats the last gathering's," };
        let how = format!("Enter leaves out,{repeat} a full stop ends, Ctrl-C records nothing.");
        if !form.piped {
            form.say(&how);
        }
        Ok(form)
    }

    pub fn number(&self, given: Option<String>, next: &Number) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        let next = next.to_string();
        self.asked("Number", Some(&next), |t| match Number::read(t) {
            Some(_) => Ok(t.to_string()),
            None => Err("a number such as 1042, A-17 or s.n.".to_string()),
        })
    }

    pub fn date(&self, given: When) -> Result<When> {
        let today = given.to_string();
        let read = |t: &str| When::read(t).map_err(|e| e.to_string());
        Ok(self.asked("Date", Some(&today), read)?.unwrap_or(given))
    }

    /// All fields that were not given, each checked as it will be read.
    pub fn fields(&self, fields: &mut Fields) -> Result<()> {
        for question in QUESTIONS {
            // Without coordinates there is nothing to be off.
            let idle = question.field == "uncertainty" && !fields.contains_key("coordinates");
            if !idle && !fields.contains_key(question.field) {
                self.field(fields, question)?;
            }
        }
        Ok(())
    }

    fn field(&self, fields: &mut Fields, question: &Question) -> Result<()> {
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
            let read = gathering(&probe, desk::today(), one).map_err(|e| e.to_string())?;
            self.twice(text, stage::unclear(&read.stage))?;
            Ok(Answer::Typed(text.to_string()))
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

    pub fn parts(&self, given: Option<String>) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        let read = |t: &str| {
            let parts = parts_of(t).map_err(|e| e.to_string())?;
            self.twice(t, parts.iter().find_map(|p| misspelt(&p.what)))?;
            Ok(t.to_string())
        };
        self.asked("Parts taken (parted by ;)", None, read)
    }

    pub fn note(&self, given: Option<String>) -> Result<Option<String>> {
        if given.is_some() {
            return Ok(given);
        }
        self.asked("Note", None, |t| Ok(t.to_string()))
    }

    /// Lets pass what is doubted for a reason if it is typed again; from a pipe at once, with the
    /// reason told.
    fn twice(&self, text: &str, why: Option<String>) -> Result<(), String> {
        let Some(why) = why else { return Ok(()) };
        if self.piped {
            self.say(&why);
        } else if self.doubted.replace(text.to_string()) != text {
            return Err(format!("{why}. Type it again to keep it so."));
        }
        Ok(())
    }

    fn say(&self, text: &str) {
        self.prompt.borrow().say(&textwrap::fill(&shown(text), self.width));
    }

    /// Asks until the answer can be used.
    fn asked<T>(
        &self,
        question: &str,
        default: Option<&str>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>> {
        while !self.enough.get() {
            let said = self.prompt.borrow_mut().ask(question, default)?;
            match said {
                Said::Nothing => return Ok(None),
                Said::Enough => self.enough.set(true),
                Said::Broken => bail!("broken off: nothing was recorded"),
                Said::Text(text) => match read(&text) {
                    Ok(value) => return Ok(Some(value)),
                    // From a pipe no better answer will come.
                    Err(why) if self.piped => bail!("{question}: {why}"),
                    Err(why) => self.say(&why),
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
