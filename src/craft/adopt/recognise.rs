//! Tries every layout on a manuscript and takes the one that explains it best.

use thiserror::Error;

use super::account;
use super::assemble::draft;
use super::book::Book;
use super::draft::Draft;
use super::input::{Reading, Unreadable, read};
use super::layout::{ALL, Follow, Layout, Tally, of};
use super::number::Numbered;
use super::placed::NOWHERE;
use super::report::{Question, Recognised, Report};
use super::score::Score;
use super::{faults, genus, languages, write};
use crate::text::language::Language;
use crate::text::parse::parse;
use crate::text::source::Source;
use crate::text::tidy::{TidyOptions, tidy};

/// What the writer says of the manuscript, where the program is not to find out for itself.
#[derive(Clone, Debug, Default)]
pub struct Options {
    pub reading: Reading,
    /// The name of a layout.
    pub layout: Option<String>,
    /// The code of a language.
    pub language: Option<String>,
    /// The genus that names abbreviate or leave out.
    pub genus: Option<String>,
}

/// A key file and the report on how it came to be.
#[derive(Clone, Debug)]
pub struct Adopted {
    pub key_text: String,
    pub report: Report,
}

/// Why a manuscript was not taken.
#[derive(Debug, Error)]
pub enum Refusal {
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
    #[error("no layout is called `{0}`; there are {1}")]
    NoSuchLayout(String, String),
    #[error("there is no language table for `{0}`; there are {1}")]
    NoSuchLanguage(String, String),
    #[error("this is no key that can be adopted: {}", reasons.join("; "))]
    NoKey {
        reasons: Vec<String>,
        /// What each layout came to, the best first.
        tried: Vec<(&'static str, f64)>,
    },
}

/// The least that a layout must explain: less where every lead bears its couplet's number.
const LEAST: f64 = 0.6;
const LEAST_NUMBERED: f64 = 0.45;
/// Two layouts that come closer than this are a question.
const CLOSE: f64 = 0.08;

struct Trial {
    layout: &'static dyn Layout,
    draft: Draft,
    numbered: Numbered,
    score: Score,
    value: f64,
}

/// Makes a key file of a manuscript. `name` is the file's name.
///
/// # Errors
/// Where the file cannot be read, or holds nothing that is a key; the reason says which.
pub fn adopt(name: &str, bytes: &[u8], options: &Options) -> Result<Adopted, Refusal> {
    let asked = match options.layout.as_deref() {
        Some(wanted) => Some(of(wanted).ok_or_else(|| {
            let all: Vec<&str> = ALL.iter().map(|l| l.name()).collect();
            Refusal::NoSuchLayout(wanted.to_string(), all.join(", "))
        })?),
        None => None,
    };
    let manuscript = read(name, bytes, &options.reading)?;
    let book = Book::new(&manuscript);
    let language = match options.language.as_deref() {
        Some(code) => Language::of(code).ok_or_else(|| {
            let all: Vec<&str> = crate::text::language::ALL.iter().map(|l| l.code).collect();
            Refusal::NoSuchLanguage(code.to_string(), all.join(", "))
        })?,
        None => languages::table(book.tongue),
    };
    let mut trials = trials(&book, asked);
    if trials.first().is_none_or(|t| t.score.whole < least(t, asked.is_some())) {
        let tried = trials.iter().map(|t| (t.layout.name(), round(t.value))).collect();
        return Err(Refusal::NoKey { reasons: reasons(&book, trials.first()), tried });
    }
    for trial in &mut trials {
        trial.draft.left.splice(0..0, book.left.iter().cloned());
    }
    // A reading that loses words is none where another keeps them all.
    let whole = |t: &Trial| {
        t.draft.left.iter().all(|l| l.why != NOWHERE)
            && account::count(&manuscript, &book.repeated, &t.draft).unaccounted == 0
    };
    let at = trials.iter().position(|t| t.score.whole >= least(t, asked.is_some()) && whole(t));
    let mut best = trials.remove(at.unwrap_or(0));
    best.draft.repairs.extend(book.repairs.iter().cloned());
    let words = account::count(&manuscript, &book.repeated, &best.draft);
    let stem = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = stem.rsplit_once('.').map_or(stem, |(s, _)| s);
    let mut questions = layout_question(&best, &trials, asked.is_some());
    questions.extend(genus::complete(&mut best.draft, options.genus.as_deref(), stem));
    let mut written = write::write(&best.draft, &best.numbered, language, stem);
    written.text = laid_out(name, &written.text);
    best.draft.repairs.extend(written.repairs.iter().cloned());
    best.draft.repairs.sort_by(|a, b| (a.line, a.kind, &a.what).cmp(&(b.line, b.kind, &b.what)));
    best.draft.repairs.dedup();
    best.draft.left.sort_by_key(|l| l.line);
    let read_back = faults::read_back(name, &written, &best.draft);
    let mut words = words;
    words.unaccounted += read_back.lost;
    let runner_up = trials.first().map(|t| (t.layout.name(), round(t.value)));
    let report = Report {
        manuscript: name.to_string(),
        kind: manuscript.kind,
        encoding: manuscript.encoding,
        language: language.code,
        layout: Recognised {
            name: best.layout.name(),
            told: best.layout.told(),
            asked_for: asked.is_some(),
            why: why(&best),
            score: best.score,
            runner_up,
            margin: round(best.value - runner_up.map_or(0.0, |r| r.1)),
        },
        counts: read_back.counts,
        words,
        left_out: best.draft.left,
        repairs: best.draft.repairs,
        faults: read_back.faults,
        questions,
        leads: read_back.leads,
    };
    Ok(Adopted { key_text: written.text, report })
}

/// What a layout must come to at least, unasked or asked for by name.
fn least(trial: &Trial, asked: bool) -> f64 {
    match (asked, trial.layout.follow()) {
        (true, _) => 0.05,
        (false, Follow::Numbers) => LEAST_NUMBERED,
        _ => LEAST,
    }
}

/// The text as the tidy writer lays it out.
pub fn laid_out(name: &str, text: &str) -> String {
    tidy(&parse(Source::new(name, text)), &TidyOptions::default())
}

fn round(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

/// What every layout makes of a manuscript, the best first; those that come to the same key as a
/// better one are left away.
fn trials(book: &Book, asked: Option<&'static dyn Layout>) -> Vec<Trial> {
    let tally = Tally::of(book);
    let mut out: Vec<Trial> = Vec::new();
    for layout in ALL {
        if asked.is_some_and(|a| a.name() != layout.name()) || !layout.possible(&tally) {
            continue;
        }
        let mut found: Option<Trial> = None;
        for midline in [false, true] {
            let done = found.as_ref().is_some_and(|t| t.score.whole > 0.97);
            if done || (midline && layout.follow() == Follow::Indents) {
                continue;
            }
            let Some(draft) = draft(book, layout, &tally, midline) else { continue };
            let numbered = Numbered::of(&draft);
            let score = Score::of(&draft, &numbered);
            let better = found.as_ref().is_none_or(|t| score.whole > t.score.whole + 0.02);
            if better {
                found = Some(Trial { layout, draft, numbered, score, value: 0.0 });
            }
        }
        out.extend(found);
    }
    let most = out.iter().filter(|t| t.score.whole > 0.4).map(|t| t.score.taken).max().unwrap_or(1);
    for trial in &mut out {
        trial.value =
            trial.score.whole * (trial.score.taken as f64 / most.max(1) as f64).min(1.0).sqrt();
    }
    out.sort_by(|a, b| b.value.total_cmp(&a.value));
    let mut seen: Vec<Vec<String>> = Vec::new();
    out.retain(|t| {
        let own = shape(t);
        let new = !seen.contains(&own);
        seen.push(own);
        new
    });
    out
}

/// What a trial comes to: each couplet with where its leads go.
fn shape(trial: &Trial) -> Vec<String> {
    let mut out = Vec::new();
    for (k, key) in trial.draft.keys.iter().enumerate() {
        for (c, couplet) in key.couplets.iter().enumerate() {
            let mut line = format!("{k} {:?}", trial.numbered.numbers[k][c]);
            for lead in &couplet.leads {
                line.push_str(&format!(
                    " {:?}",
                    trial.numbered.target(&trial.draft, k, &lead.goes)
                ));
            }
            out.push(line);
        }
    }
    out
}

/// In words, what speaks for the layout that was taken.
fn why(trial: &Trial) -> Vec<String> {
    let d = &trial.draft;
    let couplets = d.couplets().count();
    let paired = d.couplets().filter(|c| c.leads.len() >= 2).count();
    let leads = d.leads().count();
    let ended = d.leads().filter(|l| !matches!(l.goes, super::draft::Goes::Nowhere)).count();
    let mut out = vec![
        format!(
            "{} of {leads} leads have labels that follow each other",
            leads - d.odd_labels.min(leads)
        ),
        format!("{paired} of {couplets} couplets have two leads or more"),
        format!("{ended} of {leads} leads go somewhere"),
    ];
    if trial.layout.follow() == Follow::Indents {
        out[0] = format!("{leads} leads stand at depths that fit together");
    }
    let nested = d.keys.iter().all(|k| k.nested);
    out.push(if nested {
        "a lead goes on to the couplet printed below it".into()
    } else {
        "leads point at couplets by their numbers".into()
    });
    out
}

fn layout_question(best: &Trial, others: &[Trial], asked: bool) -> Vec<Question> {
    let Some(next) = others.first() else { return Vec::new() };
    if asked || next.score.whole < LEAST || best.value - next.value > CLOSE {
        return Vec::new();
    }
    vec![Question {
        about: "layout",
        what: format!(
            "the manuscript can be read as {} ({:.2}) and as {} ({:.2})",
            best.layout.told(),
            best.value,
            next.layout.told(),
            next.value
        ),
        answers: vec![best.layout.name().into(), next.layout.name().into()],
    }]
}

/// In words, why nothing was found to be a key.
fn reasons(book: &Book, best: Option<&Trial>) -> Vec<String> {
    let columns = {
        let columns = book
            .lines
            .iter()
            .filter(|l| l.text.matches('\t').count() >= 2 || l.text.matches("   ").count() >= 2)
            .count();
        columns * 2 > book.lines.len()
    };
    if columns && best.is_none_or(|t| t.score.whole < 0.3 || t.draft.couplets().count() < 2) {
        return vec![
            "its lines are rows of columns, a table; nothing in it asks one thing or the other"
                .into(),
        ];
    }
    let Some(trial) = best.filter(|t| t.score.leads >= 2) else {
        return vec!["no line begins with a label that another answers, and no indentation tells leads apart; this is running text".into()];
    };
    let d = &trial.draft;
    let couplets = d.couplets().count();
    let leads = d.leads().count();
    let single = d.couplets().filter(|c| c.leads.len() < 2).count();
    let open = d.leads().filter(|l| matches!(l.goes, super::draft::Goes::Nowhere)).count();
    let mut out = vec![format!("read as {}, which explains it best", trial.layout.told())];
    if single > 0 {
        out.push(format!(
            "{single} of {couplets} headings or couplets stand alone, with no second lead"
        ));
    }
    if open > 0 {
        out.push(format!("{open} of {leads} leads go nowhere"));
    }
    if trial.score.covered < 0.8 {
        out.push(format!(
            "{:.0} % of the text stands between the leads: headings with descriptions below them are a synopsis, not couplets",
            100.0 * (1.0 - trial.score.covered)
        ));
    }
    if trial.score.reached < 0.8 {
        out.push(format!(
            "only {:.0} % of its couplets can be reached",
            100.0 * trial.score.reached
        ));
    }
    if trial.score.in_order < 0.95 {
        out.push(format!(
            "only {:.0} % of its labels follow the one before",
            100.0 * trial.score.in_order
        ));
    }
    out.push(format!(
        "that explains it to {:.2} of 1, and less than {:.2} is not taken unasked",
        trial.score.whole,
        least(trial, false)
    ));
    out.push("name the layout if it is a key all the same".into());
    out
}
