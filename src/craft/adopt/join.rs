//! Joins wrapped lines, and words that the line's end broke; true hyphens are kept.

use super::book::Book;
use super::draft::{Frag, Repair};
use super::line::{OFF, ON, plain};

/// What joining a hyphen at a line's end came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hyphen {
    /// The word was broken: the hyphen goes.
    Broken,
    /// The word has a hyphen of its own.
    True,
    /// The hyphen stands for a part left out (`needle- or`): a blank follows it.
    Hanging,
}

/// Second members of compounds that keep their hyphen in botanical English.
const MEMBERS: [&str; 44] = [
    "like",
    "shaped",
    "shape",
    "celled",
    "seeded",
    "flowered",
    "leaved",
    "leafed",
    "lobed",
    "nerved",
    "ribbed",
    "angled",
    "veined",
    "pointed",
    "toothed",
    "parted",
    "cleft",
    "winged",
    "sided",
    "ranked",
    "valved",
    "rayed",
    "ovuled",
    "tipped",
    "scented",
    "colored",
    "coloured",
    "green",
    "yellow",
    "white",
    "red",
    "brown",
    "blue",
    "purple",
    "gray",
    "grey",
    "black",
    "pink",
    "fold",
    "many",
    "tomentose",
    "pubescent",
    "lanceolate",
    "ovate",
];

/// The joined text of a lead's pieces, with marks of emphasis, and each hyphen that was decided.
pub fn join(frags: &[Frag], book: &Book, repairs: &mut Vec<Repair>) -> String {
    let mut out = String::new();
    for frag in frags {
        let text = frag.text.trim();
        if text.is_empty() {
            continue;
        }
        if out.is_empty() {
            out.push_str(text);
            continue;
        }
        let number = book.lines.get(frag.line).map_or(0, |l| l.number);
        // The end is all that is looked at: a lead may be as long as a book.
        let end = plain(last_of(&out));
        let end = end.trim_end();
        let next = plain(text);
        let dashes = end.chars().rev().take_while(|c| matches!(c, '-' | '‐')).count();
        let word_before =
            end[..end.trim_end_matches(['-', '‐']).len()].ends_with(char::is_alphanumeric);
        if end.ends_with(['—', '–'])
            || dashes >= 2
            || (next.starts_with('—') && !next.starts_with("— "))
        {
            // A dash that joins: blanks stand around it only where the print has them.
            let open = matches!(end.chars().rev().nth(dashes.max(1)), Some(' '));
            if open {
                out.push(' ');
            }
            out.push_str(text);
        } else if dashes == 1 && word_before {
            let (what, hyphen) = decide(end, &next, book);
            if let Some(what) = what {
                repairs.push(Repair { line: number, kind: "hyphen", what });
            }
            match hyphen {
                Hyphen::Broken => {
                    take_hyphen(&mut out);
                    let text = text.strip_prefix(ON).unwrap_or(text);
                    out.push_str(text);
                }
                Hyphen::True => out.push_str(text),
                Hyphen::Hanging => {
                    out.push(' ');
                    out.push_str(text);
                }
            }
        } else {
            out.push(' ');
            out.push_str(text);
        }
    }
    super::line::balanced(&out)
}

/// The last few hundred bytes of a text.
fn last_of(text: &str) -> &str {
    let from = text.len().saturating_sub(300);
    let from = (from..text.len()).find(|&i| text.is_char_boundary(i)).unwrap_or(0);
    &text[from..]
}

fn take_hyphen(out: &mut String) {
    let off = out.ends_with(OFF);
    if off {
        out.pop();
    }
    if out.ends_with(['-', '‐']) {
        out.pop();
    }
}

/// What a hyphen at a line's end is, and in words how that was decided where nothing proves it.
fn decide(end: &str, next: &str, book: &Book) -> (Option<String>, Hyphen) {
    let stem = end.trim_end_matches(['-', '‐']);
    let head: String = tail_word(stem);
    let rest: String =
        next.chars().take_while(|c| c.is_alphanumeric() || matches!(c, '-' | '\'' | '’')).collect();
    let rest = rest.trim_end_matches('-').to_string();
    if ["or", "and", "to", "und", "oder", "bis", "en", "of", "et", "ou", "bzw", "u", "od"]
        .contains(&rest.as_str())
    {
        return (None, Hyphen::Hanging);
    }
    let upper = rest.starts_with(char::is_uppercase);
    let figures = head.ends_with(|c: char| c.is_ascii_digit())
        || rest.starts_with(|c: char| c.is_ascii_digit());
    if rest.is_empty() || upper || figures {
        return (None, Hyphen::True);
    }
    let (low_head, low_rest) = (head.to_lowercase(), rest.to_lowercase());
    let last_head = low_head.rsplit('-').next().unwrap_or(&low_head);
    let first_rest = low_rest.split('-').next().unwrap_or(&low_rest);
    let whole = format!("{last_head}{first_rest}");
    if book.hyphenated.contains(&format!("{low_head}-{low_rest}")) {
        return (None, Hyphen::True);
    }
    if book.vocabulary.contains_key(&whole) {
        return (None, Hyphen::Broken);
    }
    let known = |w: &str| w.chars().count() > 2 && book.vocabulary.contains_key(w);
    let compound = MEMBERS.contains(&first_rest)
        || book.hyphenated.iter().any(|h| h.ends_with(&format!("-{first_rest}")))
        || (known(last_head) && known(first_rest));
    if compound {
        let what = format!("`{head}-` and `{rest}` were joined as `{head}-{rest}`");
        (Some(what), Hyphen::True)
    } else {
        let what = format!("`{head}-` and `{rest}` were joined as `{head}{rest}`");
        (Some(what), Hyphen::Broken)
    }
}

/// The last word of a text, hyphens within it included.
fn tail_word(text: &str) -> String {
    let start = text
        .char_indices()
        .rev()
        .take_while(|(_, c)| c.is_alphanumeric() || matches!(c, '-' | '\'' | '’'))
        .last()
        .map_or(text.len(), |(i, _)| i);
    text[start..].to_string()
}
