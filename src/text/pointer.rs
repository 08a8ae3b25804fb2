//! What the text after a lead's dots points at, before anything is looked up.

use std::ops::Range;

use super::language::{Language, fold};
use super::parse::letters_of_label;

/// The number of a couplet with what may follow it: 84, `A`, `a`.
pub type Place = (u32, Option<char>, Option<char>);

/// An outcome that names no taxon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pointer {
    /// `7`, `9b`, and the slips `go to 7`, `see 7`.
    Couplet {
        place: Place,
        /// The bytes of the label.
        at: Range<usize>,
        /// Words stand before it that the dots say already.
        phrase: bool,
    },
    /// `key to the poppies at 2b`, `key to the grasses in grasses.key`.
    Key {
        /// Folded, as heads are compared.
        head: String,
        at: Option<Entry>,
        /// As written.
        file: Option<String>,
    },
    /// `stop: the reason`.
    Stop(String),
}

/// A place within another key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    pub place: Place,
    /// The bytes of the label.
    pub at: Range<usize>,
}

/// Reads an outcome's text; `None` where it is no pointer, and so the name of a taxon or nothing
/// that can be read.
pub fn read(text: &str, language: &Language) -> Option<Pointer> {
    let words = words(text);
    let (_, last) = words.last()?;
    if words.len() == 1
        && let Some((place, at)) = label(text, last)
    {
        return Some(Pointer::Couplet { place, at, phrase: false });
    }
    let low = fold(text);
    for phrase in language.stop {
        if low.strip_prefix(phrase).is_some_and(|rest| rest.trim_start().starts_with(':')) {
            let reason = text[text.find(':').map_or(0, |i| i + 1)..].trim();
            return Some(Pointer::Stop(reason.to_string()));
        }
    }
    if language.after_key_to(&low).is_some() {
        return Some(key(text, &words, language));
    }
    let (place, at) = label(text, last)?;
    language.go_to.contains(&fold(&text[..at.start]).as_str()).then_some(Pointer::Couplet {
        place,
        at,
        phrase: true,
    })
}

fn key(text: &str, words: &[(String, Range<usize>)], language: &Language) -> Pointer {
    let mut n = words.len();
    let mut at = None;
    let mut file = None;
    // Either order: `in grasses.key at 2b`, `at 2b in grasses.key`.
    while n > 3 {
        let ((joint, _), (_, range)) = (&words[n - 2], &words[n - 1]);
        if file.is_none() && language.in_file.contains(&joint.as_str()) {
            // A file's name has an ending; "key to the trees in winter" is a key.
            let name = text[range.clone()].trim_end_matches('.');
            if !name.contains('.') {
                break;
            }
            file = Some(name.to_string());
        } else if at.is_none() && language.at.contains(&joint.as_str()) {
            let Some((place, at_label)) = label(text, range) else { break };
            at = Some(Entry { place, at: at_label });
        } else {
            break;
        }
        n -= 2;
    }
    let head: Vec<&str> = words[..n].iter().map(|(w, _)| w.as_str()).collect();
    Pointer::Key { head: head.join(" ").trim_end_matches('.').to_string(), at, file }
}

fn label(text: &str, range: &Range<usize>) -> Option<(Place, Range<usize>)> {
    let core = text[range.clone()].trim_end_matches('.');
    Some((letters_of_label(core)?, range.start..range.start + core.len()))
}

/// The words of a text, folded, with their bytes.
fn words(text: &str) -> Vec<(String, Range<usize>)> {
    let mut out = Vec::new();
    let mut at = 0;
    for piece in text.split_inclusive(char::is_whitespace) {
        let word = piece.trim_end();
        if !word.is_empty() {
            out.push((fold(word), at..at + word.len()));
        }
        at += piece.len();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_english(text: &str) -> Option<Pointer> {
        read(text, Language::english())
    }

    #[test]
    fn couplets_leads_and_phrases() {
        let couplet = |place, at, phrase| Some(Pointer::Couplet { place, at, phrase });
        assert_eq!(read_english("7"), couplet((7, None, None), 0..1, false));
        assert_eq!(read_english(" 84Aa. "), couplet((84, Some('A'), Some('a')), 1..5, false));
        assert_eq!(read_english("go to 5"), couplet((5, None, None), 6..7, true));
        assert_eq!(read_english("Papaver 5"), None);
        assert_eq!(read_english("Papaver rhoeas"), None);
        assert_eq!(read_english(""), None);
    }

    #[test]
    fn keys_places_and_files() {
        let key = |text| match read_english(text) {
            Some(Pointer::Key { head, at, file }) => (head, at.map(|e| e.at), file),
            other => panic!("{other:?}"),
        };
        let head = || "key to the poppies".to_string();
        assert_eq!(key("Key to the  poppies."), (head(), None, None));
        assert_eq!(key("key to the poppies at 2Ab"), (head(), Some(22..25), None));
        let file = Some("P.key".to_string());
        assert_eq!(key("key to the poppies at 2b in P.key"), (head(), Some(22..24), file.clone()));
        assert_eq!(key("key to the poppies in P.key at 2b"), (head(), Some(31..33), file));
        assert_eq!(key("key to trees in winter"), ("key to trees in winter".into(), None, None));
    }

    #[test]
    fn stops_keep_their_reason() {
        assert_eq!(read_english("Stop: seedlings"), Some(Pointer::Stop("seedlings".to_string())));
        assert_eq!(read_english("stop here"), None);
    }
}
