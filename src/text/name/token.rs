//! The words of a name with their places.

/// A word of a name; hybrid signs and question marks stand alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Token<'a> {
    pub text: &'a str,
    pub start: usize,
    pub end: usize,
}

/// Splits at blanks, and parts `×` and `?` from the word that they touch. An `x` or `X` alone is
/// read as the hybrid sign.
pub(super) fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut out = Vec::new();
    let mut start = None;
    let mut quoted = false;
    let mut push = |from: usize, to: usize| {
        if from < to {
            let word = &text[from..to];
            let word = if matches!(word, "x" | "X") { "×" } else { word };
            out.push(Token { text: word, start: from, end: to });
        }
    };
    for (i, c) in text.char_indices() {
        // A cultivar's epithet may hold blanks: 'Honorine Jobert'.
        let opens = matches!(c, '\'' | '‘' | '"' | '“')
            && start.is_none()
            && !quoted
            && text[i + c.len_utf8()..].contains(['\'', '’', '"', '”']);
        if opens {
            quoted = true;
            start = Some(i);
        } else if quoted {
            if matches!(c, '\'' | '’' | '"' | '”') {
                quoted = false;
                push(start.take().unwrap_or(i), i + c.len_utf8());
            }
        } else if c.is_whitespace() {
            if let Some(s) = start.take() {
                push(s, i);
            }
        } else if matches!(c, '×' | '?' | '✕') {
            if let Some(s) = start.take() {
                push(s, i);
            }
            push(i, i + c.len_utf8());
        } else if start.is_none() {
            start = Some(i);
        }
    }
    if let Some(s) = start {
        push(s, text.len());
    }
    out
}

impl Token<'_> {
    pub fn is_cross(&self) -> bool {
        matches!(self.text, "×" | "✕")
    }

    /// A genus or a name above it: `Papaver`, `Rosaceae`.
    pub fn is_capitalised_word(&self) -> bool {
        let mut chars = self.text.chars();
        chars.next().is_some_and(char::is_uppercase)
            && self.text.chars().count() > 1
            && chars.all(|c| c.is_lowercase() || c == '-')
    }

    /// A genus cut to its first letters: `S.`, `Rh.`.
    pub fn is_abbreviated_genus(&self) -> bool {
        self.text.strip_suffix('.').is_some_and(|w| {
            let mut chars = w.chars();
            chars.next().is_some_and(char::is_uppercase)
                && chars.clone().count() <= 3
                && chars.all(char::is_lowercase)
        })
    }

    /// An epithet: small letters and hyphens, at least two letters, and none of the small words
    /// that stand between authors.
    pub fn is_epithet(&self) -> bool {
        self.text.chars().count() >= 2
            && self.text.chars().all(|c| c.is_lowercase() || c == '-')
            && self.text.starts_with(char::is_lowercase)
            && self.text.ends_with(char::is_lowercase)
            && !is_particle(self.text)
    }

    pub fn is_quoted(&self) -> bool {
        self.text.starts_with(['\'', '‘', '"', '“'])
            && self.text.ends_with(['\'', '’', '"', '”'])
            && self.text.chars().count() > 2
    }
}

/// Small words that belong to author citations.
pub(super) fn is_particle(word: &str) -> bool {
    matches!(
        word,
        "ex" | "in"
            | "et"
            | "and"
            | "und"
            | "apud"
            | "de"
            | "da"
            | "do"
            | "dos"
            | "du"
            | "del"
            | "della"
            | "di"
            | "la"
            | "le"
            | "van"
            | "von"
            | "vom"
            | "den"
            | "der"
            | "ter"
            | "ten"
            | "zu"
            | "zur"
            | "y"
            | "e"
            | "al"
            | "af"
            | "fil"
            | "bis"
    )
}
