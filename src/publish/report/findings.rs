//! The findings of a report: what must be mended with its lines, the notes by rule, what is
//! answered, and what the rules rest on.

use std::collections::BTreeMap;
use std::fmt::Write;

use crate::check::rules;
use crate::text::excerpt::Excerpt;
use crate::text::finding::{Finding, Severity};
use crate::text::source::Source;
use crate::text::span::Span;

use super::{Examined, counted, prose, text};

/// The most findings of one rule that are shown with their lines; the others get a line each.
const MOST_SHOWN: usize = 30;
/// The most lines of the key at one place, and the most further places of a finding.
const MOST_LINES: usize = 8;
const MOST_RELATED: usize = 6;

/// Errors first, then warnings; what is sure before what is likely; then in the order of the text.
pub fn serious(out: &mut String, one: &Examined, number: usize) {
    let mut all = one.report.by_weight();
    all.retain(|f| f.intended.is_none() && f.severity > Severity::Note);
    if all.is_empty() {
        out.push_str("<p>No error and no warning is open.</p>\n");
        return;
    }
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    let mut more: Vec<&Finding> = Vec::new();
    for (i, f) in all.into_iter().enumerate() {
        let before = met.entry(f.rule).or_default();
        *before += 1;
        if *before <= MOST_SHOWN {
            finding(out, one, f, number, i + 1);
        } else {
            more.push(f);
        }
    }
    if !more.is_empty() {
        let _ =
            writeln!(out, "<h3>{} of the same rules</h3>", counted(more.len(), "further finding"));
        list(out, &one.key.source, &more, true);
    }
}

fn finding(out: &mut String, one: &Examined, f: &Finding, number: usize, count: usize) {
    let source = &one.key.source;
    let _ = writeln!(
        out,
        "<article class=\"finding {word}\" id=\"f{number}-{count}\">\n\
         <h3>{count}. <span class=\"grade\">{word}</span>: {}</h3>\n\
         <p class=\"place\">{}, rule <code>{}</code></p>",
        prose(&f.what),
        place(source, f.span),
        f.rule,
        word = f.severity.word(),
    );
    lines(out, source, f.span);
    for related in f.related.iter().take(MOST_RELATED) {
        let _ = writeln!(
            out,
            "<p class=\"place\">{}: {}</p>",
            place(source, related.span),
            prose(&related.words)
        );
        lines(out, source, related.span);
    }
    if let Some(more) = f.related.len().checked_sub(MOST_RELATED).filter(|n| *n > 0) {
        let _ = writeln!(out, "<p class=\"place\">and {}</p>", counted(more, "more place"));
    }
    out.push_str("<dl>\n");
    if !f.why.is_empty() {
        let _ = writeln!(out, "<dt>Why</dt><dd>{}</dd>", prose(&f.why));
    }
    if !f.remedy.is_empty() {
        let _ = writeln!(out, "<dt>Remedy</dt><dd>{}</dd>", prose(&f.remedy));
    }
    if let Some(mend) = &f.mend {
        let old = source.slice(mend.span);
        let said = match (old.is_empty(), mend.replacement.is_empty()) {
            (_, true) => format!("delete <code>{}</code>", text(old)),
            (true, _) => format!("insert <code>{}</code>", text(&mend.replacement)),
            _ => format!(
                "for <code>{}</code> read <code>{}</code>",
                text(old),
                text(&mend.replacement)
            ),
        };
        let _ = writeln!(out, "<dt>Mend</dt><dd>{said}</dd>");
    }
    out.push_str("</dl>\n</article>\n");
}

/// The lines of the key that hold a place, the place marked in them.
fn lines(out: &mut String, source: &Source, span: Span) {
    let excerpt = Excerpt::of(source, &[span], MOST_LINES);
    let (whole, range) = (excerpt.text(), excerpt.range(span));
    out.push_str("<pre>");
    let mut at = 0;
    for (i, line) in whole.split('\n').enumerate() {
        if i > 0 {
            out.push('\n');
        }
        let _ = write!(out, "<span class=\"n\">{:>4}  </span>", excerpt.first_line() + i);
        let cut = |byte: usize| byte.clamp(at, at + line.len()) - at;
        let (from, to) = (cut(range.start), cut(range.end));
        out.push_str(&text(&line[..from]));
        if from < to {
            let _ = write!(out, "<mark>{}</mark>", text(&line[from..to]));
        }
        out.push_str(&text(&line[to..]));
        at += line.len() + 1;
    }
    out.push_str("</pre>\n");
}

fn place(source: &Source, span: Span) -> String {
    let at = source.line_column(span.start as usize);
    format!("line {}, column {}", at.line, at.column)
}

/// A line for each finding, with its remedy where that is not said once for all.
fn list(out: &mut String, source: &Source, findings: &[&Finding], remedies: bool) {
    out.push_str("<ul class=\"places\">\n");
    for f in findings {
        let at = source.line_column(f.span.start as usize);
        let remedy = if remedies && !f.remedy.is_empty() {
            format!(". {}", prose(&f.remedy))
        } else {
            String::new()
        };
        let _ = writeln!(out, "<li>Line {}: {}{remedy}</li>", at.line, prose(&f.what));
    }
    out.push_str("</ul>\n");
}

/// Notes, by rule; the rules that found most last, for they matter least one by one.
pub fn notes(out: &mut String, one: &Examined, _: usize) {
    let mut of: BTreeMap<&str, Vec<&Finding>> = BTreeMap::new();
    for f in one.report.open().filter(|f| f.severity == Severity::Note) {
        of.entry(f.rule).or_default().push(f);
    }
    if of.is_empty() {
        return;
    }
    out.push_str("<p>Good to know, and legitimate in many keys.</p>\n");
    let mut groups: Vec<(&str, Vec<&Finding>)> = of.into_iter().collect();
    groups.sort_by_key(|(rule, all)| (all.len(), *rule));
    for (rule, all) in groups {
        let headline = rules::find(rule).map_or(rule, |r| r.headline()).trim_end_matches('.');
        let same = all.iter().all(|f| f.remedy == all[0].remedy);
        let _ = writeln!(
            out,
            "<h3>{} ({})</h3>\n<p class=\"place\">rule <code>{rule}</code></p>",
            prose(headline),
            all.len()
        );
        if same && !all[0].remedy.is_empty() {
            let _ = writeln!(out, "<p>{}</p>", prose(&all[0].remedy));
        }
        list(out, &one.key.source, &all, !same);
    }
}

/// What the writer answered, with the reason.
pub fn answered(out: &mut String, one: &Examined, _: usize) {
    let all: Vec<&Finding> = one.report.findings.iter().filter(|f| f.intended.is_some()).collect();
    if all.is_empty() {
        return;
    }
    out.push_str(
        "<p>The writer means these as they stand, and says why.</p>\n<table>\n<thead><tr>\
         <th class=\"figure\" scope=\"col\">Line</th><th scope=\"col\">Finding</th>\
         <th scope=\"col\">The writer’s reason</th></tr></thead>\n<tbody>\n",
    );
    for f in all {
        let at = one.key.source.line_column(f.span.start as usize);
        let _ = writeln!(
            out,
            "<tr><td class=\"figure\">{}</td><td>{} (<code>{}</code>)</td><td>{}</td></tr>",
            at.line,
            prose(&f.what),
            f.rule,
            text(f.intended.as_deref().unwrap_or(""))
        );
    }
    out.push_str("</tbody>\n</table>\n");
}

/// The rules that found something that is shown with its lines, and where they come from.
pub fn rules_named(out: &mut String, one: &Examined, _: usize) {
    let mut names: Vec<&str> =
        one.report.open().filter(|f| f.severity > Severity::Note).map(|f| f.rule).collect();
    names.sort_unstable();
    names.dedup();
    if names.is_empty() {
        return;
    }
    out.push_str(
        "<table>\n<thead><tr><th scope=\"col\">Rule</th><th scope=\"col\">What it is about</th>\
         <th scope=\"col\">Certainty</th><th scope=\"col\">Source</th></tr></thead>\n<tbody>\n",
    );
    for rule in names.into_iter().filter_map(rules::find) {
        let _ = writeln!(
            out,
            "<tr><td><code>{}</code></td><td>{}</td><td>{}</td><td>{}</td></tr>",
            rule.id,
            prose(rule.headline()),
            rule.certainty.word(),
            prose(&rule.source())
        );
    }
    out.push_str("</tbody>\n</table>\n");
}
