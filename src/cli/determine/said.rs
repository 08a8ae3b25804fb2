//! What a person may type in the session, and what each line means.

/// A line understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// One lead by its letter.
    Lead(char),
    /// Several leads; empty: all of the couplet.
    Either(Vec<char>),
    CannotTell,
    Back,
    Forward,
    /// Ask again the step with this number (from 1).
    Step(usize),
    Trail,
    Possible,
    Account(String),
    Term(String),
    Next,
    Missing,
    Ranking,
    Finish,
    Seen,
    Withdraw(usize),
    Condition(String),
    Part {
        name: String,
        borne: bool,
    },
    Remark(String),
    Save(String),
    Help,
    Quit,
    /// The couplet again.
    Again,
    /// Anything else: a statement about the specimen. `true`: with doubt.
    Statement(String, bool),
}

/// The words that begin a command, with what each does, in the order in which help lists them.
pub const WORDS: [(&str, &str); 22] = [
    (
        "a, b, ...",
        "this lead fits: one key, no Enter. A word that begins with such a letter begins with a capital or a blank: `Account rhoeas`",
    ),
    (
        "either",
        "both leads fit, or you are not sure: follow both (`either a c` of several); the key *",
    ),
    ("cannot tell", "the part is missing or unclear: follow every lead; the key ?"),
    ("back", "take the last thing back; the key -, or Backspace"),
    ("forward", "do again what was taken back; the key +"),
    ("step 3", "ask step 3 of the trail again; later answers are kept"),
    ("trail", "the steps so far, with their statements"),
    ("possible", "the taxa that are still possible"),
    ("account NAME", "what the key says of a taxon"),
    ("term WORD", "what a word means"),
    (
        "Petals red",
        "anything you see, in the key's own sentences, at any time; `Petals red?` with doubt",
    ),
    ("seen", "what you have observed; `withdraw 2` takes number 2 back"),
    (
        "ranking",
        "the names by probability, what speaks for and against the first, and what was assumed",
    ),
    ("next", "the best question that this specimen can answer, and why"),
    ("missing", "which part that is not here would settle the name; what to note before pressing"),
    (
        "pressed",
        "the specimen is now looked at pressed (or fresh, or another condition of the key)",
    ),
    ("no flower", "this specimen has no flower; `has flower` says that it has"),
    ("finish", "end here with what the observations say, whatever couplets are open"),
    ("remark TEXT", "a note for the record"),
    ("save FILE", "write the trail and the result as text"),
    ("again", "show the couplet again"),
    ("quit", "leave; `hilum determine --resume` takes it up again"),
];

impl Said {
    /// Reads a line. `leads` are the letters of the couplet in hand, `conditions` the conditions
    /// that the key knows, lower case.
    pub fn read(line: &str, leads: &[char], conditions: &[&str]) -> Said {
        let line = line.trim();
        let low = line.to_lowercase();
        let mut one = line.chars();
        if let (Some(c), None) = (one.next(), one.next())
            && leads.contains(&c.to_ascii_lowercase())
        {
            return Said::Lead(c.to_ascii_lowercase());
        }
        let (first, rest) = match line.split_once(char::is_whitespace) {
            Some((f, r)) => (f.to_lowercase(), r.trim()),
            None => (low.clone(), ""),
        };
        let letters = || {
            rest.chars()
                .filter(|c| c.is_ascii_alphabetic())
                .map(|c| c.to_ascii_lowercase())
                .collect()
        };
        match (first.as_str(), rest) {
            ("", _) | ("again", "") => Said::Again,
            ("*" | "either" | "both", _) if rest.split_whitespace().all(|w| w.len() == 1) => {
                Said::Either(letters())
            }
            ("?", "") => Said::CannotTell,
            _ if matches!(
                low.as_str(),
                "cannot tell" | "can't tell" | "don't know" | "unknown"
            ) =>
            {
                Said::CannotTell
            }
            ("-" | "back" | "undo", "") => Said::Back,
            ("+" | "forward" | "redo", "") => Said::Forward,
            ("step" | "jump", n) if n.parse::<usize>().is_ok() => {
                Said::Step(n.parse().unwrap_or(0))
            }
            ("trail", "") => Said::Trail,
            ("possible", "") => Said::Possible,
            ("account" | "tell", name) if !name.is_empty() => Said::Account(name.to_string()),
            ("term" | "means", word) if !word.is_empty() => Said::Term(word.to_string()),
            ("next" | "why", "") => Said::Next,
            ("ranking" | "names", "") => Said::Ranking,
            ("finish" | "end", "") => Said::Finish,
            ("missing", "") => Said::Missing,
            ("seen", "") => Said::Seen,
            ("withdraw", n) if n.parse::<usize>().is_ok() => Said::Withdraw(n.parse().unwrap_or(0)),
            ("no", part) if !part.is_empty() && !part.contains(' ') => {
                Said::Part { name: part.to_lowercase(), borne: false }
            }
            ("has", part) if !part.is_empty() && !part.contains(' ') => {
                Said::Part { name: part.to_lowercase(), borne: true }
            }
            ("remark", text) if !text.is_empty() => Said::Remark(text.to_string()),
            ("save", file) if !file.is_empty() => Said::Save(file.to_string()),
            ("help" | "h", "") => Said::Help,
            ("quit" | "exit" | "q", "") => Said::Quit,
            (word, "") if conditions.contains(&word) => Said::Condition(word.to_string()),
            _ => {
                let doubt = line.ends_with('?');
                Said::Statement(line.trim_end_matches('?').trim().to_string(), doubt)
            }
        }
    }
}
