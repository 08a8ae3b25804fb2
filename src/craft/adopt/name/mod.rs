//! Names of taxa where a lead ends, brought into the format's form.

mod likely;
mod list;

use super::book::Book;
use super::languages::table;
use super::line::{OFF, ON, plain, tidy_blanks, words};
use likely::{epithet_like, genus_like};
use list::split_list;
pub use list::{is_binomial, species};

pub use likely::{Likely, is_name_tail, likely, strip_number, strip_remarks};

/// What a name at the end of a lead came to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Named {
    /// The names, each ready to be written after the dots.
    pub names: Vec<String>,
    /// What belongs to them but has no place there.
    pub remarks: Vec<String>,
    /// In words, what was put into another form.
    pub changed: Vec<String>,
}

/// Brings what is printed as a lead's name, or its names, into the form `Name (remark) or Name`.
/// `parts` are the lines as printed, with marks of emphasis.
pub fn name(parts: &[String], book: &Book) -> Named {
    let ors = table(book.tongue).or;
    let mut out = Named::default();
    let mut pieces: Vec<String> = Vec::new();
    for part in parts {
        pieces.extend(split_list(part, book, &mut out));
    }
    for piece in pieces {
        let (name, remark, changed) = one(&piece);
        if name.is_empty() {
            out.remarks.extend(remark);
            continue;
        }
        out.changed.extend(changed);
        let has_or = remark.as_deref().is_some_and(|r| {
            r.split_whitespace().any(|w| ors.contains(&w.to_lowercase().as_str()))
        });
        match remark {
            Some(remark) if has_or => {
                out.remarks.push(remark);
                out.names.push(name);
            }
            Some(remark) => out.names.push(format!("{name} ({remark})")),
            None => out.names.push(name),
        }
    }
    out
}

/// One name: `Name`, what is said of it, and what was changed.
fn one(piece: &str) -> (String, Option<String>, Vec<String>) {
    let mut remarks: Vec<String> = Vec::new();
    let mut changed = Vec::new();
    let (number, rest) = strip_number(&strip_outer_marks(piece));
    let mut rest = rest.trim().to_string();
    // Wide blanks before a last number: the page's column.
    rest = rest.replace('\t', "   ");
    let page_column = rest
        .trim_end()
        .rsplit_once("  ")
        .map(|(a, b)| (a.trim().to_string(), b.trim().to_string()));
    let mut page: Option<String> = None;
    if let Some((before, last)) = page_column
        && !before.is_empty()
        && last.trim_matches(['.', '(', ')']).bytes().all(|b| b.is_ascii_digit())
    {
        rest = before;
        page = Some(last);
    }
    // `pp. 130-131, fig. 12`
    let mut places: Vec<String> = page.into_iter().collect();
    while places.len() < 3
        && let Some(at) = page_reference(&plain(&rest), !places.is_empty())
        && plain(&rest)[..at].matches('(').count() == plain(&rest)[..at].matches(')').count()
    {
        let bare = plain(&rest);
        let place = bare[at..].trim().trim_start_matches([',', ';', '(']).trim();
        places.insert(0, place.trim_end_matches(['.', ')']).to_string());
        rest = cut_plain(&rest, at);
    }
    let page = (!places.is_empty()).then(|| places.join(", "));
    let mut text = rest.trim().trim_end_matches([',', ';', ':']).trim().to_string();
    // Remarks in brackets at the end.
    loop {
        let bare = plain(&text);
        let bare = bare.trim_end_matches(['.', ' ', ',']);
        let Some(open) = bare.ends_with([')', ']']).then(|| opening(bare)).flatten() else { break };
        if open == 0 {
            break;
        }
        remarks
            .insert(0, bare[open + 1..bare.len() - 1].trim().trim_matches(['(', ')']).to_string());
        text = cut_plain(&text, open);
        text = text.trim().to_string();
    }
    // `in part`, `p. p.`
    for part in ["in part", "p. p.", "p.p.", "pro parte", "z. T.", "z.T.", "pp."] {
        let bare = plain(&text).trim_end().to_string();
        if let Some(head) = bare.strip_suffix(part)
            && head.ends_with([' ', ','])
            && !head.trim().is_empty()
        {
            text = cut_plain(&text, head.trim_end_matches([' ', ',']).len());
            remarks.push(part.to_string());
        }
    }
    // The common name before the Latin one.
    let (mut name, mut common) = (text.clone(), None);
    if let Some((before, after)) = split_common(&text) {
        common = Some(tidy_blanks(&before));
        name = after;
    }
    let mut latin = tidy_blanks(&name);
    latin = trim_stop(&latin);
    let mut latin = latin.trim_matches([',', ';', ':', ' ']).to_string();
    // `POPULUS ALBA`: capitals hide where the genus ends.
    let capitals = |w: &&str| {
        w.chars().filter(|c| c.is_alphabetic()).count() >= 3 && !w.chars().any(char::is_lowercase)
    };
    let parts: Vec<&str> = latin.split(' ').collect();
    if parts.len() == 2 && parts.iter().all(capitals) && genus_like(&title_case(parts[0])) {
        let written = format!("{} {}", title_case(parts[0]), parts[1].to_lowercase());
        changed.push(format!("`{latin}` was written {written}"));
        latin = written;
    }
    let mut said: Vec<String> = Vec::new();
    // `some species of Salix`: the name first, what limits it in brackets.
    let small = latin.find(char::is_uppercase).unwrap_or(0);
    if small > 0 && latin[..small].ends_with(' ') && latin.starts_with(char::is_lowercase) {
        let limit = latin[..small].trim().to_string();
        latin = latin[small..].to_string();
        changed.push(format!("`{limit}` was put in brackets after `{latin}`"));
        said.push(limit);
    }
    if let Some(common) = &common {
        changed.push(format!("`{common}` was put in brackets after `{latin}`"));
        said.push(common.clone());
    }
    said.extend(number);
    said.extend(remarks.into_iter().map(|r| tidy_blanks(&r)).filter(|r| !r.is_empty()));
    said.extend(page);
    let remark = (!said.is_empty()).then(|| said.join("; "));
    (latin, remark, changed)
}

/// Takes marks of emphasis that enclose the whole.
fn strip_outer_marks(text: &str) -> String {
    let t = text.trim();
    let inner = t.strip_prefix(ON).and_then(|t| {
        let end = t.find(OFF)?;
        t[end + OFF.len_utf8()..]
            .trim_matches(['.', ',', ' '])
            .is_empty()
            .then(|| t[..end].to_string())
    });
    inner.unwrap_or_else(|| t.to_string())
}

/// Common name and Latin name of `Black Oak, Quercus velutina` or `Acker-E., _V. agrestis_ L.`;
/// also `Quercus rubra, red oak`.
fn split_common(text: &str) -> Option<(String, String)> {
    let commas: Vec<usize> = text.match_indices(", ").map(|(i, _)| i).collect();
    for &at in commas.iter().rev() {
        let (before, after) = (&text[..at], &text[at + 2..]);
        let (b, a) = (tidy_blanks(before), tidy_blanks(after));
        let latin = |t: &str| {
            let all: Vec<&str> = t.split_whitespace().collect();
            let first = all.first().copied().unwrap_or_default();
            all.len() >= 2
                && genus_like(first)
                && (epithet_like(all[1]) || all[1].starts_with("sp"))
        };
        if after.trim_start().starts_with(ON) && !before.contains(ON) {
            return Some((before.to_string(), after.to_string()));
        }
        if before.trim_start().starts_with(ON) && !after.contains(ON) && !is_name_tail(after) {
            return Some((after.to_string(), before.to_string()));
        }
        if latin(&a) && !latin(&b) {
            return Some((before.to_string(), after.to_string()));
        }
        if latin(&b) && !latin(&a) && !is_name_tail(after) {
            return Some((after.to_string(), before.to_string()));
        }
        // Quercus robur, Zomereik: no author stands behind a comma.
        if latin(&b)
            && a.chars().count() >= 2
            && a.chars().all(|c| c.is_alphabetic() || c == '-')
            && !genus_like(&a)
        {
            return Some((after.to_string(), before.to_string()));
        }
        // Clintonia, Clintonia borealis: the common name is the genus.
        if latin(&a) && b.split_whitespace().count() == 1 {
            return Some((before.to_string(), after.to_string()));
        }
    }
    None
}

/// Where `p. 22`, `page 60`, `S. 12` begins at the end of a name, its comma included; also a lone
/// number there (`Lemna 385`) unless `worded`.
fn page_reference(text: &str, worded: bool) -> Option<usize> {
    let end = text.trim_end_matches(|c: char| c.is_whitespace() || ".)".contains(c));
    let digits = end.len() - end.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    if digits == 0 || digits > 4 {
        return None;
    }
    let mut before = end[..end.len() - digits].trim_end();
    if let Some(first) = before.strip_suffix(['-', '–']) {
        let from = first.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
        if from.len() < first.len() {
            before = from;
        }
    }
    let low = before.to_lowercase();
    for word in [
        "pages", "page", "pag.", "pp.", "p.", "p", "seite", "s.", "blz.", "bl.", "fig.", "pl.",
        "t.",
    ] {
        if low.ends_with(word) && low.len() == before.len() {
            let at = before.len() - word.len();
            let head = &before[..at];
            if head.ends_with(char::is_alphanumeric) {
                continue;
            }
            let cut = head.trim_end_matches(|c: char| c.is_whitespace() || ",;(".contains(c)).len();
            return (cut > 0).then_some(cut);
        }
    }
    let lone = before.ends_with(|c: char| c.is_alphabetic() || c == '.' || c == ',');
    (lone && !worded && words(before).count() >= 1).then(|| before.trim_end_matches(',').len())
}

/// The text up to byte `at` of its plain form.
fn cut_plain(text: &str, at: usize) -> String {
    let mut seen = 0;
    let mut out = String::new();
    for c in text.chars() {
        if seen >= at {
            break;
        }
        if !matches!(c, ON | OFF) {
            seen += c.len_utf8();
        }
        out.push(c);
    }
    super::line::balanced(&out)
}

/// The bracket that opens what the text's last character closes.
fn opening(text: &str) -> Option<usize> {
    let mut depth = 0;
    for (i, c) in text.char_indices().rev() {
        match c {
            ')' | ']' => depth += 1,
            '(' | '[' => {
                depth -= 1;
                if depth == 0 {
                    return Some(i);
                }
            }
            _ => {}
        }
    }
    None
}

fn title_case(word: &str) -> String {
    let mut chars = word.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars.flat_map(char::to_lowercase)).collect())
        .unwrap_or_default()
}

/// Takes the full stop after a name; an author's abbreviation keeps it.
fn trim_stop(name: &str) -> String {
    let Some(bare) = name.strip_suffix('.') else { return name.to_string() };
    let all: Vec<&str> = bare.split_whitespace().collect();
    let last = all.last().copied().unwrap_or_default();
    let author =
        all.len() >= 2 && last.starts_with(char::is_uppercase) && last.chars().count() <= 6;
    let rank = matches!(last, "sp" | "spp" | "fil" | "f" | "agg" | "al" | "hort" | "auct");
    let initials = last.contains('.');
    if (author || rank || initials) && !super::book::shouted(bare) {
        name.to_string()
    } else {
        bare.to_string()
    }
}
