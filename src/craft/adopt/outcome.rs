//! Where a lead's statements end and its outcome begins.

use super::book::{Book, shouted};
use super::draft::{Frag, Pointer};
use super::layout::Id;
use super::line::{OFF, ON, plain, tidy_blanks};
use super::name::{Likely, is_name_tail, likely};
use super::pointer;

/// What is known of the key while its leads are read.
pub struct Context<'a> {
    pub book: &'a Book,
    /// The couplets of the key.
    pub ids: Vec<Id>,
    /// Letters name couplets and can be pointers.
    pub lettered: bool,
    /// Couplets follow by order: a number in running text is no pointer.
    pub nested: bool,
    /// Heads of the manuscript's keys in lower case, without `key to`.
    pub heads: Vec<String>,
}

/// A lead taken apart.
#[derive(Clone, Debug, Default)]
pub struct Split {
    pub body: Vec<Frag>,
    /// What is printed where the lead goes, a name a piece; empty where nothing is.
    pub tail: Vec<Frag>,
    /// Lines after the outcome that belong to neither.
    pub rest: Vec<Frag>,
    /// Nothing but its wording says where the outcome begins.
    pub weak: bool,
    /// It stands in running text, without a leader, a gap or a line of its own.
    pub inline: bool,
    /// It is a name in plain type within running text.
    pub bare: bool,
}

impl Context<'_> {
    pub fn has(&self, p: &Pointer) -> bool {
        self.ids.contains(&(p.number, p.capital))
    }

    /// The text as a pointer that may be meant.
    pub fn pointer(&self, text: &str) -> Option<Pointer> {
        let p = pointer::read(text, self.lettered)?;
        (!p.slip || self.has(&p)).then_some(p)
    }

    /// Whether a text alone on its line, or behind a gap, can be an outcome.
    fn outcome_like(&self, text: &str) -> bool {
        if self.pointer(text).is_some() {
            return true;
        }
        let bare = plain(text);
        let bare = bare.trim();
        let (_, rest) = super::name::strip_number(bare);
        bare.chars().count() <= 90
            && (rest.starts_with(char::is_uppercase)
                || rest.starts_with(['×', '“', '"', '('])
                || text.trim().starts_with(ON)
                || rest != bare)
            || self.head(bare)
    }

    /// Whether a text names a key of the manuscript.
    pub fn head(&self, text: &str) -> bool {
        let low = super::write::head_key(text);
        low.len() > 2 && self.heads.iter().any(|h| *h == low || h.starts_with(&format!("{low} ")))
    }
}

/// The leader or gap of a line: what stands before and after it, and whether dots made it.
fn columns<'a>(text: &'a str, context: &Context) -> Option<(&'a str, &'a str, bool)> {
    if let Some((left, right)) = leader(text) {
        return Some((left, right, true));
    }
    // Tabs and wide blanks; a page's column behind a name belongs to the name.
    let mut cuts: Vec<(usize, usize, usize)> = Vec::new();
    let mut i = 0;
    while let Some(at) = text[i..].find([' ', '\t']).map(|k| k + i) {
        let run = text[at..].len() - text[at..].trim_start_matches([' ', '\t']).len();
        let gap = &text[at..at + run];
        let width = if gap.contains('\t') { 9 } else { run };
        if width >= 2 && at > 0 {
            cuts.push((at, at + run, width));
        }
        i = at + run;
    }
    let &(at, to, width) = cuts.last()?;
    let right = &text[to..];
    if right.is_empty() {
        return None;
    }
    let number = |t: &str| {
        let t = plain(t);
        let t = t.trim().trim_matches(['(', ')', '.']);
        !t.is_empty() && t.len() <= 4 && t.bytes().all(|b| b.is_ascii_digit())
    };
    if number(right)
        && let Some(&(before, after, wide)) = cuts.iter().rev().nth(1)
    {
        let middle = &text[after..at];
        let named = likely(middle, context.book);
        if before > 0
            && (middle.trim().starts_with(ON)
                || (wide >= 3 && named >= Likely::Perhaps)
                || named == Likely::Yes)
            && !number(middle)
        {
            return Some((&text[..before], &text[after..], false));
        }
    }
    let fits = match width {
        2 => {
            context.pointer(right).is_some_and(|p| context.has(&p))
                || (right.starts_with(ON) && is_emphasised(right))
                || likely(right, context.book) == Likely::Yes
                || numbered_name(right)
        }
        9 => true,
        _ => context.outcome_like(right),
    };
    fits.then_some((&text[..at], right, false))
}

/// `18. Balfouriana.`: a number and a name of one or two words.
pub fn numbered_name(text: &str) -> bool {
    let text = plain(text);
    let (number, rest) = super::name::strip_number(text.trim());
    let rest = rest.trim_end_matches('.');
    number.is_some_and(|n| text.trim()[n.len()..].starts_with('.'))
        && rest.split_whitespace().count() <= 2
        && rest.chars().all(|c| c.is_alphabetic() || c == '-' || c == ' ')
}

fn is_emphasised(text: &str) -> bool {
    text.starts_with(ON) && text.find(OFF).is_some_and(|at| is_name_tail(&plain(&text[at..])))
}

/// What stands before and after the last row of dots, dashes or low lines; the right side may be
/// empty.
fn leader(text: &str) -> Option<(&str, &str)> {
    let mut best: Option<(usize, usize)> = None;
    let mut i = 0;
    while let Some(at) = text[i..].find(['.', '…', '_', '·']).map(|k| k + i) {
        let mut dots = 0usize;
        let mut end = at;
        let first = text[at..].chars().next().unwrap_or('.');
        for (k, c) in text[at..].char_indices() {
            match c {
                '…' => dots += 3,
                c if c == first => dots += 1,
                ' ' => continue,
                _ => break,
            }
            end = at + k + c.len_utf8();
        }
        let spaced = text[at..end].contains(' ');
        let enough = match first {
            '_' => dots >= 4,
            _ if spaced => dots >= 3,
            _ => dots >= 2,
        };
        if enough {
            best = Some((at, end));
        }
        i = end.max(at + first.len_utf8());
    }
    let (mut at, end) = best?;
    // A sentence's own stop before spaced dots belongs to the sentence only where a blank follows.
    at = text[..at].trim_end().len();
    Some((&text[..at], text[end..].trim_start_matches([' ', '.'])))
}

/// Takes a lead apart. `margin` is the indentation of its first line.
pub fn split(frags: &[Frag], margin: usize, context: &Context) -> Split {
    let mut out = Split::default();
    let mut open_leader = false;
    let piece = |f: &Frag, text: &str| Frag { text: text.trim().to_string(), ..f.clone() };
    for (i, frag) in frags.iter().enumerate() {
        let text = frag.text.as_str();
        let listed = out.body.last().is_some_and(|b| {
            let before = plain(&b.text);
            let last = before.trim_end().rsplit(' ').next().unwrap_or_default().to_lowercase();
            out.tail.is_empty()
                && (last.ends_with(',')
                    || ["and", "or", "&", "und", "oder"].contains(&last.as_str()))
        });
        let own = i > 0 && own_line(frag, margin, open_leader, context) && !out.body.is_empty();
        if own && !(listed && frag.indent < margin + 12) {
            match leader(text) {
                Some((left, right)) if left.is_empty() => out.tail.push(piece(frag, right)),
                _ => out.tail.push(frag.clone()),
            }
            open_leader = false;
            continue;
        }
        if let Some((left, right, dots)) = columns(text, context) {
            let goes_on = frags.get(i + 1).is_some_and(|n| !n.apart);
            let sensible = !right.is_empty()
                && (!dots || context.outcome_like(right) || i + 1 == frags.len())
                || (right.is_empty() && dots && (goes_on || i + 1 == frags.len()));
            if sensible {
                if !out.tail.is_empty() && !left.trim().is_empty() && sentence(&out.tail) {
                    out.rest.extend_from_slice(&frags[i..]);
                    break;
                }
                if !left.trim().is_empty() {
                    out.body.push(piece(frag, left));
                }
                if !right.trim().is_empty() {
                    out.tail.push(piece(frag, right));
                }
                open_leader = right.trim().is_empty();
                continue;
            }
        }
        if !out.tail.is_empty() {
            // Two columns that wrap: the left one may be the longer. Other text is a note.
            let low = plain(text).starts_with(|c: char| c.is_lowercase() || "(,;".contains(c));
            let open = out.body.last().is_none_or(|b| !plain(&b.text).ends_with(['.', ':']));
            let pointer = out.tail.iter().all(|t| context.pointer(&t.text).is_some());
            if !frag.apart
                && low
                && plain(&out.tail[out.tail.len() - 1].text).trim_end().ends_with([',', '(', '-'])
            {
                out.tail.push(frag.clone());
            } else if !frag.apart && (low || (open && !pointer)) && frag.indent < margin + 24 {
                out.body.push(frag.clone());
            } else {
                out.rest.extend_from_slice(&frags[i..]);
                break;
            }
            continue;
        }
        if open_leader {
            out.tail.push(frag.clone());
            open_leader = false;
            continue;
        }
        out.body.push(frag.clone());
    }
    if out.tail.is_empty() {
        inline(&mut out, context);
        out.inline = !out.tail.is_empty();
    }
    out.body.retain(|f| !f.text.is_empty());
    out
}

fn sentence(tail: &[Frag]) -> bool {
    tail.last().is_some_and(|t| plain(&t.text).trim_end().ends_with('.'))
}

/// Whether a line holds nothing but the outcome.
fn own_line(frag: &Frag, margin: usize, open_leader: bool, context: &Context) -> bool {
    let text = frag.text.as_str();
    if context.pointer(text).is_some_and(|p| context.has(&p) || frag.indent >= margin + 12) {
        // A wrapped line of running text can be a lone number only by mischance.
        return true;
    }
    if let Some((left, right)) = leader(text)
        && left.is_empty()
        && !right.is_empty()
    {
        return true;
    }
    let like = context.outcome_like(text);
    let right = frag.indent >= margin + 12 && like;
    let marked = is_emphasised(text) && like && frag.indent > margin;
    right || marked || (open_leader && like)
}

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
fn inline(out: &mut Split, context: &Context) {
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
        out.tail = vec![Frag { text: super::line::balanced(&lines.join(" ")), ..first }];
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
        let at = before.len() - len;
        if !low.ends_with("no.") || context.has(&p) {
            return Some((plain_to_marked(end, at), text.len(), false));
        }
    }
    if context.lettered && !token.chars().any(|c| c.is_ascii_digit()) {
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
    let bracketed = token.trim_matches([ON, OFF]).starts_with(['(', '['])
        && before.ends_with(['.', ';', ':', ')']);
    let figures = |w: &str| w.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let word = figures(before.rsplit([' ', '(']).next().unwrap_or_default());
    let not_pointer = [
        "p", "pp", "page", "pages", "s", "seite", "fig", "figs", "figure", "plate", "pl", "abb",
        "taf", "t", "about", "ca", "or", "and", "than", "nearly", "nr", "sect",
    ];
    if not_pointer.contains(&word.as_str()) || before.ends_with(['(', ',', '×', '=', '/']) {
        return None;
    }
    if (dashed && (!before.ends_with(|c: char| c.is_ascii_digit()))) || emphasised {
        let at =
            before.trim_end_matches(|c: char| c.is_whitespace() || "—–→⇒➔>-".contains(c)).len();
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
        let inner = super::name::strip_number(&inner).1;
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
        let bare = super::name::strip_remarks(&between);
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
        let (_, unnumbered) = super::name::strip_number(&plain(candidate));
        if !unnumbered.starts_with(|c: char| c.is_uppercase() || "×“\"".contains(c)) {
            continue;
        }
        let at = bare.len() - candidate.len();
        let capitals = shouted(&super::name::strip_remarks(&plain(
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
        return Some((at, text.len(), unsure));
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
    let text = super::name::strip_remarks(&tidy_blanks(text));
    let all: Vec<&str> = text.split(' ').collect();
    all.len() <= 6 && !all.iter().skip(1).any(|w| w.starts_with(|c: char| c.is_ascii_digit()))
}

fn after_first_word(text: &str) -> String {
    text.split_once(' ').map_or(String::new(), |(_, rest)| rest.to_string())
}
