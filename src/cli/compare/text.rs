//! A comparison as a person reads it, and the corrections as they are printed.

use std::collections::BTreeMap;
use std::io::Write;

use anyhow::Result;

use super::specimens::Held;
use crate::cli::Terminal;
use crate::cli::notebook::again;
use crate::cli::terminal::STRONG;
use crate::craft::compare::{
    Change, Comparison, Corrections, Done, Renumbered, Route, RouteChange, Subject, Sure, readings,
};
use crate::key::Key;
use crate::notebook::desk::{Again, Outcome as Came};
use crate::text::shown::shown;

/// So many taxa of one change of route are named.
const MOST_TAXA: usize = 8;

/// So many different ways are told of routes whose words alone are new.
const MOST_WAYS: usize = 20;

/// The parts of the text, and what each speaks of.
const PARTS: [(&str, &[Subject]); 4] = [
    ("Heading", &[Subject::Heading]),
    (
        "Characters and terms",
        &[Subject::Condition, Subject::Character, Subject::State, Subject::Term],
    ),
    ("Couplets", &[Subject::Key, Subject::Couplet, Subject::Lead, Subject::Outcome]),
    ("Taxa", &[Subject::Taxon, Subject::Account]),
];

pub fn print(a: &Key, b: &Key, c: &Comparison, terminal: &mut Terminal) -> Result<()> {
    writeln!(terminal, "{}", shown(&format!("Old  {}", about(a))))?;
    writeln!(terminal, "{}", shown(&format!("New  {}", about(b))))?;
    writeln!(terminal)?;
    if c.is_empty() {
        writeln!(terminal, "Nothing changed.")?;
        if a.source.text() != b.source.text() {
            line(terminal, "", "The files differ only in layout or comments.")?;
        }
        return Ok(());
    }
    for (heading, subjects) in PARTS {
        let of: Vec<&Change> = c.changes.iter().filter(|c| subjects.contains(&c.subject)).collect();
        if of.is_empty() {
            continue;
        }
        writeln!(terminal, "{STRONG}{heading}{STRONG:#}")?;
        for change in of {
            one(change, terminal)?;
        }
        writeln!(terminal)?;
    }
    if !c.renumbered.is_empty() {
        writeln!(terminal, "{STRONG}Numbered anew{STRONG:#}")?;
        line(terminal, "  ", &runs(&c.renumbered).join(", "))?;
        writeln!(terminal)?;
    }
    routes(&c.routes, terminal)?;
    summary(c, terminal)
}

fn about(key: &Key) -> String {
    let issue = key.heading.issue.as_ref().map(|i| format!(", issue {i}")).unwrap_or_default();
    format!("{}{issue}: {}", key.source.name(), key.heading.title)
}

fn line(terminal: &mut Terminal, indent: &str, text: &str) -> Result<()> {
    let text = shown(text);
    let deeper = format!("{indent}    ");
    let options = textwrap::Options::new(terminal.width)
        .initial_indent(indent)
        .subsequent_indent(if indent.is_empty() { "" } else { &deeper });
    for piece in textwrap::wrap(&text, options) {
        writeln!(terminal, "{piece}")?;
    }
    Ok(())
}

fn one(c: &Change, terminal: &mut Terminal) -> Result<()> {
    let kind = match c.subject {
        Subject::Heading | Subject::Taxon | Subject::Account | Subject::Key => "",
        Subject::Condition => "condition ",
        Subject::Character | Subject::State => "character ",
        Subject::Term => "term ",
        Subject::Couplet => "couplet ",
        Subject::Lead | Subject::Outcome => "lead ",
    };
    let now = c.new_name.as_ref().map(|n| format!(" (now {n})")).unwrap_or_default();
    let sure = match c.sure {
        Sure::Certain => "",
        // A couplet that kept its number is no riddle.
        Sure::Likely if c.new_name.is_none() && c.done == Done::Changed => "",
        Sure::Likely => " [likely]",
        Sure::Possible => " [perhaps; known by its place only]",
    };
    let (words, text) = said(c);
    let name = match c.subject {
        Subject::Heading if c.part.is_some() => String::new(),
        _ => format!("{kind}{}{now}: ", c.name),
    };
    line(terminal, "  ", &format!("{name}{words}{sure}"))?;
    for piece in text.iter().flat_map(|t| t.lines()) {
        line(terminal, "      ", piece)?;
    }
    Ok(())
}

/// A change in words, and what is set below it on lines of its own.
fn said(c: &Change) -> (String, Option<&str>) {
    let (was, now) = (c.was.as_deref().unwrap_or(""), c.now.as_deref().unwrap_or(""));
    let part = c.part.as_deref();
    let words = match (c.subject, c.done, part) {
        (Subject::State, Done::Added, _) => format!("state ‘{now}’ put in"),
        (Subject::State, Done::Dropped, _) => format!("state ‘{was}’ taken out"),
        (Subject::State, Done::Renamed, _) => format!("state ‘{was}’ is now ‘{now}’"),
        (_, Done::Renamed, _) => format!("renamed ‘{now}’"),
        (Subject::Outcome, ..) => match (was, now) {
            ("", now) => format!("led nowhere, leads to ‘{now}’"),
            (was, "") => format!("led to ‘{was}’, leads nowhere"),
            (was, now) if was == now => {
                format!("led to {was} of the old issue, leads to {now} of the new one")
            }
            _ => format!("led to ‘{was}’, leads to ‘{now}’"),
        },
        (Subject::Couplet | Subject::Lead, Done::Added, None) => {
            return ("put in".to_string(), Some(now));
        }
        (Subject::Couplet | Subject::Lead, Done::Dropped, None) => {
            return ("taken out".to_string(), Some(was));
        }
        (_, Done::Moved, part) => {
            format!("{}: was {was}, is {now}", part.unwrap_or("place"))
        }
        (_, Done::Added, None) => "new".to_string(),
        (_, Done::Dropped, None) => "taken out".to_string(),
        (_, Done::Added, Some(part)) => format!("{part} put in: ‘{now}’"),
        (_, Done::Dropped, Some(part)) => format!("{part} taken out: ‘{was}’"),
        (_, Done::Changed, None | Some("statement")) => readings(was, now).join("; "),
        (_, Done::Changed, Some(part)) => format!("{part}: {}", readings(was, now).join("; ")),
    };
    (words, None)
}

/// `13-20 → 14-21`: neighbours that moved by as much are told together.
fn runs(all: &[Renumbered]) -> Vec<String> {
    let parted = |name: &str| -> Option<(u64, String)> {
        let end = name.find(|c: char| !c.is_ascii_digit()).unwrap_or(name.len());
        Some((name[..end].parse().ok()?, name[end..].to_string()))
    };
    let mut out: Vec<String> = Vec::new();
    let mut run: Option<((u64, u64), (u64, u64), String, String)> = None;
    let close = |run: ((u64, u64), (u64, u64), String, String)| {
        let ((a, b), (x, y), of, now) = run;
        match a == b {
            true => format!("{a}{of} → {x}{now}"),
            false => format!("{a}–{b}{of} → {x}–{y}{now}"),
        }
    };
    for r in all {
        let (Some((o, of)), Some((n, now))) = (parted(&r.old), parted(&r.new)) else {
            out.push(format!("{} → {}", r.old, r.new));
            continue;
        };
        match &mut run {
            Some(((_, b), (_, y), head, head_now))
                if *b + 1 == o && *y + 1 == n && *head == of && *head_now == now =>
            {
                (*b, *y) = (o, n);
            }
            other => out.extend(other.replace(((o, o), (n, n), of, now)).map(close)),
        }
    }
    out.extend(run.map(close));
    out
}

fn routes(all: &[RouteChange], terminal: &mut Terminal) -> Result<()> {
    if all.is_empty() {
        return Ok(());
    }
    let mut of: BTreeMap<(Route, String), Vec<&RouteChange>> = BTreeMap::new();
    let mut order: Vec<(Route, String)> = Vec::new();
    for r in all {
        let key = (r.route, way(r));
        let group = of.entry(key.clone()).or_default();
        if group.is_empty() {
            order.push(key);
        }
        group.push(r);
    }
    // What sends plants another way comes before new words on the same way.
    order.sort_by_key(|(route, _)| match route {
        Route::Changed => 0,
        Route::Ended => 1,
        Route::Begun => 2,
        Route::Reworded => 3,
    });
    writeln!(terminal, "{STRONG}Routes{STRONG:#}")?;
    let mut told = 0;
    let (mut ways, mut taxa) = (0, 0);
    for key in order {
        let Some(group) = of.get(&key) else { continue };
        told += usize::from(key.0 == Route::Reworded);
        if told > MOST_WAYS {
            (ways, taxa) = (ways + 1, taxa + group.len());
            continue;
        }
        let names: Vec<&str> = group.iter().take(MOST_TAXA).map(|r| r.taxon.as_str()).collect();
        let more = group.len().saturating_sub(MOST_TAXA);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        line(terminal, "  ", &format!("{}: {}{more}", key.1, names.join(", ")))?;
    }
    if ways > 0 {
        let more = format!(
            "the same way, with new words, on {ways} more routes: {taxa} taxa (--json names them)"
        );
        line(terminal, "  ", &more)?;
    }
    writeln!(terminal)?;
    Ok(())
}

fn way(r: &RouteChange) -> String {
    let couplets = |all: &[String]| match all {
        [one] => format!("couplet {one}"),
        many => format!("couplets {}", many.join(", ")),
    };
    match r.route {
        Route::Ended => "no way leads there any more".to_string(),
        Route::Begun => "newly keyed out".to_string(),
        Route::Reworded => format!("the same way, with new words at {}", couplets(&r.reworded)),
        Route::Changed => {
            let mut said = String::from("another way");
            if !r.at.is_empty() {
                said.push_str(&format!(" at {}", couplets(&r.at)));
            }
            if !r.through.is_empty() {
                said.push_str(&format!(", through the new issue’s {}", couplets(&r.through)));
            }
            said
        }
    }
}

fn summary(c: &Comparison, terminal: &mut Terminal) -> Result<()> {
    let count = |subjects: &[Subject], done: Done| {
        c.changes.iter().filter(|c| subjects.contains(&c.subject) && c.done == done).count()
    };
    let reworded = c.changes.iter().filter(|c| c.subject == Subject::Lead && c.part.is_none());
    let reworded = reworded.filter(|c| c.done == Done::Changed).count();
    let other_way = c.routes.iter().filter(|r| r.route != Route::Reworded).count();
    let all = [
        (reworded, "lead reworded", "leads reworded"),
        (count(&[Subject::Outcome], Done::Changed), "lead leads elsewhere", "leads lead elsewhere"),
        (count(&[Subject::Couplet], Done::Added), "couplet put in", "couplets put in"),
        (count(&[Subject::Couplet], Done::Dropped), "couplet taken out", "couplets taken out"),
        (c.renumbered.len(), "couplet numbered anew", "couplets numbered anew"),
        (count(&[Subject::Taxon], Done::Added), "new taxon", "new taxa"),
        (count(&[Subject::Taxon], Done::Dropped), "taxon dropped", "taxa dropped"),
        (count(&[Subject::Taxon], Done::Renamed), "taxon renamed", "taxa renamed"),
        (other_way, "taxon with another route", "taxa with another route"),
    ];
    let said: Vec<String> = all
        .into_iter()
        .filter(|(n, ..)| *n > 0)
        .map(|(n, one, many)| format!("{n} {}", if n == 1 { one } else { many }))
        .collect();
    let n = c.changes.len();
    let changes = match (n, c.renumbered.is_empty()) {
        (0, _) => "Nothing changed but numbers".to_string(),
        (1, _) => "1 change".to_string(),
        (n, _) => format!("{n} changes"),
    };
    let behind = if said.is_empty() { String::new() } else { format!(": {}", said.join(", ")) };
    line(terminal, "", &format!("{changes}{behind}."))?;
    let m = c.couplets;
    if m.likely + m.possible > 0 {
        let all = [
            (m.certain, "by all their words"),
            (m.likely, "by most of them"),
            (m.possible, "by little but their place"),
        ];
        let known: Vec<String> =
            all.iter().filter(|(n, _)| *n > 0).map(|(n, how)| format!("{n} {how}")).collect();
        let known = known.join(", ");
        let words = format!("Known again of {} couplets of the old issue: {known}.", m.old);
        line(terminal, "", &words)?;
    }
    Ok(())
}

/// The corrections, ready to be printed.
pub fn corrections(a: &Key, b: &Key, all: &Corrections, terminal: &mut Terminal) -> Result<()> {
    if all.lines.is_empty() {
        line(terminal, "", "There is nothing to correct in print.")?;
    } else {
        let title = if a.heading.title.is_empty() { a.source.name() } else { &a.heading.title };
        writeln!(terminal, "{STRONG}Corrections to {}{STRONG:#}", shown(title))?;
        let issue = |key: &Key| key.heading.issue.clone();
        if let (Some(old), Some(new)) = (issue(a), issue(b))
            && old != new
        {
            line(terminal, "", &format!("Issue {old}; as it reads in issue {new}."))?;
        }
        if all.renumbered {
            line(
                terminal,
                "",
                "The numbers are those of the old issue; what is put in gets a number that is free there.",
            )?;
        }
        writeln!(terminal)?;
    }
    for correction in &all.lines {
        let mut pieces = correction.lines();
        line(terminal, "", pieces.next().unwrap_or(""))?;
        for piece in pieces {
            line(terminal, "    ", piece.trim_start())?;
        }
    }
    if all.not_printed > 0 {
        let n = all.not_printed;
        let words = if n == 1 { "1 change" } else { &format!("{n} changes") };
        terminal.say_beside(&format!("{words} of what is not printed left out.\n"))?;
    }
    Ok(())
}

/// Specimens that would now end elsewhere.
pub fn specimens(all: &[Held], terminal: &mut Terminal) -> Result<()> {
    writeln!(terminal)?;
    writeln!(terminal, "{STRONG}Specimens{STRONG:#}")?;
    for held in all {
        let name = match &held.id {
            Some(serde_json::Value::String(s)) => s.clone(),
            Some(other) => other.to_string(),
            None => format!("line {}", held.line),
        };
        if let Some(error) = &held.error {
            line(terminal, "  ", &format!("{name}: not read: {error}"))?;
        }
        for (by, both) in
            [("the couplets", &held.by_couplets), ("the characters", &held.by_characters)]
        {
            if let Some(both) = both.as_ref().filter(|b| !b.same) {
                let (was, now) = (&both.was, &both.now);
                line(terminal, "  ", &format!("{name}, by {by}: was {was}; now {now}"))?;
            }
        }
        for text in &held.unread {
            line(terminal, "  ", &format!("{name}: no sentence of the new issue: ‘{text}’"))?;
        }
    }
    let (moved, wrong) =
        (all.iter().filter(|h| !h.same).count(), all.iter().filter(|h| h.error.is_some()).count());
    let unread = if wrong > 0 { format!(", {wrong} not read") } else { String::new() };
    line(terminal, "", &format!("{moved} of {} specimens end elsewhere{unread}.", all.len()))
}

/// Names in a notebook that do not hold any more.
pub fn notebook(all: &[Again], terminal: &mut Terminal) -> Result<()> {
    writeln!(terminal)?;
    writeln!(terminal, "{STRONG}Names in the notebook{STRONG:#}")?;
    again::print(all, terminal)?;
    let work = all.iter().filter(|a| a.outcome != Came::Same).count();
    line(terminal, "", &format!("{} named with an older issue: {work} to look at.", all.len()))
}
