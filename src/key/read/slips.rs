//! Slips in outcomes and names: a letter for a figure, a comma for `or`, a language's word among
//! names.

use indexmap::IndexMap;

use super::names::folded;
use crate::key::taxon::TaxonId;
use crate::text::finding::Finding;
use crate::text::language::Language;
use crate::text::span::Span;

/// The number that a pointer such as `l7` or `1O` was meant to be: figures, with letters among
/// them that look like figures.
pub(super) fn figures(text: &str) -> Option<String> {
    let text = text.trim();
    let figure = |c: char| match c {
        'l' | 'I' => Some('1'),
        'O' | 'o' => Some('0'),
        c if c.is_ascii_digit() => Some(c),
        _ => None,
    };
    let any = text.contains(|c: char| c.is_ascii_digit());
    (any && text.len() <= 6).then(|| text.chars().map(figure).collect()).flatten()
}

/// What is said of it.
pub(super) fn letter_for_figure(text: &str, span: Span, figures: &str) -> Finding {
    let letter = text.trim().chars().find(|c| !c.is_ascii_digit()).unwrap_or('l');
    let what = format!("`{text}` has the letter {letter} where a figure belongs");
    Finding::error("name-unreadable", span, what)
        .why("It was taken as a name, and not as the number of a couplet.")
        .remedy(format!("Write the couplet's number: was {figures} meant?"))
}

/// The place of a comma that stands between two names: what follows it is a genus known here, or
/// the first letter of the one before it, with an epithet. Authors may hold commas too.
pub(super) fn comma_between_names(text: &str, known: &IndexMap<String, TaxonId>) -> Option<usize> {
    let genus = text.split_whitespace().next()?;
    text.match_indices(", ").map(|(at, _)| at).find(|at| {
        let mut words = text[at + 1..].split_whitespace();
        let (Some(first), Some(epithet)) = (words.next(), words.next()) else { return false };
        let lower = |c: char| c.is_lowercase() || c == '-';
        if epithet.chars().count() < 3 || !epithet.chars().all(lower) {
            return false;
        }
        match first.strip_suffix('.') {
            Some(initial) => !initial.is_empty() && genus.starts_with(initial),
            None => first == genus || known.contains_key(&folded(&format!("{first} {epithet}"))),
        }
    })
}

/// What is said of it.
pub(super) fn write_or(text: &str, span: Span, comma: usize) -> Finding {
    let (one, other) = (text[..comma].trim(), text[comma + 1..].trim());
    Finding::error("name-unreadable", span, "a comma stands between two names")
        .why("A comma parts no names, for authors have commas as well: this was taken as one name.")
        .remedy(format!("Write `or`: `{one} or {other}`."))
}

/// `de Lärche` among common names: the word of a language, and the name.
pub(super) fn language_among_names(name: &str, span: Span) -> Option<Finding> {
    let (code, rest) = name.split_once(' ')?;
    let language = Language::of(code).filter(|l| l.code == code)?;
    if !rest.trim().starts_with(char::is_uppercase) {
        return None;
    }
    let rest = rest.trim();
    Some(
        Finding::warning("unreadable-value", span, format!("`{name}` is taken as a common name"))
            .why(format!(
                "`{code}` is the word for names in {}; it stands on a line of its own.",
                language.name
            ))
            .remedy(format!("Write `{code}  {rest}` on a line below.")),
    )
}
