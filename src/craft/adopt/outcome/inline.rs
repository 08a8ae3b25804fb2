//! Outcomes in running text: pointers, emphasised names, names in plain type.

use super::columns::numbered_name;
use super::{Context, Split};
use crate::craft::adopt::book::shouted;
use crate::craft::adopt::draft::Frag;
use crate::craft::adopt::line::{self, OFF, ON, plain, tidy_blanks};
use crate::craft::adopt::name::{self, Likely, is_name_tail, likely};
use crate::craft::adopt::pointer::{self, Called};

/// The whole text of some pieces, with where each begins.
fn joined(body: &[Frag]) -> (String, Vec<usize>) {
    let mut text = String::new();
    let mut starts = Vec::new();
    for frag in body {
        if !text.is_empty() {
            text.push(' ');
        }
        starts.push(text.len());
        text.push_str(&frag.text);
    }
    (text, starts)
}

/// Cuts pieces at byte `at` of their joined text.
fn cut(body: &[Frag], starts: &[usize], at: usize) -> (Vec<Frag>, Vec<Frag>) {
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (frag, &start) in body.iter().zip(starts) {
        let end = start + frag.text.len();
        if end <= at {
            before.push(frag.clone());
        } else if start >= at {
            after.push(frag.clone());
        } else {
            let (left, right) = frag.text.split_at(at - start);
            before.push(Frag { text: left.trim_end().to_string(), ..frag.clone() });
            after.push(Frag { text: right.trim_start().to_string(), ..frag.clone() });
        }
    }
    (before, after)
}

/// Finds an outcome in running text and takes it off the body as one piece.
pub(super) fn inline(out: &mut Split, context: &Context) {
    let (text, starts) = joined(&out.body);
    let marked = find_pointer(&text, context).or_else(|| find_emphasised(&text, context));
    out.bare = marked.is_none();
    let Some((from, to, unsure)) = marked.or_else(|| find_name(&text, context)) else { return };
    out.weak = unsure;
    let (left, mut tail) = cut(&out.body, &starts, from);
    if to < text.len() {
        let (inner, inner_starts) = joined(&tail);
        let (name, after) = cut(&tail, &inner_starts, (to - from).min(inner.len()));
        tail = name;
        out.rest.splice(0..0, after);
    }
    out.seam = line::plain(&text[..from]).trim_end().ends_with([':', '—', '–', '-', '=', '→', '>']);
    out.body = left;
    // The dash or arrow that leads to it is no statement.
    if let Some(last) = out.body.last_mut() {
        let kept = last
            .text
            .trim_end_matches(|c: char| c.is_whitespace() || "—–→⇒➔>-=:,".contains(c))
            .len();
        last.text.truncate(kept);
    }
    let lines: Vec<String> = tail.iter().map(|f| f.text.clone()).collect();
    if let Some(first) = tail.into_iter().next() {
        out.tail = vec![Frag { text: line::balanced(&lines.join(" ")), ..first }];
    }
}

/// A pointer at the text's end: where it begins. The last element says that it is unsure.
fn find_pointer(text: &str, context: &Context) -> Option<(usize, usize, bool)> {
    let end = text.trim_end();
    let end = match pointer::page_at_end(&plain(end)) {
        Some(at) => end[..plain_to_marked(end, at)].trim_end(),
        None => end,
    };
    let last = end
        .rfind([' ', '-', '—', '–', '→', '>', '\t'])
        .map_or(0, |i| i + end[i..].chars().next().map_or(1, char::len_utf8));
    if last == 0 {
        return None;
    }
    let token = &end[last..];
    let p = context.pointer(token)?;
    let before = plain(&end[..last]);
    let before = before.trim_end();
    let low = before.to_lowercase();
    let phrase = [
        "go to",
        "goto",
        "see",
        "see couplet",
        "couplet",
        "siehe",
        "zie",
        "weiter bei",
        "gehe zu",
        "voir",
        "vide",
        "under",
        "see under",
        "look under",
        "proceed to",
        "turn to",
        "no.",
        "nr.",
        "aller à",
        "ga naar",
        "verder bij",
        "go to couplet",
        "see no.",
        "go to no.",
    ]
    .iter()
    .filter(|w| low.ends_with(*w) && !low[..low.len() - w.len()].ends_with(char::is_alphanumeric))
    .map(|w| w.len())
    .max();
    if let Some(len) = phrase {
        let mut at = before.len() - len;
        // `(go to couplet 12)`: the bracket goes with it.
        if token.trim_matches([ON, OFF, '.']).ends_with([')', ']'])
            && let Some(bare) = before[..at].trim_end().strip_suffix(['(', '['])
        {
            at = bare.len();
        }
        if !low.ends_with("no.") || context.has(&p) {
            return Some((plain_to_marked(end, at), text.len(), false));
        }
    }
    if context.called != Called::Numbers && !token.chars().any(|c| c.is_ascii_digit()) {
        // `(B)`, `—B`
        let bracketed = token.contains('(') || before.ends_with(['—', '–', '-', '→', '>']);
        return (bracketed && context.has(&p)).then_some((last, text.len(), false));
    }
    let dashed = before.ends_with(['—', '–', '→', '>', '⇒', '➔'])
        || before.ends_with("--")
        || (before.ends_with('-')
            && end[..last].ends_with([' ', '-'])
            && before.trim_end_matches('-').ends_with(' '));
    let emphasised = token.starts_with(ON);
    let dashed = dashed || before.ends_with(" =") || before.ends_with(" :");
    let bracketed = token.trim_matches([ON, OFF]).starts_with(['(', '['])
        && before.ends_with(['.', ';', ':', ')']);
    let figures = |w: &str| w.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let word = figures(before.rsplit([' ', '(']).next().unwrap_or_default());
    let not_pointer = [
        "p", "pp", "page", "pages", "s", "seite", "fig", "figs", "figure", "plate", "pl", "abb",
        "taf", "t", "about", "ca", "or", "and", "than", "nearly", "nr", "sect",
    ];
    if not_pointer.contains(&word.as_str())
        || before.ends_with(['(', ',', '×', '/'])
        || (before.ends_with('=') && !before.ends_with(" ="))
    {
        return None;
    }
    if (dashed && (!before.ends_with(|c: char| c.is_ascii_digit()))) || emphasised {
        let at =
            before.trim_end_matches(|c: char| c.is_whitespace() || "—–→⇒➔>-=".contains(c)).len();
        return Some((plain_to_marked(end, at).max(at), text.len(), false));
    }
    if !context.has(&p) || context.nested {
        return None;
    }
    let ended = before.ends_with(['.', ';', ':', ')', ']', '”', '"', '?']);
    let measured =
        figures(before.rsplit(' ').next().unwrap_or_default()).chars().all(|c| c.is_ascii_digit());
    ((ended || bracketed) || !measured).then_some((last, text.len(), !(ended || bracketed)))
}

/// Byte of the marked text that stands for byte `at` of its plain form.
fn plain_to_marked(text: &str, at: usize) -> usize {
    let mut seen = 0;
    for (i, c) in text.char_indices() {
        if seen >= at && !matches!(c, OFF) {
            return i;
        }
        if !matches!(c, ON | OFF) {
            seen += c.len_utf8();
        }
    }
    text.len()
}

/// Emphasised names at the end, or the last before a closing remark.
fn find_emphasised(text: &str, context: &Context) -> Option<(usize, usize, bool)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let (mut depth, mut open) = (0i32, None);
    for (i, c) in text.char_indices() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = (depth - 1).max(0),
            ON if depth == 0 => open = Some(i),
            OFF => {
                if let Some(start) = open.take() {
                    runs.push((start, i + OFF.len_utf8()));
                }
            }
            _ => {}
        }
    }
    let named = |&(s, e): &(usize, usize)| {
        let inner = plain(&text[s..e]);
        let inner = name::strip_number(&inner).1;
        inner.trim().starts_with(|c: char| c.is_uppercase() || c == '×')
            && inner.chars().filter(|c| c.is_alphabetic()).count() >= 2
    };
    let last = runs.iter().rposition(|r| {
        let before = plain(&text[..r.0]);
        let before = before.trim_end();
        named(r) && !before.is_empty() && before.chars().any(char::is_alphanumeric)
    })?;
    let (start, end) = runs[last];
    let after = plain(&text[end..]);
    // A stop, and then more: the name has ended.
    let stopped = after.trim_start().starts_with('.') && after.chars().any(char::is_alphanumeric);
    let at_end = is_name_tail(&after) && !stopped;
    // Names before it that it is listed with.
    let mut first = last;
    while first > 0 {
        let between = plain(&text[runs[first - 1].1..runs[first].0]);
        let bare = name::strip_remarks(&between);
        let bare = bare.trim();
        let listed = bare.len() <= 40
            && !bare.contains('.')
            && (bare.starts_with([',', ';'])
                || ["or", "and", "und", "oder", "&", "et", "en", "of", "=", ""]
                    .contains(&bare.split(' ').next().unwrap_or_default()));
        let before = plain(&text[..runs[first - 1].0]);
        if !listed || !named(&runs[first - 1]) || !before.chars().any(char::is_alphanumeric) {
            break;
        }
        first -= 1;
    }
    let start = runs[first].0.min(start);
    let before = plain(&text[..start]);
    let before = before.trim_end();
    let sentence = before.ends_with(['.', ';', ':', ')', ']', '—', '–', '-', '”', '"', ',']);
    if at_end {
        let number = leading_number(&text[..start]);
        return Some((start - number, text.len(), !sentence));
    }
    // A name in the middle: a sentence ends before it, and one after it or a comma.
    let remark = after.trim_start();
    let closes = remark.starts_with(['.', ',', ';', '(']) || remark.starts_with("spp");
    let starts_sentence = before.ends_with(['.', ';', ':', ')', '—', '–', '-']);
    if (context.nested || stopped) && starts_sentence && closes {
        let name_end = end + after_name(&text[end..]);
        return Some((start, name_end, true));
    }
    None
}

/// How much of what follows a name belongs to it: its stop, a remark in brackets.
fn after_name(after: &str) -> usize {
    let mut at = after.len() - after.trim_start().len();
    if after[at..].starts_with('(')
        && let Some(close) = after.find(')')
    {
        at = close + 1;
    }
    if after[at..].starts_with(['.', ',', ';']) {
        at += 1;
    }
    at
}

/// Bytes of a number with its stop right before a name (`12. `).
fn leading_number(before: &str) -> usize {
    let bare = before.trim_end();
    let Some(stopless) = bare.strip_suffix('.') else { return 0 };
    let digits = stopless.len() - stopless.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let head = stopless[..stopless.len() - digits].trim_end();
    if digits > 0
        && digits <= 4
        && head.ends_with(['.', ';', ')', ':'])
        && stopless[..stopless.len() - digits].ends_with(' ')
    {
        before.len() - (bare.len() - 1 - digits)
    } else {
        0
    }
}

/// Bytes of the number of a family or species, with its stop, right before a name: `235a. `.
pub fn family_number(before: &str) -> usize {
    let bare = before.trim_end();
    let Some(stopless) = bare.strip_suffix('.') else { return 0 };
    let start = stopless.rfind(' ').map_or(0, |i| i + 1);
    let token = &stopless[start..];
    let digits = token.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let counted = !digits.is_empty()
        && digits.len() <= 3
        && digits.bytes().all(|b| b.is_ascii_digit())
        && token.len() <= digits.len() + 1;
    let roman = token.starts_with(char::is_uppercase)
        && crate::craft::adopt::mark::of_roman(token).is_some();
    if counted || roman { before.len() - start } else { 0 }
}

/// A name in plain type at the end: after a dash, in capitals, or as a last sentence of its own.
fn find_name(text: &str, context: &Context) -> Option<(usize, usize, bool)> {
    let bare = text.trim_end();
    let mut seams: Vec<(usize, u8)> = Vec::new();
    let mut depth = 0i32;
    let mut previous = ' ';
    for (i, c) in bare.char_indices() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = (depth - 1).max(0),
            _ => {}
        }
        let next = bare[i + c.len_utf8()..].chars().next();
        if depth == 0 && next.is_some() {
            match c {
                '—' | '→' | '⇒' | '➔' => seams.push((i + c.len_utf8(), 3)),
                '–' if previous.is_whitespace() && next == Some(' ') => {
                    seams.push((i + c.len_utf8(), 3))
                }
                '-' if previous == '-' || (previous.is_whitespace() && next == Some(' ')) => {
                    seams.push((i + 1, 3))
                }
                '>' if matches!(previous, '-' | '=') => seams.push((i + 1, 3)),
                ':' | '=' if next == Some(' ') => seams.push((i + 1, 2)),
                '.' | ';' | ')' | '!' | '?' if next == Some(' ') => seams.push((i + 1, 1)),
                ',' if next == Some(' ') => seams.push((i + 1, 0)),
                _ => {}
            }
        }
        previous = c;
    }
    // From the last seam back, the longest stretch that is surely a name; else one that may be.
    let mut found: Option<(usize, bool)> = None;
    for &(at, kind) in seams.iter().rev().take(6) {
        let candidate = bare[at..].trim_start();
        let (_, unnumbered) = name::strip_number(&plain(candidate));
        // Small letters only where a dash leads to few words.
        let small = kind == 3
            && unnumbered.starts_with(char::is_lowercase)
            && plain(bare).starts_with(char::is_lowercase)
            && unnumbered.split_whitespace().count() <= 3;
        if !small && !unnumbered.starts_with(|c: char| c.is_uppercase() || "×“\"".contains(c)) {
            continue;
        }
        let at = bare.len() - candidate.len();
        let capitals = shouted(&name::strip_remarks(&plain(
            candidate.split([',', '(']).next().unwrap_or(candidate),
        )));
        let sure = likely(candidate, context.book);
        let text_before = plain(&bare[..at]);
        if !text_before.chars().any(char::is_alphanumeric) {
            continue;
        }
        match kind {
            // After a comma only capitals or a binomial, and that is told.
            0 if capitals && is_name_tail(&after_first_word(candidate)) => found = Some((at, true)),
            0 => {}
            _ if capitals && is_name_tail(candidate) => found = Some((at, false)),
            _ if sure == Likely::Yes => found = Some((at, kind < 2)),
            2 | 3
                if sure == Likely::Perhaps
                    || context.head(candidate)
                    || (kind == 3 && few_words(candidate)) =>
            {
                found = Some((at, kind == 2))
            }
            1 if context.head(candidate) => found = Some((at, true)),
            _ => {}
        }
        if found.is_some() && kind >= 1 {
            break;
        }
    }
    if let Some((at, unsure)) = found {
        let number = if context.book.numbered_names { family_number(&bare[..at]) } else { 0 };
        return Some((at - number, text.len(), unsure));
    }
    // A species' number and its name: `... articulate 19. aristata.`
    if context.nested
        && let Some(at) = bare
            .match_indices(' ')
            .map(|(i, _)| i + 1)
            .filter(|&i| bare.len() - i < 40)
            .find(|&i| numbered_name(&bare[i..]))
        && bare[..at].trim_end().ends_with(char::is_alphabetic)
    {
        return Some((at, text.len(), false));
    }
    // A last sentence of few words, if nothing else tells where the lead goes.
    if let Some(&(at, _)) = seams.iter().rev().find(|s| s.1 == 1) {
        let candidate = bare[at..].trim_start();
        if likely(candidate, context.book) == Likely::Perhaps
            && tidy_blanks(candidate).split(' ').count() <= 4
        {
            return Some((bare.len() - candidate.len(), text.len(), true));
        }
    }
    None
}

/// At most six words, none of them a figure.
fn few_words(text: &str) -> bool {
    let text = name::strip_remarks(&tidy_blanks(text));
    let all: Vec<&str> = text.split(' ').collect();
    all.len() <= 6 && !all.iter().skip(1).any(|w| w.starts_with(|c: char| c.is_ascii_digit()))
}

fn after_first_word(text: &str) -> String {
    text.split_once(' ').map_or(String::new(), |(_, rest)| rest.to_string())
}
