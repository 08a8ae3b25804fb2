//! Text of a key made safe to show: characters that cannot be seen, or that turn a line about,
//! are written out.

use std::borrow::Cow;

use super::parse::is_unseen;

/// `text` with every unseen character as `\u{202E}`; line ends and tabs as blanks.
pub fn shown(text: &str) -> Cow<'_, str> {
    if !text.chars().any(|c| is_unseen(c) || matches!(c, '\n' | '\r' | '\t')) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match c {
            '\n' | '\r' | '\t' => out.push(' '),
            c if is_unseen(c) => out.push_str(&format!("\\u{{{:X}}}", c as u32)),
            c => out.push(c),
        }
    }
    Cow::Owned(out)
}
