//! The session's pages as text: a couplet, the trail, an end, an account, a term, help.

use std::fmt::Write;

use crate::cli::paper::{Paper, months_in_words, plural};
use crate::key::{Key, TaxonId};
use crate::text::language::Language;
use crate::walk::report::{Asked, Offered, Reached, Taken};
use crate::walk::{End, Walk};

use super::said::WORDS;

/// The head of a session: the key, its scope, what to beware of.
pub fn opening(paper: &Paper, key: &Key, taxa: usize) -> String {
    let h = &key.heading;
    let mut out = String::new();
    paper.title(&mut out, &h.title);
    let facts: Vec<String> = [
        h.place.as_ref().map(|p| format!("for {p}")),
        h.season.as_ref().map(|s| format!("season: {s}")),
        h.issue.as_ref().map(|i| format!("issue {i}")),
        (!h.by.is_empty()).then(|| format!("by {}", h.by.join("; "))),
        Some(format!("{taxa} taxa")),
    ]
    .into_iter()
    .flatten()
    .collect();
    paper.paragraph(&mut out, "", &facts.join(" · "));
    for remark in &h.remarks {
        paper.paragraph(&mut out, "Remark: ", remark);
    }
    for caution in &h.cautions {
        paper.paragraph(&mut out, "CAUTION: ", caution);
    }
    paper.paragraph(&mut out, "", "A key can only name what is in it.");
    out.push('\n');
    out
}

/// A couplet with its leads, each statement on a line of its own.
pub fn couplet(
    paper: &Paper,
    asked: &Asked,
    possible: usize,
    waiting: usize,
    marks: &dyn Fn(usize, usize) -> Option<String>,
) -> String {
    let mut out = String::new();
    let mut head = format!("Step {} · couplet {}", asked.step, asked.couplet);
    if asked.key != "key" {
        let _ = write!(head, " · {}", asked.key);
    }
    let _ = write!(head, " · {possible} {} possible", plural(possible, "taxon", "taxa"));
    if waiting > 0 {
        let _ = write!(head, " · {waiting} more {} waiting", plural(waiting, "branch", "branches"));
    }
    paper.rule(&mut out, &head);
    for (i, lead) in asked.leads.iter().enumerate() {
        offered(paper, &mut out, lead, &|part| marks(i, part));
        out.push('\n');
    }
    out
}

fn offered(
    paper: &Paper,
    out: &mut String,
    lead: &Offered,
    mark: &dyn Fn(usize) -> Option<String>,
) {
    let behind = format!("{} {}", lead.taxa, plural(lead.taxa, "taxon", "taxa"));
    for (i, statement) in lead.statements.iter().enumerate() {
        let (said, remarks) = apart(statement);
        let said = if said.is_empty() { statement.clone() } else { capital(&said) };
        let first = if i == 0 {
            format!("  {}  ", paper.strong(&lead.letter))
        } else {
            "     ".to_string()
        };
        let dot = if lead.statements.len() > 1 { "· " } else { "" };
        let indent = format!("     {}", " ".repeat(dot.chars().count()));
        let end = if i == 0 { behind.as_str() } else { "" };
        paper.hanging(out, &format!("{first}{dot}"), &indent, &said, end);
        for remark in remarks {
            paper.hanging(
                out,
                &format!("{indent}("),
                &format!("{indent} "),
                &format!("{remark})"),
                "",
            );
        }
        if let Some(mark) = mark(i) {
            paper.hanging(out, &format!("{indent}[{mark}]"), &indent, "", "");
        }
    }
    for remark in &lead.remarks {
        paper.hanging(out, "     remark: ", "       ", remark, "");
    }
    for picture in &lead.pictures {
        paper.hanging(out, "     picture: ", "       ", picture, "");
    }
}

/// A statement without its remarks in parentheses, and the remarks. Only whole parentheses that
/// touch no figure are remarks.
pub fn apart(statement: &str) -> (String, Vec<String>) {
    let mut said = String::new();
    let mut remarks = Vec::new();
    let mut rest = statement;
    while let Some(open) = rest.find('(') {
        let close = rest[open..].find(')').map(|c| open + c);
        let touches = |s: Option<char>| s.is_some_and(|c| c.is_ascii_digit());
        match close {
            Some(close)
                if !touches(rest[..open].chars().next_back())
                    && !touches(rest[close + 1..].chars().next()) =>
            {
                said.push_str(rest[..open].trim_end());
                remarks.push(rest[open + 1..close].trim().to_string());
                rest = &rest[close + 1..];
            }
            Some(close) => {
                said.push_str(&rest[..=close]);
                rest = &rest[close + 1..];
            }
            None => break,
        }
    }
    said.push_str(rest);
    (said.trim().to_string(), remarks)
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// The line under a couplet that says what can be done; `example` can be typed of this key.
pub fn doors(paper: &Paper, leads: &[char], terminal: bool, example: Option<&str>) -> String {
    let letters: Vec<String> = leads.iter().map(char::to_string).collect();
    let enter = if terminal { "" } else { ", each with Enter" };
    let type_it = example.map_or_else(String::new, |e| format!(" · or type what you see: {e}"));
    let text = format!(
        "{} fits{enter} · * either · ? cannot tell · - back · help · quit{type_it}",
        letters.join(" or ")
    );
    let mut out = String::new();
    paper.paragraph(&mut out, "", &text);
    out
}

/// The steps so far.
pub fn trail(paper: &Paper, steps: &[Taken]) -> String {
    let mut out = String::new();
    if steps.is_empty() {
        out.push_str("Nothing was answered yet.\n");
    }
    for (i, step) in steps.iter().enumerate() {
        let how = match step.how {
            "either" => " [either]",
            "cannot-tell" => " [cannot tell]",
            "by-pointer" => " [by the key's pointer]",
            _ => "",
        };
        paper.hanging(
            &mut out,
            &format!("{:>3}. {}{how}  ", i + 1, step.lead),
            "       ",
            &step.statements.join("; "),
            "",
        );
    }
    out
}

/// One end of a route.
pub fn end(paper: &Paper, walk: &Walk<'_>, end: &End, language: &Language, held: &str) -> String {
    let mut out = String::new();
    let reached = walk.reached(end, language);
    let (head, taxa) = match &end.ending {
        crate::walk::Ending::Taxa { key, taxa } => {
            let key = &walk.library.keys[*key];
            let names: Vec<String> = taxa.iter().map(|t| named(key, *t, language)).collect();
            (names.join("\n   or "), Some((key, taxa)))
        }
        crate::walk::Ending::Stop(reason) => (format!("The key stops here: {reason}"), None),
        crate::walk::Ending::Nowhere => {
            ("This lead goes nowhere: a fault of the key (`hilum check` tells it).".into(), None)
        }
        crate::walk::Ending::NotAtHand { key, file } => (
            format!("The way goes on in {file} ({key}), which is not at hand: name that file too."),
            None,
        ),
        crate::walk::Ending::Circle(_) => {
            ("The route comes back to a couplet it has passed: a fault of the key.".into(), None)
        }
    };
    paper.rule(&mut out, if taxa.is_some() { "Result" } else { "No name" });
    for line in head.lines() {
        let _ = writeln!(out, "  {}", paper.strong(line));
    }
    out.push('\n');
    for caution in &reached.cautions {
        paper.paragraph(&mut out, "CAUTION: ", caution);
    }
    out.push_str("\nThe way here:\n");
    out.push_str(&trail(paper, &reached.route));
    uncertain(paper, &mut out, &reached);
    if let Some((key, taxa)) = taxa {
        for &taxon in taxa {
            out.push('\n');
            out.push_str(&account(paper, key, taxon, language));
        }
        out.push('\n');
        out.push_str(held);
        // The page may be longer than the screen: what it came to stands at its end as well.
        for line in head.lines() {
            let _ = writeln!(out, "Result: {}", paper.strong(line.trim_start()));
        }
        paper.paragraph(
            &mut out,
            "",
            "A key only proves what a plant is not. Compare the whole account above, and a named specimen or a specialist, before the name is used.",
        );
    }
    out
}

fn uncertain(paper: &Paper, out: &mut String, reached: &Reached) {
    let unsure: Vec<String> = reached
        .route
        .iter()
        .enumerate()
        .filter(|(_, s)| matches!(s.how, "either" | "cannot-tell"))
        .map(|(i, _)| (i + 1).to_string())
        .collect();
    let text = match unsure.len() {
        0 => "Every step was answered with one lead.".to_string(),
        1 => format!("Not certain: step {}.", unsure[0]),
        _ => format!("Not certain: steps {}.", unsure.join(", ")),
    };
    paper.paragraph(out, "", &text);
}

/// A taxon's names, common ones included.
pub fn named(key: &Key, id: TaxonId, language: &Language) -> String {
    let t = key.taxon(id);
    let own = language.code == key.heading.language.code;
    let called: Vec<&str> = t
        .called
        .iter()
        .filter(|(code, _)| code.map_or(own, |c| c == language.code))
        .map(|(_, n)| n.as_str())
        .collect();
    let mut out = t.full_name();
    if !called.is_empty() {
        let _ = write!(out, " ({})", called.join(", "));
    }
    if let Some(f) = &t.family {
        let _ = write!(out, ", {f}");
    }
    out
}

/// All that the key says of a taxon, what it inherits included.
pub fn account(paper: &Paper, key: &Key, id: TaxonId, language: &Language) -> String {
    let mut out = String::new();
    let t = key.taxon(id);
    let _ = writeln!(out, "{}", paper.strong(&named(key, id, language)));
    if !t.has_account {
        out.push_str("  The key has no account of it: compare a description elsewhere.\n");
        return out;
    }
    let mut line = |word: &str, value: &str| {
        if !value.is_empty() {
            paper.hanging(&mut out, &format!("  {word}: "), "    ", value, "");
        }
    };
    line("synonyms", &t.synonyms.join("; "));
    line("found", &t.found.join("; "));
    line("flowers", &months_in_words(&t.flowers));
    line("fruits", &months_in_words(&t.fruits));
    for c in &t.cautions {
        line("CAUTION", c);
    }
    for r in &t.remarks {
        line("remark", r);
    }
    let mut from = Vec::new();
    for (source, s) in key.statements_of(id) {
        match from.last_mut() {
            Some((at, list)) if *at == source => {
                let list: &mut Vec<String> = list;
                list.push(key.say(s, language));
            }
            _ => from.push((source, vec![key.say(s, language)])),
        }
    }
    for (source, said) in from {
        let text = format!("{}.", said.join("; "));
        if source == id {
            paper.hanging(&mut out, "  ", "  ", &text, "");
        } else {
            paper.hanging(
                &mut out,
                &format!("  From {}: ", key.taxon(source).name),
                "    ",
                &text,
                "",
            );
        }
    }
    let prose: Vec<String> = t
        .parts
        .iter()
        .filter_map(|p| p.prose)
        .map(|s| {
            crate::text::shown::shown(key.source.slice(s))
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    if !prose.is_empty() {
        paper.hanging(&mut out, "  Also: ", "    ", &format!("{}.", prose.join("; ")), "");
    }
    for p in &t.pictures {
        paper.hanging(&mut out, "  picture: ", "    ", &p.in_words(), "");
    }
    out
}

/// What a word means: the glossary, then the states and characters that the key explains.
pub fn term(paper: &Paper, key: &Key, word: &str) -> String {
    let low = crate::text::language::fold(word);
    let same = |w: &str| crate::text::language::fold(w) == low;
    let mut out = String::new();
    for t in key.terms.iter().filter(|t| same(&t.word) || t.also.iter().any(|a| same(a))) {
        paper.hanging(&mut out, &format!("{}: ", t.word), "  ", &t.definition, "");
        for p in &t.pictures {
            paper.hanging(&mut out, "  picture: ", "    ", &p.in_words(), "");
        }
    }
    for c in &key.characters {
        if let Some(means) = c.means.as_ref().filter(|_| same(&c.name)) {
            paper.hanging(&mut out, &format!("{}: ", c.name), "  ", means, "");
        }
        for s in c.states().iter().filter(|s| same(&s.word) || s.also.iter().any(|a| same(a))) {
            let means = s.means.as_deref().unwrap_or("a state that the key does not explain");
            paper.hanging(&mut out, &format!("{} ({}): ", s.word, c.sentence), "  ", means, "");
            for p in &s.pictures {
                paper.hanging(&mut out, "  picture: ", "    ", &p.in_words(), "");
            }
        }
    }
    if out.is_empty() {
        let known: Vec<&str> = key.terms.iter().map(|t| t.word.as_str()).collect();
        let hint = if known.is_empty() {
            "it has no glossary".into()
        } else {
            format!("it explains: {}", known.join(", "))
        };
        paper.paragraph(&mut out, "", &format!("The key does not explain `{word}`; {hint}."));
    }
    out
}

/// The list of commands.
pub fn help(paper: &Paper) -> String {
    let mut out = String::new();
    paper.rule(&mut out, "What you can type");
    for (word, does) in WORDS {
        paper.hanging(&mut out, &format!("  {word:<14}"), &" ".repeat(16), does, "");
    }
    out
}
