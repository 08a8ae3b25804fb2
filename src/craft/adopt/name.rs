//! Names of taxa where a lead ends: told from statements, and brought into the format's form.

use super::book::Book;
use super::line::{OFF, ON, plain, tidy_blanks, words};

/// How sure it is that a text is a name of a taxon.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likely {
    No,
    /// It could be: it is short and begins with a capital.
    Perhaps,
    Yes,
}

const GENUS_ENDS: [&str; 40] = [
    "us", "um", "ia", "ium", "aceae", "aceæ", "idae", "idæ", "inae", "inæ", "ales", "ineae",
    "ineæ", "oideae", "ella", "opsis", "anthus", "ago", "ix", "ax", "ex", "ys", "yx", "on", "is",
    "as", "os", "es", "ma", "na", "ra", "la", "ca", "da", "ea", "ta", "ga", "pa", "sa", "xa",
];
const EPITHET_ENDS: [&str; 46] = [
    "a", "us", "um", "is", "i", "ae", "æ", "ii", "ensis", "ense", "oides", "oídes", "ale", "are",
    "ile", "ans", "ens", "or", "bre", "ile", "iforme", "formis", "carpa", "phylla", "florum",
    "ticum", "ax", "ix", "ex", "cola", "ior", "ius", "osa", "os", "on", "es", "orum", "arum",
    "vense", "nse", "rne", "gare", "nale", "ústre", "ustre", "ylos",
];
/// Words between the parts of a name.
const RANKS: [&str; 34] = [
    "var", "var.", "subsp", "subsp.", "ssp.", "f.", "forma", "sp.", "spp.", "spp", "sp", "ex",
    "et", "and", "in", "de", "von", "der", "fil.", "hort.", "auct.", "agg.", "aggr.", "s.l.",
    "s.str.", "cf.", "aff.", "non", "nec", "x", "×", "&", "part", "pp.",
];

fn letters_only(word: &str) -> bool {
    word.chars().count() >= 3
        && word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | '’' | '\'' | '.' | 'ǣ'))
}

fn genus_like(word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';']);
    let abbreviated = word.ends_with('.') && bare.chars().count() <= 2;
    let mut chars = bare.trim_start_matches('×').chars();
    let capital = chars.next().is_some_and(char::is_uppercase);
    let low = bare.to_lowercase();
    let english = low.ends_with("ous")
        || low.ends_with("ves")
        || low.ends_with("ers")
        || low.ends_with("ness");
    capital
        && (abbreviated
            || (letters_only(bare)
                && chars.all(|c| !c.is_uppercase())
                && !english
                && GENUS_ENDS.iter().any(|e| low.ends_with(e))))
}

fn epithet_like(word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';', ')']);
    let low = bare.to_lowercase();
    bare.chars().next().is_some_and(char::is_lowercase)
        && letters_only(bare)
        && !low.ends_with("ous")
        && EPITHET_ENDS.iter().any(|e| low.ends_with(e))
}

/// How likely a text is one name or several. It may hold authors, ranks, remarks and a page.
pub fn likely(text: &str, book: &Book) -> Likely {
    let text = tidy_blanks(text);
    let core = strip_remarks(&strip_number(&text).1);
    let all: Vec<&str> = core.split_whitespace().collect();
    let Some(&first) = all.first() else { return Likely::No };
    let low = first.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let opens = book.openings.get(&low).copied().unwrap_or(0);
    let common = book.vocabulary.get(&low).copied().unwrap_or(0);
    if all.len() > 14
        || !first.starts_with(|c: char| c.is_uppercase() || matches!(c, '×' | '“' | '"'))
    {
        return Likely::No;
    }
    if super::book::shouted(&core)
        && all.len() <= 6
        && first.chars().filter(|c| c.is_alphabetic()).count() >= 3
    {
        return Likely::Yes;
    }
    let binomial =
        all.windows(2).any(|w| genus_like(w[0]) && (epithet_like(w[1]) || w[1].starts_with("sp")));
    if binomial
        && (opens < 3 || epithet_like(all.get(1).copied().unwrap_or_default()))
        && all.len() <= 12
    {
        return Likely::Yes;
    }
    if opens >= 2 && opens * 2 >= common {
        return Likely::No;
    }
    let plain_words =
        all.iter().filter(|w| w.starts_with(char::is_lowercase) && !RANKS.contains(w)).count();
    if genus_like(first) && plain_words == 0 {
        return Likely::Yes;
    }
    if all.len() <= 5 && plain_words <= 3 { Likely::Perhaps } else { Likely::No }
}

/// Whether what follows a name in emphasis can belong to it: authors, ranks, a remark, a page.
pub fn is_name_tail(text: &str) -> bool {
    let bare = strip_remarks(&tidy_blanks(text));
    let bare = bare.trim_matches(|c: char| c.is_whitespace() || ".,;:)]".contains(c));
    let mut count = 0;
    for word in bare.split_whitespace() {
        count += 1;
        let low = word.to_lowercase();
        let after_p =
            low.trim_start_matches("pp.").trim_start_matches("p.").trim_start_matches("s.");
        let page = after_p.starts_with(|c: char| c.is_ascii_digit())
            || matches!(
                low.trim_end_matches('.'),
                "p" | "pp" | "page" | "s" | "seite" | "fig" | "pl" | "plate" | "bl"
            );
        let fits = word.starts_with(|c: char| c.is_uppercase() || "&×(’'“\"".contains(c))
            || RANKS.contains(&low.as_str())
            || RANKS.contains(&format!("{low}.").as_str())
            || page;
        if !fits || count > 8 {
            return false;
        }
    }
    true
}

/// The text without what stands in brackets.
pub fn strip_remarks(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut depth = 0usize;
    for c in text.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            c if depth == 0 => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `12. Quercus` as its number and the rest; the number may be Roman.
pub fn strip_number(text: &str) -> (Option<String>, String) {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_alphanumeric()).unwrap_or(0);
    let (number, rest) = text.split_at(end);
    let digits = number.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let counted =
        !digits.is_empty() && digits.len() <= 4 && digits.bytes().all(|b| b.is_ascii_digit());
    let roman = number.len() > 1
        && super::mark::of_roman(number).is_some()
        && number.starts_with(char::is_uppercase);
    let stopped = rest.starts_with(['.', ')', ',']) || (counted && rest.starts_with(' '));
    if number.is_empty() || !(counted || roman) || !stopped {
        return (None, text.to_string());
    }
    let rest = rest.trim_start_matches(['.', ')', ',']).trim_start();
    if !rest.starts_with(char::is_alphabetic) && !rest.starts_with(['×', ON]) {
        return (None, text.to_string());
    }
    (Some(number.to_string()), rest.to_string())
}

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
/// `parts` are the lines as printed; emphasis marked; `or` the language's word.
pub fn name(parts: &[String], ors: &[&str], book: &Book) -> Named {
    let mut out = Named::default();
    let mut pieces: Vec<String> = Vec::new();
    for part in parts {
        pieces.extend(split_list(part, ors, book, &mut out));
    }
    for piece in pieces {
        let (name, remark, changed) = one(&piece, book);
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

/// Parts `A or B`, `A and B`, `_A_, _B_ and _C_`.
fn split_list(part: &str, ors: &[&str], book: &Book, out: &mut Named) -> Vec<String> {
    let text = part.trim();
    let mut cuts: Vec<(usize, usize, bool)> = Vec::new();
    let mut depth = 0i32;
    let mut emphasised = false;
    let seps = [
        " or ", " and ", " & ", " oder ", " und ", " of ", " en ", " ou ", " et ", " u. ", " od. ",
        " / ", "; ", ", ",
    ];
    let mut i = 0;
    while i < text.len() {
        let Some(c) = text[i..].chars().next() else { break };
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            ON => emphasised = true,
            OFF => emphasised = false,
            _ => {}
        }
        if depth <= 0
            && let Some(sep) = seps.iter().find(|s| text[i..].starts_with(**s))
        {
            let (before, after) = (&text[..i], &text[i + sep.len()..]);
            let told = cuts.last().map_or(0, |c| c.1);
            let both_emphasised =
                !emphasised && before[told.min(before.len())..].contains(ON) && after.contains(ON);
            let left = likely(&before[told.min(before.len())..], book);
            let right = likely(&head_of_list(after), book);
            let strong = left == Likely::Yes
                && right == Likely::Yes
                && after.trim_start_matches([ON]).starts_with(char::is_uppercase);
            let or = ors.iter().any(|o| sep.trim() == *o);
            let comma = matches!(sep.trim(), "," | ";");
            // A comma before the Latin name parts its common name from it.
            let common = comma
                && !before[told.min(before.len())..].contains(OFF)
                && after.contains(ON)
                && !both_emphasised;
            if !common
                && (both_emphasised
                    || strong && !(comma && vernacular(&before[told.min(before.len())..], after))
                    || (or
                        && left >= Likely::Perhaps
                        && right >= Likely::Perhaps
                        && !text[..i].contains(',')))
            {
                cuts.push((i, i + sep.len(), or));
                i += sep.len();
                continue;
            }
        }
        i += c.len_utf8();
    }
    let mut pieces = Vec::new();
    let mut from = 0;
    for &(start, end, or) in &cuts {
        pieces.push(text[from..start].to_string());
        if !or {
            out.changed.push(format!(
                "`{}` between names is written `{}`",
                text[start..end].trim(),
                ors.first().unwrap_or(&"or")
            ));
        }
        from = end;
    }
    pieces.push(text[from..].to_string());
    pieces
        .into_iter()
        .map(|p| {
            let p = p.trim();
            ["or ", "and ", "und ", "oder "]
                .iter()
                .find_map(|w| p.strip_prefix(w))
                .unwrap_or(p)
                .to_string()
        })
        .filter(|p| !plain(p).trim().is_empty())
        .collect()
}

fn head_of_list(text: &str) -> String {
    let end = text.find([',', ';']).unwrap_or(text.len());
    text[..end].to_string()
}

/// Whether `before, after` is a common name and a Latin one rather than two Latin ones.
fn vernacular(before: &str, after: &str) -> bool {
    let binomial = |t: &str| {
        let t = tidy_blanks(t);
        let all: Vec<&str> = t.split_whitespace().collect();
        all.len() >= 2 && genus_like(all[0]) && epithet_like(all[1])
    };
    !binomial(before) && binomial(&head_of_list(after))
}

/// One name: `Name`, what is said of it, and what was changed.
fn one(piece: &str, book: &Book) -> (String, Option<String>, Vec<String>) {
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
    let mut page = None;
    if let Some((before, last)) = page_column
        && !before.is_empty()
        && last.trim_matches(['.', '(', ')']).bytes().all(|b| b.is_ascii_digit())
    {
        rest = before;
        page = Some(last);
    }
    if page.is_none()
        && let Some(at) = page_reference(&plain(&rest))
    {
        let bare = plain(&rest);
        page = Some(
            bare[at..]
                .trim()
                .trim_start_matches([',', ';', '('])
                .trim()
                .trim_end_matches(['.', ')'])
                .to_string(),
        );
        rest = cut_plain(&rest, at);
    }
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
    // The common name before the Latin one.
    let (mut name, mut common) = (text.clone(), None);
    if let Some((before, after)) = split_common(&text, book) {
        common = Some(tidy_blanks(&before));
        name = after;
    }
    let mut latin = tidy_blanks(&name);
    latin = trim_stop(&latin);
    let latin = latin.trim_matches([',', ';', ':', ' ']).to_string();
    let mut said: Vec<String> = Vec::new();
    // `some species of Salix`: the name first, what limits it in brackets.
    let small = latin.find(char::is_uppercase).unwrap_or(0);
    let mut latin = latin;
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
fn split_common(text: &str, book: &Book) -> Option<(String, String)> {
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
        // Clintonia, Clintonia borealis: the common name is the genus.
        if latin(&a) && b.split_whitespace().count() == 1 {
            return Some((before.to_string(), after.to_string()));
        }
    }
    let _ = book;
    None
}

/// Where `p. 22`, `page 60`, `S. 12` begins at the end of a name, its comma included; also a lone
/// number there (`Lemna 385`).
fn page_reference(text: &str) -> Option<usize> {
    let end = text.trim_end_matches(|c: char| c.is_whitespace() || ".)".contains(c));
    let digits = end.len() - end.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    if digits == 0 || digits > 4 {
        return None;
    }
    let before = end[..end.len() - digits].trim_end();
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
    (lone && words(before).count() >= 1).then(|| before.trim_end_matches(',').len())
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
