//! The pages that reason from what was seen: names ranked, the next question, what is missing,
//! the last check against an account.

use std::fmt::Write;

use super::paper::{Paper, plural};
use crate::key::{Character, ConditionId, Key, TaxonId};
use crate::sift::bits::Bits;
use crate::sift::report::{self, Options, Report};
use crate::sift::{
    Fit, Hidden, Judgement, Meta, Missing, Observation, Specimen, Standing, Table, Verdict, Want,
    before_pressing, describe, once, words,
};
use crate::text::language::Language;
use crate::walk::evidence::{Against, Contradiction};

/// Works everything out for a list of observations.
pub fn reckon(
    key: &Key,
    table: &Table,
    observations: &[Observation],
    specimen: &Specimen,
) -> Report {
    report::report(key, table, observations, specimen, &Options { most: 8, ..Options::default() })
}

/// What was seen, numbered as `withdraw` takes it.
pub fn seen(
    paper: &Paper,
    key: &Key,
    typed: &[crate::walk::evidence::Typed],
    taken: &[Observation],
    language: &Language,
) -> String {
    let mut out = String::new();
    let said: Vec<&Observation> = typed.iter().flat_map(|t| &t.observations).collect();
    let all: Vec<Observation> = said.into_iter().chain(taken).cloned().collect();
    let counted = once::counted(&all);
    let mut at = 0;
    let mut counts = || {
        let other = counted[at].map(|by| match &all[by].words {
            words if by < all.len() - taken.len() => format!("`{words}`"),
            words => words.clone(),
        });
        at += 1;
        other.map_or_else(String::new, |other| format!(" - counts once, with {other}"))
    };
    for t in typed {
        let told = |o: &Observation| format!("{}{}", condition_said(key, o, language), counts());
        let said: Vec<String> = t.observations.iter().map(told).collect();
        paper.hanging(&mut out, &format!("{:>3}. ", t.number), "     ", &said.join("; "), "");
    }
    if !taken.is_empty() {
        out.push_str("  From the leads taken:\n");
        for o in taken {
            let text = format!("{}{}", o.words, counts());
            paper.hanging(&mut out, "     ", "       ", &text, "");
        }
    }
    if out.is_empty() {
        let example = example(key, &[], language).unwrap_or_default();
        let _ = writeln!(out, "Nothing was observed yet. Type what you see, such as: {example}");
    }
    out
}

/// Something that can be typed of this key: a sentence of the leads in hand, else the first of
/// the key, with its first state.
pub fn example(
    key: &Key,
    leads: &[crate::key::couplet::Lead],
    language: &Language,
) -> Option<String> {
    let of_leads = leads.iter().flat_map(|l| l.statements()).map(|s| key.character(s.character));
    let all: Vec<&Character> = of_leads.chain(&key.characters).collect();
    let best = all.iter().find(|c| c.declared() > 0).or(all.first())?;
    Some(best.example(key.spoken(best, language)))
}

fn condition_said(key: &Key, o: &Observation, language: &Language) -> String {
    let doubt = if o.doubt == crate::sift::Doubt::Sure { "" } else { ", with doubt" };
    let condition = &key.condition(o.condition).name;
    if words::is_reworded(key, o, language) {
        let sentence = words::sentence(key, o, language);
        format!("{sentence} ({condition}{doubt}), typed as `{}`", o.words)
    } else {
        format!("{} ({condition}{doubt})", words::observation(key, o, language))
    }
}

/// What a typed text was taken as, in the key's own sentences, where they are other words.
pub fn taken_as(
    paper: &Paper,
    key: &Key,
    observations: &[Observation],
    language: &Language,
) -> String {
    let mut out = String::new();
    for o in observations.iter().filter(|o| words::is_reworded(key, o, language)) {
        let doubt = if o.doubt == crate::sift::Doubt::Sure { "" } else { ", with doubt" };
        let text = format!(
            "{} ({}{doubt})",
            words::sentence(key, o, language),
            key.condition(o.condition).name
        );
        paper.paragraph(&mut out, "Taken as: ", &text);
    }
    out
}

/// What was seen in two ways that cannot both be right, with what undoes either.
pub fn contradicting(
    paper: &Paper,
    key: &Key,
    list: &[Contradiction],
    language: &Language,
) -> String {
    let mut out = String::new();
    for c in list {
        let typed = format!("{}. {}", c.typed, words::sentence(key, &c.observed, language));
        let text = match c.against {
            Against::Step(n) => format!(
                "{typed} contradicts {}, which you took at step {n}; `step {n}` asks it again, `withdraw {}` takes what you typed back.",
                c.other.words, c.typed
            ),
            Against::Typed(n) => format!(
                "{typed} contradicts {n}. {}; `withdraw {n}` or `withdraw {}` takes one back. Leave both where the plant shows both.",
                words::sentence(key, &c.other, language),
                c.typed
            ),
        };
        paper.paragraph(&mut out, "", &text);
    }
    out
}

/// One line after an observation: how many taxa agree, and the verdict.
pub fn standing(paper: &Paper, r: &Report) -> String {
    let mut out = String::new();
    let agreeing = r.agreement.by_misfits.first().map_or(0, |l| l.count);
    // How many are left is said already.
    let standing = match r.verdict.verdict {
        Verdict::Open { left: 1 } => {
            "open, for if one thing was misread other names are likely too"
        }
        Verdict::Open { .. } => "open",
        _ => &r.verdict.words,
    };
    let text = format!(
        "{agreeing} of {} taxa {} with all that was seen. Standing: {standing}.",
        r.key.taxa,
        plural(agreeing, "agrees", "agree")
    );
    paper.paragraph(&mut out, "", &text);
    out
}

/// The names by probability, with what speaks for and against the first.
pub fn ranking(paper: &Paper, r: &Report) -> String {
    let mut out = standing(paper, r);
    paper.rule(&mut out, "Names by probability");
    for n in &r.ranking.names {
        let misfits = match n.misfits {
            Some(0) => "agrees".to_string(),
            Some(m) => format!("{m} {}", plural(m, "misfit", "misfits")),
            None => "more misfits".to_string(),
        };
        let _ = writeln!(out, "  {:>7}  {}  ({misfits})", report::percent(n.probability), n.taxon);
    }
    let _ = writeln!(out, "  {:>7}  none of these", report::percent(r.ranking.none_of_these));
    if r.ranking.others > 0.0 {
        let _ = writeln!(out, "  {:>7}  all others together", report::percent(r.ranking.others));
    }
    cautions(paper, &mut out, &r.cautions);
    if let Some(first) = r.explanations.first() {
        let _ = writeln!(out, "\n{}", first.taxon);
        judged(paper, &mut out, "for", &first.in_favour);
        judged(paper, &mut out, "AGAINST", &first.against);
        judged(paper, &mut out, "the account is silent on", &first.unknown);
        judged(paper, &mut out, "not compared", &first.not_compared);
    }
    let a = &r.ranking.assumptions;
    let assumed = format!(
        "Assumed: {:.0} % of readings are wrong; observations are independent; {:.0} % of plants are none of the key's taxa; common taxa are likelier where their accounts say so.",
        a.misreading * 100.0,
        a.none * 100.0
    );
    out.push('\n');
    paper.paragraph(&mut out, "", &assumed);
    out
}

/// What to beware of, a paragraph each.
pub fn cautions(paper: &Paper, out: &mut String, cautions: &[String]) {
    for caution in cautions {
        paper.paragraph(out, "CAUTION: ", caution);
    }
}

fn judged(paper: &Paper, out: &mut String, head: &str, list: &[Judgement]) {
    if list.is_empty() {
        return;
    }
    let _ = writeln!(out, "  {head}:");
    for j in list {
        paper.hanging(out, "    ", "      ", &judgement(j), "");
    }
}

/// `petals red: the account says ...; corrected for pressed ...`
fn judgement(j: &Judgement) -> String {
    let mut text = j.observed.clone();
    if let Some(account) = &j.account {
        let _ = write!(text, " - account: {account}");
    }
    if let Some(origin) = &j.origin {
        let _ = write!(text, " [{origin}]");
    }
    match j.fit {
        Fit::Exception => text.push_str(" - only as an exception"),
        Fit::DoesNotApply => text.push_str(" - does not apply to this taxon"),
        Fit::Open => text.push_str(" - allowed, not proved"),
        _ => {}
    }
    if let Some(c) = &j.correction {
        let _ = write!(
            text,
            " - corrected: {}{}",
            c.what,
            if c.decided { " (this decided it)" } else { "" }
        );
    }
    text
}

/// The best questions that this specimen can answer.
pub fn next(paper: &Paper, r: &Report) -> String {
    let mut out = String::new();
    let left = r.agreement.by_misfits.iter().map(|l| l.count).find(|n| *n > 0);
    if r.next.is_empty() && left == Some(1) {
        let text = "One taxon agrees with all that was seen: no look is needed to part it from others that agree. Compare its whole account.";
        paper.paragraph(&mut out, "", text);
        return out;
    }
    if r.next.is_empty() {
        let text = "Nothing that this specimen shows parts the names that are left; `missing` says what would.";
        paper.paragraph(&mut out, "", text);
        return out;
    }
    for q in r.next.iter().take(3) {
        let part = q.part.as_ref().map_or(String::new(), |p| format!(" ({p}; {})", q.tool));
        paper.hanging(&mut out, "  ", "    ", &format!("{}{part}", q.question), "");
        let answers: Vec<String> =
            q.answers.iter().map(|a| answer_left(&a.answer, a.left)).collect();
        paper.hanging(&mut out, "    ", "    ", &format!("{}.", answers.join("; ")), "");
    }
    let why = "First is the question that tells most for what it costs to look (tool, ease, part). A taxon that varies, or of which nothing is said, is left by several answers.";
    paper.paragraph(&mut out, "", why);
    out
}

/// `simple: 14 taxa left`
fn answer_left(answer: &str, left: usize) -> String {
    format!("{answer}: {left} {} left", plural(left, "taxon", "taxa"))
}

/// What the specimen lacks, and what to note before pressing.
pub fn lacking(
    paper: &Paper,
    key: &Key,
    table: &Table,
    m: &Missing,
    left: &Bits,
    observations: &[Observation],
) -> String {
    let mut out = String::new();
    let settled = match m.settles {
        Some(true) if left.count() == 1 => {
            "One name is left: nothing is missing to part it from others."
        }
        Some(true) => "What this specimen shows can part all names that are left.",
        Some(false) => "What this specimen shows cannot part all names that are left.",
        None => "Too many names are left to compare every pair; what would help most is listed.",
    };
    paper.paragraph(&mut out, "", settled);
    for group in m.together.iter().filter(|g| g.len() > 1).take(6) {
        let names: Vec<&str> =
            group.iter().map(|r| key.taxon(table.taxon(*r)).name.as_str()).collect();
        paper.hanging(&mut out, "  cannot be parted: ", "    ", &names.join(", "), "");
    }
    // Where every pair was compared, only what parts another is missing.
    let helps = |w: &&crate::sift::Wanted| m.settles.is_none() || w.pairs > 0;
    for w in m.wanted.iter().filter(helps).take(6) {
        let what = match &w.what {
            Want::Part { part } => format!("the {part}"),
            Want::Fresh { part } => format!("the {part}, fresh"),
            Want::Tool { tool } => format!("a {}", tool.word()),
        };
        let characters: Vec<&str> =
            w.characters.iter().take(5).map(|c| key.character(*c).name.as_str()).collect();
        let characters = match characters.as_slice() {
            [] => String::new(),
            some => format!(" ({})", some.join(", ")),
        };
        let pairs = if w.pairs > 0 {
            format!(", parts {} more {}", w.pairs, plural(w.pairs, "pair", "pairs"))
        } else {
            String::new()
        };
        paper.hanging(
            &mut out,
            "  would help: ",
            "    ",
            &format!("{what}{pairs}{characters}"),
            "",
        );
    }
    let notes = before_pressing(table, left, observations, ConditionId::PRESSED);
    if !notes.is_empty() {
        out.push_str("Before pressing, note:\n");
        for n in notes.iter().take(8) {
            let c = key.character(n.character);
            let why = if n.lost { "cannot be seen pressed" } else { "may look otherwise pressed" };
            paper.hanging(
                &mut out,
                "  ",
                "    ",
                &format!("{} - {why}", c.asked(key.heading.language)),
                "",
            );
        }
    }
    out
}

/// The whole account held against what was seen, statement by statement.
pub fn checked(
    paper: &Paper,
    key: &Key,
    table: &Table,
    observations: &[Observation],
    taxon: TaxonId,
) -> String {
    let mut out = String::new();
    let Some(row) = table.row(taxon) else { return out };
    let list = describe(key, table, observations, row);
    let count = |s: Standing| list.iter().filter(|c| c.standing == s).count();
    let counts = format!(
        "Held against the account of {}: {} agree, {} disagree, {} not seen, {} for you to compare.",
        key.taxon(taxon).name,
        count(Standing::Agrees),
        count(Standing::Disagrees),
        count(Standing::NotSeen),
        count(Standing::NotRead)
    );
    paper.paragraph(&mut out, "", &counts);
    const INDENT: &str = "             ";
    for c in &list {
        let mark = match c.standing {
            Standing::Agrees => "  agrees     ",
            Standing::Disagrees => "  DISAGREES  ",
            Standing::NotRead => "  compare    ",
            Standing::NotSeen => continue,
        };
        let against: Vec<String> = c
            .observations
            .iter()
            .filter(|_| c.standing == Standing::Disagrees)
            .map(|j| format!("you saw: {}", j.observed))
            .collect();
        let text = if against.is_empty() {
            c.statement.clone()
        } else {
            format!("{} - {}", c.statement, against.join("; "))
        };
        paper.hanging(&mut out, mark, INDENT, &text, "");
    }
    // One entry for all, or the name would run off the screen above them.
    let unseen: Vec<&str> = list
        .iter()
        .filter(|c| c.standing == Standing::NotSeen)
        .map(|c| c.statement.as_str())
        .collect();
    if !unseen.is_empty() {
        paper.hanging(&mut out, "  not seen   ", INDENT, &unseen.join("; "), "");
    }
    out
}

/// Why a part of a lead cannot be looked at on this specimen: all its characters are hidden.
pub fn hidden(key: &Key, specimen: &Specimen, part: &crate::key::Part) -> Option<String> {
    let mut why = None;
    for s in &part.statements {
        let meta = Meta::of(key.character(s.character));
        why = Some(specimen.hides(&meta)?).map(|h| (h, s.character));
    }
    let (hidden, character) = why?;
    let c = key.character(character);
    Some(match hidden {
        Hidden::PartMissing => {
            format!("not on this specimen: {}", c.part.as_deref().unwrap_or("the part"))
        }
        Hidden::LostInCondition => {
            format!("cannot be seen {}", key.condition(specimen.condition).name)
        }
        Hidden::ToolMissing => format!("needs a {}", c.tool.word()),
    })
}
