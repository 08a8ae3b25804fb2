//! Tables that put a question in each row and its two answers side by side: each answer is a lead.

use super::book::Book;
use super::draft::Repair;
use super::line::{Line, plain};
use super::report::LeftOut;

/// Heads of the two columns of answers, in the languages that keys are met in.
const ANSWERS: [(&str, &str); 8] = [
    ("yes", "no"),
    ("ja", "nein"),
    ("ja", "nee"),
    ("oui", "non"),
    ("sí", "no"),
    ("si", "no"),
    ("sim", "não"),
    ("true", "false"),
];

/// Where a table's columns are.
enum Head {
    /// The question's column and those of its two answers.
    Answers { question: usize, yes: usize, no: usize, words: [String; 2] },
    /// Two leads side by side: the columns of their statements; the outcomes stand right of them.
    Leads { first: usize, second: usize },
    /// Two leads side by side, each with its outcome in its own cell.
    Pairs,
    /// Nothing but names of the columns.
    Names,
}

/// Heads of a column of numbers.
const NUMBERS: [&str; 14] = [
    "", "#", "no", "no.", "nr", "nr.", "n°", "number", "nummer", "step", "schritt", "couplet",
    "lead", "num.",
];

impl Book {
    /// Rows `1 | Leaves opposite? | 2 | 3` below a head `| Yes | No` become two lines each; so do
    /// rows `1 | lead | goes to | other lead | goes to`.
    pub(super) fn unfold_answers(&mut self) {
        let Some(at) = self.lines.iter().position(|l| cells(&l.text).len() >= 3) else { return };
        let row = |l: Option<&Line>| l.map(|l| cells(&l.text)).unwrap_or_default();
        let below = row(self.lines.get(at + 1));
        let Some(head) = head(&cells(&self.lines[at].text), &below) else { return };
        if matches!(head, Head::Names) {
            let line = self.lines.remove(at);
            self.left.push(LeftOut::new(line.number, &line.text, "the head of a table"));
            return;
        }
        let mut out: Vec<Line> = self.lines[..at].to_vec();
        let mut repeated = Vec::new();
        let mut rows = 0;
        for line in &self.lines[at + 1..] {
            let Some([first, second]) = leads(&cells(&line.text), &head, &mut repeated) else {
                out.push(line.clone());
                continue;
            };
            rows += 1;
            out.push(Line { text: first, apart: true, indent: 0, ..line.clone() });
            out.push(Line { text: second, apart: true, indent: 0, page: false, ..line.clone() });
        }
        if rows < 2 {
            return;
        }
        let line = &self.lines[at];
        self.left.push(LeftOut::new(line.number, &line.text, "the head of a table"));
        self.repairs.push(Repair {
            line: line.number,
            kind: "table",
            what: match head {
                Head::Answers { .. } => format!(
                    "{rows} rows with two answers were read as two leads each: the question, and the answer's word"
                ),
                _ => format!("{rows} rows with two leads side by side were read as two leads each"),
            },
        });
        self.lines = out;
        self.repeated = repeated;
    }
}

/// The cells of a row: parted by tabs, or by wide blanks where there is none.
fn cells(text: &str) -> Vec<String> {
    let text = plain_cells(text);
    if text.contains('\t') {
        return text.split('\t').map(|c| c.trim().to_string()).collect();
    }
    text.split("  ").map(str::trim).filter(|c| !c.is_empty()).map(String::from).collect()
}

fn plain_cells(text: &str) -> String {
    text.trim_matches('|').replace('|', "\t")
}

fn number(cell: &str) -> Option<String> {
    let bare = plain(cell);
    let bare = bare.trim().trim_end_matches(['.', ')', ':']);
    (!bare.is_empty() && bare.len() <= 4 && bare.bytes().all(|b| b.is_ascii_digit()))
        .then(|| bare.to_string())
}

/// What a first row is the head of; `below` is the row after it.
fn head(cells: &[String], below: &[String]) -> Option<Head> {
    let low: Vec<String> = cells.iter().map(|c| plain(c).trim().to_lowercase()).collect();
    for (yes, no) in ANSWERS {
        let place = |word: &str| {
            low.iter().position(|c| {
                c == word
                    || c.starts_with(&format!("{word} "))
                    || c.starts_with(&format!("{word},"))
            })
        };
        if let (Some(y), Some(n)) = (place(yes), place(no))
            && y != n
            && y.min(n) >= 1
        {
            let question = y.min(n) - 1;
            let words = [plain(&cells[y]).trim().to_string(), plain(&cells[n]).trim().to_string()];
            return Some(Head::Answers { question, yes: y, no: n, words });
        }
    }
    // `Step | If | Then | If not | Then`
    if cells.len() == 5 && !low[2].is_empty() && low[2] == low[4] {
        return Some(Head::Leads { first: 1, second: 3 });
    }
    let numbered = below.len() == cells.len()
        && below.first().is_some_and(|c| number(c).is_some())
        && NUMBERS.contains(&low[0].as_str())
        && low.iter().all(|c| !c.contains(|c: char| c.is_ascii_digit()));
    if !numbered {
        return None;
    }
    let ended = |c: &String| [": ", "...", "→", " – ", " - "].iter().any(|e| c.contains(e));
    if cells.len() == 3 && below[1..].iter().all(ended) {
        return Some(Head::Pairs);
    }
    Some(Head::Names)
}

/// The two leads of a row; `None` where it is no row of the table.
fn leads(cells: &[String], head: &Head, repeated: &mut Vec<String>) -> Option<[String; 2]> {
    match head {
        Head::Answers { question, yes, no, words } => {
            // Wide blanks leave no cell empty: a row may begin at another column than its head,
            // and so may the head.
            let place = |at: usize| (at + cells.len()).checked_sub(yes.max(no) + 1);
            let question = place(*question)?;
            let (yes, no) = (cells.get(place(*yes)?)?, cells.get(place(*no)?)?);
            let asked = cells.get(question)?;
            let full = cells.iter().filter(|c| !c.is_empty()).count();
            if yes.is_empty() || no.is_empty() || asked.is_empty() || full > 4 {
                return None;
            }
            let (label, asked) = match question.checked_sub(1).and_then(|n| number(&cells[n])) {
                Some(label) => (label, plain(asked)),
                None if full > 3 => return None,
                None => {
                    let asked = plain(asked);
                    let (first, rest) = asked.split_once([' ', '.'])?;
                    (number(first)?, rest.trim_start_matches(['.', ' ']).to_string())
                }
            };
            repeated.push(format!("{label} {asked}"));
            repeated.extend(words.iter().cloned());
            let lead = |word: &str, goes: &str| format!("{label}. {asked} {word} ..... {goes}");
            Some([lead(&words[0], yes), lead(&words[1], no)])
        }
        Head::Names => None,
        Head::Pairs => {
            let label = number(cells.first()?).filter(|_| cells.len() == 3)?;
            repeated.push(label.clone());
            let lead = |at: usize| format!("{label}. {}", cells[at]);
            Some([lead(1), lead(2)])
        }
        Head::Leads { first, second } => {
            let label = number(cells.first()?).filter(|_| cells.len() == 5)?;
            let lead = |at: usize| {
                let (text, goes) = (cells.get(at)?, cells.get(at + 1)?);
                (!text.is_empty() && !goes.is_empty())
                    .then(|| format!("{label}. {text} ..... {goes}"))
            };
            let both = [lead(*first)?, lead(*second)?];
            repeated.push(label.clone());
            Some(both)
        }
    }
}
