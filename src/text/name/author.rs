//! Author citations: basionym authors in parentheses, `ex`, `in`.

use serde::Serialize;

/// Who published a name, and the name it is based on (Art. 46, 49.1).
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Authorship {
    /// In parentheses: the author of the basionym.
    pub basionym: Option<Team>,
    pub combination: Option<Team>,
}

/// One or more authors.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Team {
    /// Before `ex`: who is credited with the name without having published it.
    pub ascribed: Option<String>,
    /// `Boiss. & Heldr.`
    pub by: String,
    /// After `in`: belongs to the publication and not to the citation.
    pub publication: Option<String>,
}

impl Team {
    fn read(text: &str) -> Option<Team> {
        let text = text.trim().trim_end_matches(',').trim();
        if text.is_empty() {
            return None;
        }
        let (text, publication) = match split_word(text, "in") {
            Some((a, b)) => (a, Some(b.to_string())),
            None => (text, None),
        };
        let (ascribed, by) = match split_word(text, "ex") {
            Some((a, b)) => (Some(tidy(a)), tidy(b)),
            None => (None, tidy(text)),
        };
        Some(Team { ascribed, by, publication })
    }

    /// `Nutt. ex Seem.`
    pub fn cited(&self) -> String {
        match &self.ascribed {
            Some(a) => format!("{a} ex {}", self.by),
            None => self.by.clone(),
        }
    }
}

impl Authorship {
    /// Reads what stands after an epithet; `None` where the parentheses do not fit.
    pub(super) fn read(text: &str) -> Option<Authorship> {
        let text = text.trim();
        let (basionym, rest) = match text.strip_prefix('(') {
            Some(open) => {
                let close = open.find(')')?;
                (Some(Team::read(&open[..close])?), &open[close + 1..])
            }
            None => (None, text),
        };
        if rest.contains(['(', ')']) {
            return None;
        }
        Some(Authorship { basionym, combination: Team::read(rest) })
    }

    pub fn is_empty(&self) -> bool {
        self.basionym.is_none() && self.combination.is_none()
    }

    /// `(Boiss. & Heldr.) Hayek`; empty where no author is given.
    pub fn cited(&self) -> String {
        let basionym = self.basionym.as_ref().map(|t| format!("({})", t.cited()));
        let combination = self.combination.as_ref().map(Team::cited);
        [basionym, combination].into_iter().flatten().collect::<Vec<_>>().join(" ")
    }
}

/// Splits at the first whole word `word`.
fn split_word<'a>(text: &'a str, word: &str) -> Option<(&'a str, &'a str)> {
    let at = text.find(&format!(" {word} "))?;
    Some((text[..at].trim(), text[at + word.len() + 2..].trim()))
}

/// One blank between words, `&` between authors, no year behind.
fn tidy(text: &str) -> String {
    let words: Vec<&str> = text
        .split_whitespace()
        .map(|w| if matches!(w, "et" | "and" | "und") { "&" } else { w })
        .collect();
    let words = match words.split_last() {
        Some((last, rest))
            if !rest.is_empty() && last.len() == 4 && last.bytes().all(|b| b.is_ascii_digit()) =>
        {
            rest
        }
        _ => &words[..],
    };
    words.join(" ").trim_end_matches(',').to_string()
}
