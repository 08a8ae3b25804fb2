//! Couplets whose number stands on a line of its own above the leads: `Couplet 3`, `## 3`.

use super::book::Book;
use super::line::{Line, plain};
use super::report::LeftOut;

/// Words before a couplet's number, in the languages that keys are met in.
const WORDS: [&str; 10] =
    ["couplet", "step", "question", "lead", "schritt", "frage", "stap", "vraag", "étape", "paso"];

impl Book {
    /// Puts such numbers before the first lead; the word beside them is left out.
    pub(super) fn join_couplet_heads(&mut self) {
        let heads: Vec<Option<(String, String)>> = self.lines.iter().map(head).collect();
        if heads.iter().flatten().count() < 2 {
            return;
        }
        let lines = std::mem::take(&mut self.lines);
        let mut open: Option<String> = None;
        for (i, mut line) in lines.into_iter().enumerate() {
            let next = heads.get(i + 1);
            if let Some((word, number)) = &heads[i]
                && open.is_none()
                && next.is_some_and(Option::is_none)
            {
                if !word.is_empty() {
                    self.left.push(LeftOut::new(line.number, word, "the head of a couplet"));
                }
                open = Some(number.clone());
                continue;
            }
            if let Some(number) = open.take() {
                let bare = line.text.trim_start_matches(['-', '–', '—', '•', '*', ' ']);
                line.text = format!("{number}. {bare}");
                line.apart = true;
            }
            self.lines.push(line);
        }
    }
}

/// The word and the number of a couplet's head.
fn head(line: &Line) -> Option<(String, String)> {
    let text = plain(&line.text);
    let text = text.trim().trim_end_matches(['.', ':', ')']);
    let (word, number) = text.rsplit_once(' ').unwrap_or(("", text));
    let counts =
        !number.is_empty() && number.len() <= 4 && number.bytes().all(|b| b.is_ascii_digit());
    let told = WORDS.contains(&word.trim().to_lowercase().as_str());
    (counts && (told || (line.heading && word.is_empty())))
        .then(|| (word.trim().to_string(), number.to_string()))
}
