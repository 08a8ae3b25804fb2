//! Automatic numbering: what a list's numbers say, which exist in the file only as a rule.

use indexmap::IndexMap;

/// How a number is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    #[default]
    Decimal,
    LowerLetter,
    UpperLetter,
    LowerRoman,
    UpperRoman,
    Bullet,
    None,
}

impl Format {
    /// By the name that Office Open XML gives it.
    pub fn of(name: &str) -> Format {
        match name {
            "lowerLetter" => Format::LowerLetter,
            "upperLetter" => Format::UpperLetter,
            "lowerRoman" => Format::LowerRoman,
            "upperRoman" => Format::UpperRoman,
            "bullet" => Format::Bullet,
            "none" => Format::None,
            _ => Format::Decimal,
        }
    }
}

/// The number `n` (from 1) in a format. Letters double after z, as word processors count.
pub fn ordinal(format: Format, n: u32) -> String {
    match format {
        Format::Decimal => n.to_string(),
        Format::LowerLetter => letters(n),
        Format::UpperLetter => letters(n).to_uppercase(),
        Format::LowerRoman => roman(n).to_lowercase(),
        Format::UpperRoman => roman(n),
        Format::Bullet | Format::None => String::new(),
    }
}

fn letters(n: u32) -> String {
    if n == 0 || n > 26 * 8 {
        return n.to_string();
    }
    let letter = char::from(b'a' + ((n - 1) % 26) as u8);
    std::iter::repeat_n(letter, ((n - 1) / 26 + 1) as usize).collect()
}

/// `n` in Roman figures; in Arabic ones where the Romans had none.
pub fn roman(n: u32) -> String {
    if n == 0 || n > 3999 {
        return n.to_string();
    }
    let table = [
        (1000, "M"),
        (900, "CM"),
        (500, "D"),
        (400, "CD"),
        (100, "C"),
        (90, "XC"),
        (50, "L"),
        (40, "XL"),
        (10, "X"),
        (9, "IX"),
        (5, "V"),
        (4, "IV"),
        (1, "I"),
    ];
    let mut rest = n;
    let mut out = String::new();
    for (value, figure) in table {
        while rest >= value {
            out.push_str(figure);
            rest -= value;
        }
    }
    out
}

/// One level of a list.
#[derive(Clone, Debug)]
pub struct Level {
    pub start: u32,
    pub format: Format,
    /// The text with `%1`, `%2` for the numbers of the levels.
    pub text: String,
    /// Twentieths of a point.
    pub left: Option<i64>,
    /// The style of paragraph that is numbered at this level.
    pub style: Option<String>,
}

impl Default for Level {
    fn default() -> Level {
        Level { start: 1, format: Format::Decimal, text: String::new(), left: None, style: None }
    }
}

/// The lists of a document.
#[derive(Clone, Debug, Default)]
pub struct Lists {
    pub abstracts: IndexMap<String, Vec<Level>>,
    /// A list's number, its abstract list, and the levels that start anew: (level, start).
    pub numbers: IndexMap<String, (String, Vec<(usize, u32)>)>,
    counters: IndexMap<String, Vec<Option<u32>>>,
    begun: Vec<String>,
}

impl Lists {
    pub fn level(&self, list: &str, level: usize) -> Option<&Level> {
        let (of, _) = self.numbers.get(list)?;
        self.abstracts.get(of)?.get(level)
    }

    /// Counts the next paragraph of a list and gives its label, for example `2b.`.
    pub fn next(&mut self, list: &str, level: usize) -> Option<String> {
        let (of, anew) = self.numbers.get(list)?.clone();
        let levels = self.abstracts.get(&of)?;
        if level >= levels.len() {
            return None;
        }
        let counters = self.counters.entry(of.clone()).or_insert_with(|| vec![None; levels.len()]);
        if !self.begun.iter().any(|l| l == list) {
            self.begun.push(list.to_string());
            for (at, start) in anew {
                if let Some(counter) = counters.get_mut(at) {
                    *counter = start.checked_sub(1);
                    if start == 0 {
                        *counter = None;
                    }
                    if at < level {
                        *counter = Some(start);
                    }
                }
            }
        }
        counters[level] = Some(match counters[level] {
            Some(n) => n.saturating_add(1),
            None => levels[level].start,
        });
        for deeper in &mut counters[level + 1..] {
            *deeper = None;
        }
        let mut label = String::new();
        let mut chars = levels[level].text.chars().peekable();
        while let Some(c) = chars.next() {
            match chars.peek().and_then(|d| d.to_digit(10)) {
                Some(digit) if c == '%' && digit > 0 => {
                    chars.next();
                    let at = digit as usize - 1;
                    if let (Some(of), Some(counter)) = (levels.get(at), counters.get(at)) {
                        label.push_str(&ordinal(of.format, counter.unwrap_or(of.start)));
                    }
                }
                _ => label.push(c),
            }
        }
        if levels[level].format == Format::Bullet || levels[level].format == Format::None {
            label.retain(|c| matches!(c, '-' | '–' | '—' | '*'));
        }
        Some(label)
    }
}
