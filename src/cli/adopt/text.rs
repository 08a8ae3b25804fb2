//! The report of `adopt` as text.

use std::fmt::Write;

use indexmap::IndexMap;

use crate::cli::paper::Paper;
use crate::craft::adopt::characters::{Proposal, Readable};
use crate::craft::adopt::report::{Counts, Report};
use crate::text::finding::Severity;
use crate::text::shown::shown;

use super::Terminal;

/// Repairs and pieces left out that are shown without `--all`.
const FEW: usize = 12;

pub(super) fn report(
    report: &Report,
    offered: &[Proposal],
    readable: Readable,
    written: Option<&str>,
    (taken, all): (bool, bool),
    terminal: &Terminal,
) -> String {
    let paper = Paper { width: terminal.width, colour: terminal.colour };
    let mut out = String::new();
    let unit = report.kind.counts();
    match written {
        Some(file) => paper.title(&mut out, &format!("{} became {file}", report.manuscript)),
        None => paper.title(&mut out, &report.manuscript),
    }
    paper.hanging(&mut out, "  found    ", "           ", &counts(&report.counts), "");
    let by = if report.layout.asked_for { "as you said" } else { "recognised" };
    let layout = format!("{}: {} ({by})", report.layout.name, report.layout.told);
    paper.hanging(&mut out, "  layout   ", "           ", &layout, "");
    paper.hanging(&mut out, "  because  ", "           ", &report.layout.why.join("; "), "");
    let mut sure = format!("explains the text to {:.2} of 1", report.layout.score.whole);
    if let Some((name, value)) = report.layout.runner_up {
        let _ = write!(sure, "; next is {name} with {value:.2}");
    }
    paper.hanging(&mut out, "  sure     ", "           ", &sure, "");
    let words = report.words;
    let told = format!(
        "{} in the manuscript, {} in the key, {} left out, {} unaccounted for",
        words.manuscript, words.in_key, words.left_out, words.unaccounted
    );
    paper.hanging(&mut out, "  words    ", "           ", &told, "");
    if report.language != "en" || report.encoding != "UTF-8" {
        let told = format!("language {}, encoding {}", report.language, report.encoding);
        paper.hanging(&mut out, "  text     ", "           ", &told, "");
    }
    for question in &report.questions {
        paper.rule(&mut out, "open");
        let answers = if question.answers.is_empty() {
            String::new()
        } else {
            format!(" ({})", question.answers.join(" or "))
        };
        paper.paragraph(
            &mut out,
            "",
            &format!("{}{answers}. Say it with --{}.", question.what, question.about),
        );
    }
    let open: Vec<_> =
        report.faults.iter().filter(|f| all || f.severity > Severity::Note).collect();
    if !open.is_empty() {
        paper.rule(&mut out, "faults of the manuscript");
        for fault in open {
            let first = format!("{unit} {}: {}: ", fault.line, fault.severity.word());
            let text =
                format!("{}. {} {}", fault.what.trim_end_matches('.'), fault.why, fault.remedy);
            paper.hanging(
                &mut out,
                &first,
                "    ",
                &text.split_whitespace().collect::<Vec<_>>().join(" "),
                "",
            );
        }
    }
    if !report.repairs.is_empty() {
        paper.rule(&mut out, "repairs and readings");
        let shown_few = if all { report.repairs.len() } else { FEW };
        for repair in report.repairs.iter().take(shown_few) {
            paper.hanging(&mut out, &format!("{unit} {}: ", repair.line), "    ", &repair.what, "");
        }
        more(&mut out, report.repairs.len().saturating_sub(shown_few));
    }
    if !report.left_out.is_empty() {
        paper.rule(&mut out, "left out");
        // What comes again and again is told once.
        let mut told: IndexMap<(&str, &str), (u32, usize)> = IndexMap::new();
        for left in &report.left_out {
            told.entry((&left.text, left.why)).or_insert((left.line, 0)).1 += 1;
        }
        let shown_few = if all { told.len() } else { FEW };
        for ((text, why), (line, times)) in told.iter().take(shown_few) {
            let place = if *line == 0 { String::new() } else { format!("{unit} {line}: ") };
            let often = if *times > 1 { format!("; {times} times") } else { String::new() };
            paper.hanging(&mut out, &place, "    ", &format!("{text} ({why}{often})"), "");
        }
        more(&mut out, told.len().saturating_sub(shown_few));
    }
    if !offered.is_empty() {
        paper.rule(&mut out, "characters");
        let told = if taken {
            let count = offered.iter().filter(|p| p.accept).count();
            format!(
                "{count} of {} proposed characters taken; with them {} of {} statements can be read ({} without).",
                offered.len(),
                readable.read_after,
                readable.statements,
                readable.read_before
            )
        } else {
            format!(
                "The leads suggest {}; with them {} of {} statements can be read ({} without). See \
                 them one by one with --characters, or write them to a file with --propose.",
                if offered.len() == 1 {
                    "1 character".into()
                } else {
                    format!("{} characters", offered.len())
                },
                readable.read_after,
                readable.statements,
                readable.read_before
            )
        };
        paper.paragraph(&mut out, "", &told);
    }
    out
}

fn more(out: &mut String, count: usize) {
    if count > 0 {
        let _ = writeln!(out, "{}", shown(&format!("... and {count} more; --all shows them")));
    }
}

fn counts(c: &Counts) -> String {
    let mut parts = vec![
        number(c.keys, "key", "keys"),
        number(c.couplets, "couplet", "couplets"),
        number(c.leads, "lead", "leads"),
        number(c.endpoints, "lead with a name", "leads with a name"),
        number(c.names, "name", "different names"),
        format!("depth {}", c.depth),
    ];
    if c.polytomies > 0 {
        parts.push(number(
            c.polytomies,
            "couplet of more than two leads",
            "couplets of more than two leads",
        ));
    }
    if c.stops > 0 {
        parts.push(number(c.stops, "stop without a name", "stops without a name"));
    }
    if c.dead_ends > 0 {
        parts.push(number(c.dead_ends, "lead that goes nowhere", "leads that go nowhere"));
    }
    parts.join(", ")
}

fn number(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
