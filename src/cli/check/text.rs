//! The findings of `check` in frames or one a line, and the figures as a short paragraph.

use std::collections::BTreeMap;
use std::io::Write;

use anstyle::Style;

use crate::check::study::Study;
use crate::check::{Counts, Report};
use crate::cli::Terminal;
use crate::cli::frames::{brief as brief_line, frame};
use crate::cli::terminal::{ERROR, FAINT, NOTE, STRONG, WARNING};
use crate::key::{Figures, Key};
use crate::text::finding::{Finding, Severity};
use crate::text::shown::shown;
use crate::text::span::Span;

use super::{Check, study};

/// The most frames of one rule; the rest is counted.
const MOST_FRAMES: usize = 30;

pub fn style(severity: Severity) -> Style {
    match severity {
        Severity::Error => ERROR,
        Severity::Warning => WARNING,
        Severity::Note => NOTE,
    }
}

/// One line a finding.
pub fn brief(
    command: &Check,
    reports: &[(&Key, Report)],
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    for (key, report) in reports {
        for finding in report.findings.iter().filter(|f| is_shown(command, f)) {
            writeln!(terminal, "{}", brief_line(&key.source, finding))?;
        }
        if command.unread {
            for place in unread(key) {
                let at = key.source.line_column(place.span.start as usize);
                let name = shown(key.source.name());
                let words = shown(key.source.slice(place.span));
                writeln!(terminal, "{name}:{}:{}: unread: {words}", at.line, at.column)?;
            }
        }
    }
    Ok(())
}

/// Frames, then what was found and the figures.
pub fn print(
    command: &Check,
    reports: &[(&Key, Report)],
    studies: &[Study],
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    for (i, (key, report)) in reports.iter().enumerate() {
        if i > 0 {
            writeln!(terminal)?;
        }
        // Whoever has the findings in a report of their own gets the figures only.
        if let Some(path) = &command.report {
            summary(command, key, report, terminal)?;
            if i + 1 == reports.len() {
                writeln!(terminal, "  The findings are in {}.", shown(&path.to_string_lossy()))?;
            }
            continue;
        }
        let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
        for finding in report.by_weight().into_iter().filter(|f| is_shown(command, f)) {
            let before = of_rule.entry(finding.rule).or_default();
            *before += 1;
            if *before <= MOST_FRAMES || command.all {
                writeln!(terminal, "{}\n", frame(&key.source, finding, terminal.width))?;
            }
        }
        if !command.all {
            for (rule, count) in of_rule.iter().filter(|(_, n)| **n > MOST_FRAMES) {
                writeln!(
                    terminal,
                    "{} more of {rule} are not shown: --all or --brief shows every one.\n",
                    count - MOST_FRAMES
                )?;
            }
        }
        if command.unread {
            print_unread(key, terminal)?;
        }
        if let Some(study) = studies.get(i) {
            study::print(command, study, terminal)?;
        }
        summary(command, key, report, terminal)?;
    }
    if reports.len() > 1 {
        let mut all = Counts::default();
        reports.iter().for_each(|(_, r)| all += r.counts());
        writeln!(terminal, "\n{} files: {}.", reports.len(), counts_in_words(all))?;
    }
    Ok(())
}

fn is_shown(command: &Check, f: &Finding) -> bool {
    command.all || (f.intended.is_none() && f.severity > Severity::Note)
}

fn summary(
    command: &Check,
    key: &Key,
    report: &Report,
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    let counts = report.counts();
    let name = shown(key.source.name());
    let paint = match (counts.errors, counts.warnings) {
        (0, 0) => STRONG,
        (0, _) => WARNING,
        _ => ERROR,
    };
    writeln!(terminal, "{STRONG}{name}{STRONG:#}: {paint}{}{paint:#}.", counts_in_words(counts))?;
    let mut lines = report.figures.in_words();
    lines.extend(read_in_words(command, &report.figures));
    lines.extend(not_examined(report));
    lines.extend(most_met(report, counts));
    lines.extend(not_shown(command, report, counts));
    for line in lines {
        for piece in textwrap::wrap(&line, terminal.width.saturating_sub(2)) {
            writeln!(terminal, "  {piece}")?;
        }
    }
    let serious = report.open().filter(|f| f.severity > Severity::Note);
    let worst = serious.min_by_key(|f| std::cmp::Reverse(f.severity));
    if let Some(f) = worst.filter(|_| !command.all) {
        writeln!(
            terminal,
            "  {FAINT}More about a rule: hilum check --explain {}{FAINT:#}",
            f.rule
        )?;
    }
    Ok(())
}

fn counts_in_words(counts: Counts) -> String {
    if counts.errors + counts.warnings == 0 {
        return "nothing to mend".to_string();
    }
    let parts = [(counts.errors, "error"), (counts.warnings, "warning")];
    let said: Vec<String> =
        parts.iter().filter(|(n, _)| *n > 0).map(|(n, word)| counted(*n, word)).collect();
    said.join(", ")
}

fn read_in_words(command: &Check, f: &Figures) -> Option<String> {
    let share = f.read;
    if share.total() == 0 {
        return None;
    }
    let unread = share.to_a_point + share.prose;
    let mut said = format!(
        "{}: {} read whole, {} to a point, {} as prose",
        counted(share.total(), "statement"),
        share.whole,
        share.to_a_point,
        share.prose
    );
    if unread > 0 && !command.unread {
        said.push_str(" (--unread lists them)");
    }
    Some(format!("{said}."))
}

/// Beyond so many errors and warnings it is said which rules they are of.
const MANY: usize = 12;

fn most_met(report: &Report, counts: Counts) -> Option<String> {
    if counts.errors + counts.warnings <= MANY {
        return None;
    }
    let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
    for f in report.open().filter(|f| f.severity > Severity::Note) {
        *of_rule.entry(f.rule).or_default() += 1;
    }
    let mut each: Vec<(&str, usize)> = of_rule.into_iter().collect();
    each.sort_by_key(|(rule, n)| (std::cmp::Reverse(*n), *rule));
    let each: Vec<String> = each.iter().map(|(rule, n)| format!("{rule} {n}")).collect();
    Some(format!("Errors and warnings by rule: {}.", each.join(", ")))
}

fn not_shown(command: &Check, report: &Report, counts: Counts) -> Vec<String> {
    let mut out = Vec::new();
    if command.all {
        return out;
    }
    if counts.notes > 0 {
        out.extend(wrong_names(report));
        let mut of_rule: BTreeMap<&str, usize> = BTreeMap::new();
        for f in report.open().filter(|f| f.severity == Severity::Note) {
            *of_rule.entry(f.rule).or_default() += 1;
        }
        let each: Vec<String> = of_rule.iter().map(|(rule, n)| format!("{rule} {n}")).collect();
        let notes = counted(counts.notes, "note");
        out.push(format!("{notes} not shown ({}): --all shows them.", each.join(", ")));
    }
    if counts.answered > 0 {
        let findings = counted(counts.answered, "finding");
        let each: Vec<String> =
            report.answered.iter().map(|(rule, n)| format!("{rule} {n}")).collect();
        out.push(format!("{findings} answered in the text ({}).", each.join(", ")));
    }
    out
}

// Once for each cause.
fn not_examined(report: &Report) -> Vec<String> {
    let mut by_cause: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for not in &report.not_examined {
        by_cause.entry(&not.why).or_default().push(&not.what);
    }
    let said =
        |(why, what): (&str, Vec<&str>)| format!("Not examined, for {why}: {}.", what.join("; "));
    by_cause.into_iter().map(said).collect()
}

// A plant under another's name is what a reader pays for: said before the other notes.
fn wrong_names(report: &Report) -> Option<String> {
    let of_rule = |f: &&Finding| f.rule == "wrong-name" && f.severity == Severity::Note;
    match report.open().filter(of_rule).count() {
        0 => None,
        1 => Some("1 plant may end at another's name (wrong-name): --all shows it.".to_string()),
        n => Some(format!(
            "{n} notes say that plants may end at another's name (wrong-name): --all shows them."
        )),
    }
}

/// A part of a lead or account that was not read.
pub struct Unread {
    pub span: Span,
    /// Something before it in the same part was read.
    pub to_a_point: bool,
}

/// All of them, leads first, each in the order of the text.
pub fn unread(key: &Key) -> impl Iterator<Item = Unread> + '_ {
    let leads = key.couplets.iter().flat_map(|c| &c.leads).flat_map(|l| &l.parts);
    let taxa = key.taxa.iter().flat_map(|t| &t.parts);
    leads.chain(taxa).filter_map(|part| {
        let span = part.prose?;
        Some(Unread { span, to_a_point: !part.statements.is_empty() })
    })
}

fn print_unread(key: &Key, terminal: &mut Terminal) -> anyhow::Result<()> {
    let mut any = false;
    for place in unread(key) {
        if !any {
            writeln!(
                terminal,
                "{STRONG}Unread in {}{STRONG:#} (a dash: what stands before it was read)",
                shown(key.source.name())
            )?;
            any = true;
        }
        let at = key.source.line_column(place.span.start as usize);
        let at = format!("{}:{}", at.line, at.column);
        let words: Vec<&str> = key.source.slice(place.span).split_whitespace().collect();
        let words = words.join(" ");
        let dash = if place.to_a_point { "- " } else { "" };
        let indent = " ".repeat(11);
        let options = textwrap::Options::new(terminal.width).subsequent_indent(&indent);
        let line = format!("{at:>9}  {dash}{}", shown(&words));
        for piece in textwrap::wrap(&line, options) {
            writeln!(terminal, "{piece}")?;
        }
    }
    if any {
        writeln!(terminal)?;
    }
    Ok(())
}

fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
