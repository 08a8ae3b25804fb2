//! The short questions about a gathering, as they are asked at the roadside.

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
    once("habit", "Habit (erect annual, shrub ...)"),
    once("height", "Height"),
    once("fresh colour", "Colour, fresh"),
    once("fresh scent", "Scent"),
    once("fresh sap", "Sap"),
    once("stage", "Stage (flowering | fruiting)"),
    once("plants", "Plants seen"),
    often("associated", "Plants growing with it (parted by |)"),
    often("with", "People with you (parted by |)"),
];

/// The most of a repeated value that a prompt shows.
const SHOWN: usize = 36;

/// What is known of a gathering before, and after, it was asked for.
pub struct Given {
    pub number: Option<String>,
    pub date: When,
    pub fields: Fields,
    pub parts: Option<String>,
    pub note: Option<String>,
}

/// One thing that is asked for.
#[derive(Clone, Copy)]
enum Asks {
    Number,
    Date,
    Field(&'static Question),
    Parts,
    Note,
}

/// What comes after a question.
enum Turn {
    On,
    Back,
    Enough,
}

/// The questions under way.
pub struct Form {
    prompt: Prompt,
    /// Answers come from a pipe, not from a person.
    piped: bool,
    /// What the last gathering has.
    last: Fields,
    /// An answer that is kept only if it is typed twice.
    doubted: String,
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
        let piped = matches!(prompt, Prompt::Pipe);
        let form = Form { piped, prompt, last: fields, doubted: String::new(), width };
        let repeat = if form.last.is_empty() { "" } else { "= repeats the last gathering's, " };
        if !form.piped {
            form.say(&format!(
                "Enter leaves out, {repeat}- goes back, a full stop ends, Ctrl-C records nothing."
            ));
        }
        Ok(form)
    }

    /// Asks for all that was not given; a person sees it once more before it is recorded.
    ///
    /// # Errors
    /// Where the person breaks off, or an answer from a pipe cannot be used.
    pub fn fill(&mut self, given: &mut Given, next: &Number) -> Result<()> {
        let fields = QUESTIONS.iter().filter(|q| !given.fields.contains_key(q.field));
        let mut asks: Vec<Asks> = vec![Asks::Number, Asks::Date];
        asks.extend(fields.map(Asks::Field));
        asks.extend([Asks::Parts, Asks::Note]);
        asks.retain(|a| match a {
            Asks::Number => given.number.is_none(),
            Asks::Parts => given.parts.is_none(),
            Asks::Note => given.note.is_none(),
            Asks::Date | Asks::Field(_) => true,
        });
        let mut at = 0;
        let mut before: Vec<usize> = Vec::new();
        loop {
            let turn = match asks.get(at) {
                Some(Asks::Field(q)) if idle(q, given) => {
                    at += 1;
                    continue;
                }
                Some(asks) => self.turn(*asks, given, next)?,
                None if self.piped => return Ok(()),
                None => match self.confirmed(given, next)? {
                    true => return Ok(()),
                    false => Turn::Back,
                },
            };
            match turn {
                Turn::On => {
                    before.push(at);
                    at += 1;
                }
                Turn::Back => at = before.pop().unwrap_or(0),
                Turn::Enough => {
                    before.push(at);
                    at = asks.len();
                }
            }
        }
    }

    fn turn(&mut self, asks: Asks, given: &mut Given, next: &Number) -> Result<Turn> {
        match asks {
            Asks::Number => {
                let offered = given.number.clone().unwrap_or_else(|| next.to_string());
                let read = |t: &str| match Number::read(t) {
                    Some(_) => Ok(t.to_string()),
                    None => Err("a number such as 1042, A-17 or s.n.".to_string()),
                };
                self.asked("Number", Some(&offered), read, |n| given.number = Some(n))
            }
            Asks::Date => {
                let read = |t: &str| desk::date(Some(t)).map_err(|e| e.to_string());
                let offered = given.date.to_string();
                self.asked("Date", Some(&offered), read, |date| given.date = date)
            }
            Asks::Field(question) => self.field(&mut given.fields, question),
            Asks::Parts => {
                let offered = given.parts.clone();
                let mut doubted = std::mem::take(&mut self.doubted);
                let piped = self.piped;
                let read = |t: &str| {
                    let parts = parts_of(t).map_err(|e| e.to_string())?;
                    let why = parts.iter().find_map(|p| misspelt(&p.what));
                    twice(&mut doubted, piped, t, why).map(|()| t.to_string())
                };
                let words = "Parts taken (parted by ;)";
                self.asked(words, offered.as_deref(), read, |parts| given.parts = Some(parts))
            }
            Asks::Note => {
                let offered = given.note.clone();
                let read = |t: &str| Ok(t.to_string());
                self.asked("Note", offered.as_deref(), read, |note| given.note = Some(note))
            }
        }
    }

    /// A field, checked as it will be read.
    fn field(&mut self, fields: &mut Fields, question: &Question) -> Result<Turn> {
        let field = question.field;
        let again = self.last.get(field).filter(|_| question.repeats).cloned();
        let offered = given_before(fields, field).map(|v| v.in_a_line());
        let words = match (&again, &offered) {
            (Some(value), None) => {
                format!("{} (= {})", question.words, cut(&shown(&value.in_a_line())))
            }
            _ => question.words.to_string(),
        };
        let mut doubted = std::mem::take(&mut self.doubted);
        let piped = self.piped;
        let read = |text: &str| -> Result<Answer, String> {
            if text == "=" {
                let again = again.clone().map(Answer::Again);
                return again.ok_or_else(|| "there is nothing to repeat here".to_string());
            }
            if offered.as_deref() == Some(text) {
                return Ok(Answer::Kept);
            }
            let mut one = Fields::new();
            put(&mut one, field, text);
            let probe = Citation::new("x", Number::plain(1));
            let read = gathering(&probe, desk::today(), one).map_err(|e| e.to_string())?;
            twice(&mut doubted, piped, text, stage::unclear(&read.stage))?;
            Ok(Answer::Typed(text.to_string()))
        };
        self.asked(&words, offered.as_deref(), read, |answer| match answer {
            Answer::Typed(text) => put(fields, field, &text),
            Answer::Again(value) => {
                fields.insert(field.to_string(), value);
            }
            Answer::Kept => {}
        })
    }

    /// Shows all of it, and asks whether it is to be recorded.
    fn confirmed(&mut self, given: &Given, next: &Number) -> Result<bool> {
        let number = given.number.clone().unwrap_or_else(|| next.to_string());
        let mut lines = vec![format!("{number}, {}", given.date.in_words())];
        for (name, value) in &given.fields {
            lines.push(format!("  {name}: {}", value.in_a_line()));
        }
        lines.extend(given.parts.iter().map(|p| format!("  parts: {p}")));
        lines.extend(given.note.iter().map(|n| format!("  note: {n}")));
        for line in lines {
            self.say(&line);
        }
        match self.prompt.ask("Enter records it, - goes back, Ctrl-C records nothing", None)? {
            Said::Nothing | Said::Enough => Ok(true),
            Said::Text(text) if text == "-" => Ok(false),
            Said::Text(text) if matches!(text.to_lowercase().as_str(), "y" | "yes") => Ok(true),
            Said::Text(_) | Said::Broken => bail!("broken off: nothing was recorded"),
        }
    }

    fn say(&self, text: &str) {
        self.prompt.say(&textwrap::fill(&shown(text), self.width));
    }

    /// Asks until the answer can be used, and hands it on.
    fn asked<T>(
        &mut self,
        question: &str,
        offered: Option<&str>,
        mut read: impl FnMut(&str) -> Result<T, String>,
        take: impl FnOnce(T),
    ) -> Result<Turn> {
        loop {
            match self.prompt.ask(question, offered)? {
                Said::Nothing => return Ok(Turn::On),
                Said::Enough => return Ok(Turn::Enough),
                Said::Broken => bail!("broken off: nothing was recorded"),
                Said::Text(text) if text == "-" => return Ok(Turn::Back),
                Said::Text(text) => match read(&text) {
                    Ok(value) => {
                        take(value);
                        return Ok(Turn::On);
                    }
                    // From a pipe no better answer will come.
                    Err(why) if self.piped => bail!("{question}: {why}"),
                    Err(why) => self.say(&why),
                },
            }
        }
    }
}

/// Without coordinates there is nothing to be off.
fn idle(question: &Question, given: &Given) -> bool {
    question.field == "uncertainty" && !given.fields.contains_key("coordinates")
}

/// The value of a field; `fresh sap` stands under `fresh`.
fn given_before<'f>(fields: &'f Fields, field: &str) -> Option<&'f Value> {
    match field.strip_prefix("fresh ") {
        Some(name) => match fields.get("fresh")? {
            Value::Map(map) => map.get(name),
            _ => None,
        },
        None => fields.get(field),
    }
}

/// Lets pass what is doubted for a reason if it is typed again; from a pipe at once, with the
/// reason told.
fn twice(doubted: &mut String, piped: bool, text: &str, why: Option<String>) -> Result<(), String> {
    let Some(why) = why else { return Ok(()) };
    if piped {
        eprintln!("{why}");
        return Ok(());
    }
    if std::mem::replace(doubted, text.to_string()) == text {
        return Ok(());
    }
    Err(format!("{why}. Type it again to keep it so."))
}

/// What was answered to a question about a field.
enum Answer {
    Typed(String),
    /// The value of the last gathering.
    Again(Value),
    /// What was typed before, left as it was.
    Kept,
}

fn cut(text: &str) -> String {
    match text.char_indices().nth(SHOWN) {
        Some((at, _)) => format!("{}…", text[..at].trim_end()),
        None => text.to_string(),
    }
}
