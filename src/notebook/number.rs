//! Collection numbers: 1042, OPP 7101, 1042a, s.n.

use serde::{Serialize, Serializer};

/// A collector's number as written, with the running number in it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Number {
    /// `OPP `, `A-`, `2026/`.
    pub prefix: String,
    /// The running number; `None` for s.n.
    pub running: Option<u64>,
    /// `a`, `/2`, `bis`; for s.n. what tells it from others: its date, and a letter.
    pub suffix: String,
}

/// Whose number, and which: what every record of a specimen carries.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize)]
pub struct Citation {
    pub collector: String,
    pub number: Number,
}

impl Number {
    /// Reads a number: an optional prefix, digits, an optional suffix; or `s.n.`, with its date
    /// behind. Where a year stands before the digits (`2026/17`), it is part of the prefix.
    pub fn read(text: &str) -> Option<Number> {
        let text = text.trim();
        if text.is_empty() || text.chars().any(char::is_control) || text.chars().count() > 60 {
            return None;
        }
        if let Some(rest) = without_number(text) {
            let suffix = rest.split_whitespace().collect::<Vec<_>>().join(" ");
            return Some(Number { prefix: String::new(), running: None, suffix });
        }
        let start = text.find(|c: char| c.is_ascii_digit())?;
        let digits = |from: usize| {
            let rest = &text[from..];
            from + rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())
        };
        let mut from = start;
        let mut to = digits(start);
        // Behind zeros the digits of a year stay a number, which has to be written with them.
        let zeros = text[from..to].bytes().take_while(|b| *b == b'0').count();
        let bare = &text[from + zeros..to];
        let year = matches!(bare.parse::<u32>(), Ok(1700..=2199)) && bare.len() == 4;
        let next = text[to..].trim_start_matches(['-', '/', ' ', '.']);
        if year && next.len() < text.len() - to && next.starts_with(|c: char| c.is_ascii_digit()) {
            if zeros > 0 {
                from += zeros;
            } else {
                from = text.len() - next.len();
                to = digits(from);
            }
        }
        // Two numbers are none.
        if text[to..].contains([',', ';', '&', '+']) {
            return None;
        }
        let running = text[from..to].parse().ok()?;
        Some(Number {
            prefix: text[..from].to_string(),
            running: Some(running),
            suffix: text[to..].to_string(),
        })
    }

    /// A plain running number.
    pub fn plain(running: u64) -> Number {
        Number { prefix: String::new(), running: Some(running), suffix: String::new() }
    }

    /// As a label cites it: s.n. without its date.
    pub fn cited(&self) -> String {
        if self.running.is_none() { "s.n.".to_string() } else { self.to_string() }
    }

    /// The key of this number of a collector whose folded name is given.
    pub(super) fn key(&self, collector: String) -> Key {
        let fold = |t: &str| t.split_whitespace().collect::<String>().to_lowercase();
        Key {
            collector,
            unnumbered: self.running.is_none(),
            prefix: fold(&self.prefix),
            running: self.running.unwrap_or(0),
            suffix: fold(&self.suffix),
        }
    }
}

/// What follows `s.n.`, where the text begins with it.
fn without_number(text: &str) -> Option<&str> {
    ["s.n.", "s. n.", "sn.", "S.N.", "s.n", "sine numero"]
        .iter()
        .find_map(|p| text.strip_prefix(p))
        .filter(|rest| rest.is_empty() || rest.starts_with(char::is_whitespace))
}

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self.running {
            Some(n) => write!(f, "{}{n}{}", self.prefix, self.suffix),
            None if self.suffix.is_empty() => f.write_str("s.n."),
            None => write!(f, "s.n. {}", self.suffix),
        }
    }
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl Citation {
    pub fn new(collector: &str, number: Number) -> Citation {
        Citation { collector: collector.trim().to_string(), number }
    }

    /// Equal for two ways to write the same collector and number (`A. K. Ashdown 7`,
    /// `Ashdown, A.K. 7`); sorts by collector, prefix, running number, suffix.
    pub fn key(&self) -> Key {
        self.number.key(fold_person(&self.collector))
    }

    /// As literature cites it: `A. K. Ashdown 1042`, `A. K. Ashdown s.n.`
    pub fn cited(&self) -> String {
        format!("{} {}", self.collector, self.number.cited())
    }
}

impl std::fmt::Display for Citation {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{} {}", self.collector, self.number)
    }
}

/// A specimen's identity for comparison and order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Key {
    pub collector: String,
    pub unnumbered: bool,
    pub prefix: String,
    pub running: u64,
    pub suffix: String,
}

/// A person's name without case, full stops and blanks, `Ashdown, A.K.` turned round.
pub fn fold_person(name: &str) -> String {
    let turned = match name.split_once(',') {
        Some((last, first)) => format!("{first} {last}"),
        None => name.to_string(),
    };
    turned.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
