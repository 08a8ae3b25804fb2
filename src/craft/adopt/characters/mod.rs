//! From prose to characters: what the leads of a couplet say of one thing in the same words is
//! offered as a character, a sentence with a gap. Nothing is declared unless the writer takes it.

mod find;
mod statement;

use serde::{Deserialize, Serialize};

use super::recognise::laid_out;
use crate::key::Key;
use crate::text::finding::Severity;
use crate::text::language::Language;
use crate::text::parse::parse;
use crate::text::source::Source;
use crate::text::tree::SectionKind;

pub use find::proposals;

/// A character that the leads of one or more couplets suggest. In a file of proposals its fields
/// may be edited.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Proposal {
    /// Whether it is to be declared.
    pub accept: bool,
    /// The character's name in the file.
    pub character: String,
    /// The sentence with its gap: `Leaves _ beneath`.
    pub sentence: String,
    /// The states, in the order in which the leads name them; empty for measures and counts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub states: Vec<String>,
    /// The unit of a measure, or `count`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measure: Option<String>,
    /// The couplets that support it.
    pub couplets: Vec<String>,
    /// Statements of the leads that suggested it.
    pub statements: Vec<String>,
}

/// How much of a key's leads can be read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Readable {
    pub statements: usize,
    pub read_before: usize,
    pub read_after: usize,
}

/// A key with proposals declared in it.
#[derive(Clone, Debug)]
pub struct Declared {
    pub key_text: String,
    pub readable: Readable,
    /// Accepted proposals that could not be declared together with the others, with the reason.
    pub dropped: Vec<(String, String)>,
}

/// Declares the accepted proposals in a key file's text.
pub fn declare(name: &str, key_text: &str, proposals: &[Proposal]) -> Declared {
    let before = read(name, key_text);
    let mut taken: Vec<&Proposal> = proposals.iter().filter(|p| p.accept && is_whole(p)).collect();
    let mut dropped: Vec<(String, String)> = proposals
        .iter()
        .filter(|p| p.accept && !is_whole(p))
        .map(|p| {
            (
                p.character.clone(),
                "it needs a sentence with one gap, and states or a measure".into(),
            )
        })
        .collect();
    // A declaration that the format finds fault with is left out; each round drops at least one.
    loop {
        let (text, places) = insert(key_text, &taken, before.heading.language);
        let key = read(name, &text);
        let last = places.last().map_or(0, |p| p.1);
        let fault = key
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Error && (f.span.start as usize) < last)
            .find_map(|f| {
                let at = f.span.start as usize;
                let also = f.related.iter().map(|r| r.span.start as usize).max().unwrap_or(0);
                let i =
                    places.iter().position(|p| (p.0..p.1).contains(&at.max(also).min(last - 1)))?;
                Some((i, f.what.clone()))
            });
        let Some((i, what)) = fault else {
            let readable = Readable {
                statements: key.share.total(),
                read_before: before.share.whole + before.share.to_a_point,
                read_after: key.share.whole + key.share.to_a_point,
            };
            // Without a declaration the text stays as it was.
            let key_text = if taken.is_empty() { text } else { laid_out(name, &text) };
            return Declared { key_text, readable, dropped };
        };
        dropped.push((taken.remove(i).character.clone(), what));
    }
}

fn read(name: &str, text: &str) -> Key {
    Key::of(&parse(Source::new(name, text)))
}

fn is_whole(p: &Proposal) -> bool {
    let gaps = p.sentence.split_whitespace().filter(|w| *w == "_").count();
    gaps == 1 && !p.character.trim().is_empty() && (p.states.len() >= 2 || p.measure.is_some())
}

/// The text with a section of characters before its first key, and the bytes of each declaration.
fn insert(
    key_text: &str,
    taken: &[&Proposal],
    language: &Language,
) -> (String, Vec<(usize, usize)>) {
    if taken.is_empty() {
        return (key_text.to_string(), Vec::new());
    }
    let word = language
        .sections
        .iter()
        .find(|s| s.1 == SectionKind::Characters)
        .map_or("characters", |s| s.0);
    let at = first_key(key_text, language);
    let mut out = key_text[..at].to_string();
    out.push_str(word);
    out.push('\n');
    let mut places = Vec::new();
    for p in taken {
        out.push('\n');
        let start = out.len();
        out.push_str(&format!("{}: {}\n", one_line(&p.character), one_line(&p.sentence)));
        match &p.measure {
            Some(unit) => out.push_str(&format!("  measure   {}\n", one_line(unit))),
            None => {
                let states: Vec<String> = p.states.iter().map(|s| one_line(s)).collect();
                let comma = states.iter().any(|s| s.contains(','));
                out.push_str(&format!(
                    "  states    {}\n",
                    states.join(if comma { "; " } else { ", " })
                ));
            }
        }
        places.push((start, out.len()));
    }
    out.push('\n');
    out.push_str(&key_text[at..]);
    (out, places)
}

fn one_line(text: &str) -> String {
    super::write::sanitize(text, 0, &mut Vec::new())
}

/// Where the first key's head begins.
fn first_key(text: &str, language: &Language) -> usize {
    let mut at = 0;
    for (i, line) in text.split_inclusive('\n').enumerate() {
        if i > 0
            && !line.starts_with(char::is_whitespace)
            && language.section(line.trim()) == Some(SectionKind::Key)
        {
            return at;
        }
        at += line.len();
    }
    text.len()
}
