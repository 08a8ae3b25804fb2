//! The corrections that a printed issue needs: `Couplet 12, second lead: for ‘x’ read ‘y’`.

use std::ops::Range;

use serde::Serialize;

use crate::key::{CoupletId, Key, LeadId, SubkeyId};

use super::numbers::Numbers;
use super::{Change, Comparison, Done, Subject};

/// Corrections for print, in the order of the page.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Corrections {
    pub lines: Vec<String>,
    /// The new issue numbers its couplets otherwise; the lines keep to the old numbers.
    pub renumbered: bool,
    /// Changes that the reader of a printed page does not meet: declarations of characters, answers
    /// to findings, the language and the like.
    pub not_printed: usize,
}

/// Properties of the heading, and of leads and accounts, that are no part of a printed page.
const NOT_PRINTED: [&str; 7] =
    ["intended", "profile", "uses", "language", "issue", "described", "under"];

/// Two corrections so few words apart are one.
const NEAR: usize = 2;
/// More corrections of one text than these are one: the text anew.
const MANY: usize = 3;
/// So short a text is told whole.
const SHORT: usize = 3;

/// The corrections that turn the old issue into the new one, all in numbers of the old issue.
pub fn corrections(old: &Key, new: &Key, comparison: &Comparison) -> Corrections {
    let mut out =
        Corrections { renumbered: !comparison.renumbered.is_empty(), ..Corrections::default() };
    let numbers = Numbers::of(old, new, comparison);
    for change in &comparison.changes {
        match correction(old, new, &numbers, change) {
            lines if lines.is_empty() => out.not_printed += 1,
            lines => out.lines.extend(lines),
        }
    }
    out
}

fn correction(old: &Key, new: &Key, numbers: &Numbers, c: &Change) -> Vec<String> {
    let (was, now) = (c.was.as_deref().unwrap_or(""), c.now.as_deref().unwrap_or(""));
    let part = c.part.as_deref().unwrap_or("");
    if NOT_PRINTED.contains(&part) {
        return Vec::new();
    }
    let at = |place: &str| -> Vec<String> {
        readings(was, now).into_iter().map(|r| format!("{place}: {r}.")).collect()
    };
    match (c.subject, c.done) {
        (Subject::Condition | Subject::Character | Subject::State, _) => Vec::new(),
        (Subject::Heading, _) => at(if part.is_empty() { "Title" } else { part_of_heading(part) }),
        (Subject::Term, Done::Added) => vec![format!("Glossary: put in ‘{}: {now}’.", c.name)],
        (Subject::Term, Done::Dropped) => vec![format!("Glossary: strike out ‘{}’.", c.name)],
        (Subject::Term, _) => at(&format!("Glossary, ‘{}’", c.name)),
        (Subject::Key, Done::Added) => vec![format!("Put in the new {now}.")],
        (Subject::Key, Done::Dropped) => vec![format!("Strike out the {was}.")],
        (Subject::Key, Done::Renamed) => vec![format!("For ‘{was}’ read throughout ‘{now}’.")],
        (Subject::Key, _) => at(&format!("Heading of the {}", c.name)),
        (Subject::Couplet, Done::Added) => {
            let Some(id) = c.new.map(|l| l.couplet) else { return Vec::new() };
            let leads = 0..new.couplet(id).leads.len() as u16;
            let lines = leads.map(|index| numbers.printed(LeadId { couplet: id, index }));
            let of = of_key(new, id);
            let text = indented(&lines.collect::<Vec<_>>().join("\n"));
            vec![format!("Put in couplet {}{of}:\n{text}", numbers.couplet(id))]
        }
        (Subject::Couplet, Done::Dropped) => vec![format!("Couplet {}: strike it out.", c.name)],
        (Subject::Couplet, _) => {
            vec![format!("Couplet {}: for the {part} {was} read {now}.", c.name)]
        }
        (Subject::Lead, Done::Added) if part.is_empty() => {
            let Some(lead) = c.new else { return Vec::new() };
            let couplet = numbers.couplet(lead.couplet);
            let of = of_key(new, lead.couplet);
            vec![format!("Couplet {couplet}{of}: put in\n{}", indented(&numbers.printed(lead)))]
        }
        (Subject::Lead, Done::Dropped) if part.is_empty() => {
            vec![format!("{}: strike it out.", lead_place(old, c))]
        }
        (Subject::Lead, _) if part.is_empty() => at(&lead_place(old, c)),
        (Subject::Lead, _) => at(&format!("{}, {part}", lead_place(old, c))),
        (Subject::Outcome, _) => {
            let read = c.new.map_or(now.to_string(), |lead| numbers.outcome(lead));
            let (was, read) = (outcome(was), outcome(&read));
            vec![format!("{}: for {was} read {read}.", lead_place(old, c))]
        }
        (Subject::Taxon, Done::Renamed) => vec![format!("For ‘{was}’ read throughout ‘{now}’.")],
        (Subject::Taxon, Done::Added) => vec![format!("Taxa: put in ‘{now}’.")],
        (Subject::Taxon, Done::Dropped) => vec![format!("Taxa: strike out ‘{was}’.")],
        (Subject::Taxon, _) => at(&c.name),
        (Subject::Account, Done::Added) if part.is_empty() => {
            vec![format!("Taxa, {}: put in ‘{now}’.", c.name)]
        }
        (Subject::Account, Done::Dropped) if part.is_empty() => {
            vec![format!("Taxa, {}: strike out the account.", c.name)]
        }
        (Subject::Account, _) if part == "statement" => at(&format!("Taxa, {}", c.name)),
        (Subject::Account, _) => at(&format!("Taxa, {}, {part}", c.name)),
    }
}

fn part_of_heading(part: &str) -> &str {
    match part {
        "by" => "Heading, authors",
        _ => "Heading",
    }
}

fn outcome(words: &str) -> String {
    if words.is_empty() { "no outcome".to_string() } else { format!("‘{words}’") }
}

fn indented(text: &str) -> String {
    text.lines().map(|l| format!("    {l}")).collect::<Vec<_>>().join("\n")
}

/// The key that a couplet stands in, where it is not the file's first.
fn of_key(key: &Key, couplet: CoupletId) -> String {
    match key.couplet(couplet).subkey {
        SubkeyId(0) => String::new(),
        id => format!(" of the {}", key.subkey(id).head.trim()),
    }
}

/// `Couplet 12, second lead`
fn lead_place(old: &Key, c: &Change) -> String {
    const PLACES: [&str; 8] =
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"];
    let Some(LeadId { couplet: id, index }) = c.old else { return format!("Lead {}", c.name) };
    let of = of_key(old, id);
    let number = old.couplet(id).name();
    match PLACES.get(usize::from(index)) {
        Some(place) => format!("Couplet {number}{of}, {place} lead"),
        None => format!("Couplet {number}{of}, lead {}", index + 1),
    }
}

/// What a reader must do to make one text of the other, with as few words as are met only once:
/// `for ‘x’ read ‘y’`, `after ‘x’ put in ‘y’`, `strike out ‘x’`.
pub fn readings(was: &str, now: &str) -> Vec<String> {
    let old: Vec<&str> = was.split_whitespace().collect();
    let new: Vec<&str> = now.split_whitespace().collect();
    if old == new {
        return Vec::new();
    }
    if old.is_empty() {
        return vec![format!("put in ‘{}’", new.join(" "))];
    }
    if new.is_empty() {
        return vec![format!("strike out ‘{}’", old.join(" "))];
    }
    let mut groups = groups(&old, &new);
    let whole = old.join(" ");
    let mut found = true;
    for (from, to) in &mut groups {
        found &= widen(&whole, &old, &new, from, to);
    }
    let touched: usize = groups.iter().map(|(from, _)| from.len()).sum();
    let overlap = groups.windows(2).any(|w| w[0].0.end > w[1].0.start);
    if !found || old.len() <= SHORT || groups.len() > MANY || overlap || touched * 3 > old.len() * 2
    {
        return vec![format!("for ‘{}’ read ‘{}’", old.join(" "), new.join(" "))];
    }
    groups.into_iter().map(|(from, to)| said(&old, &new, &from, &to)).collect()
}

type Group = (Range<usize>, Range<usize>);

fn groups(old: &[&str], new: &[&str]) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    for piece in super::words::pieces(old, new).into_iter().filter(|p| !p.same) {
        let (from, to) = (piece.old, piece.new);
        match out.last_mut() {
            Some((f, t)) if from.start <= f.end + NEAR => {
                f.end = from.end;
                t.end = to.end;
            }
            _ => out.push((from, to)),
        }
    }
    out
}

// A place must be found by its words: what is put in is held by the word before it, and what is met
// more than once, as it is printed, gets words around it. False where there are none to be had.
fn widen(
    whole: &str,
    old: &[&str],
    new: &[&str],
    from: &mut Range<usize>,
    to: &mut Range<usize>,
) -> bool {
    for turn in 0..2 * old.len() + 2 {
        if from.start < from.end && is_once(whole, &old[from.clone()].join(" ")) {
            return true;
        }
        let left = from.start > 0 && to.start > 0 && old[from.start - 1] == new[to.start - 1];
        let right = from.end < old.len() && to.end < new.len() && old[from.end] == new[to.end];
        match (left, right) {
            (true, r) if turn % 2 == 0 || !r => {
                from.start -= 1;
                to.start -= 1;
            }
            (_, true) => {
                from.end += 1;
                to.end += 1;
            }
            _ => return false,
        }
    }
    false
}

/// Whether words stand in a text at one place only, be it within other words.
fn is_once(whole: &str, words: &str) -> bool {
    let mut at = 0;
    let mut count = 0;
    while let Some(i) = whole[at..].find(words) {
        count += 1;
        // The next may begin within this one.
        at += i + whole[at + i..].chars().next().map_or(1, char::len_utf8);
    }
    count == 1
}

fn said(old: &[&str], new: &[&str], from: &Range<usize>, to: &Range<usize>) -> String {
    let (was, now) = (&old[from.clone()], &new[to.clone()]);
    if now.is_empty() {
        return format!("strike out ‘{}’", was.join(" "));
    }
    if let Some(more) = now.strip_prefix(was).filter(|_| !was.is_empty()) {
        return format!("after ‘{}’ put in ‘{}’", was.join(" "), more.join(" "));
    }
    let (mut was, mut now) = (was.join(" "), now.join(" "));
    // A mark that both end in says nothing, unless the words are not found without it.
    let whole = old.join(" ");
    if let Some(mark) = was.chars().last().filter(|c| ";,.:".contains(*c) && now.ends_with(*c)) {
        let short = was.trim_end_matches(mark);
        if !short.is_empty() && is_once(&whole, short) {
            was.truncate(short.len());
            now.truncate(now.trim_end_matches(mark).len());
        }
    }
    format!("for ‘{was}’ read ‘{now}’")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(was: &str, now: &str) -> String {
        readings(was, now).join("; ")
    }

    #[test]
    fn a_reading_is_as_short_as_it_can_be_and_met_only_once() {
        let was = "Petals red; leaves entire; stem red below the flowers";
        let to = |now: &str| one(was, now);
        assert_eq!(
            to("Petals red; leaves toothed; stem red below the flowers"),
            "for ‘entire’ read ‘toothed’"
        );
        assert_eq!(
            to("Petals red; leaves entire; stem green below the flowers"),
            "for ‘stem red’ read ‘stem green’",
            "the petals are red as well"
        );
        assert_eq!(
            to("Petals red; leaves entire; stem red below the white flowers"),
            "after ‘the’ put in ‘white’"
        );
        assert_eq!(to("Petals red; leaves entire; stem red"), "strike out ‘below the flowers’");
        assert_eq!(one("a b a b a", "a b a c a"), "for ‘a b a b a’ read ‘a b a c a’");
        assert_eq!(one("x", ""), "strike out ‘x’");
        assert_eq!(one("", "x"), "put in ‘x’");
        assert!(readings("a  b", "a b").is_empty());
    }
}
