//! `check --explain RULE` and `check --rules`.

use std::io::Write;

use serde_json::json;

use crate::check::{HEADINGS, Rule, rules};
use crate::cli::terminal::{FAINT, STRONG};
use crate::cli::{Outcome, Terminal};
use crate::text::finding::Severity;
use crate::text::language::fold;

use super::text::style;

pub fn explain(name: &str, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
    let id = fold(name).replace(' ', "-");
    let Some(rule) = rules::find(&id) else {
        let near = rules::nearest(&id).map_or(".".into(), |n| format!("; did you mean {n}?"));
        anyhow::bail!("there is no rule {name}{near} All of them: hilum check --rules");
    };
    if terminal.json {
        terminal.print_json(&as_json(rule, true))?;
        return Ok(Outcome::Well);
    }
    let paint = style(rule.severity);
    writeln!(
        terminal,
        "{paint}{}{paint:#}{STRONG}[{}]{STRONG:#}: {}",
        rule.severity.word(),
        rule.id,
        rule.headline()
    )?;
    let mut in_example = false;
    for line in rule.explanation().lines().skip(1) {
        match line.strip_prefix("```") {
            Some("key-bad") => writeln!(terminal, "  {FAINT}wrong:{FAINT:#}")?,
            Some("key-good") => writeln!(terminal, "\n  {FAINT}right:{FAINT:#}")?,
            Some(_) => {}
            None => match line.strip_prefix("## ") {
                Some(heading) => writeln!(terminal, "{STRONG}{heading}{STRONG:#}")?,
                None if line.is_empty() => writeln!(terminal)?,
                None if in_example => writeln!(terminal, "      {line}")?,
                None => writeln!(terminal, "  {line}")?,
            },
        }
        if line.starts_with("```") {
            in_example = !in_example;
        }
    }
    writeln!(terminal, "\n{STRONG}Certainty{STRONG:#}\n  {}", certainty(rule))?;
    if !rule.asked_by.is_empty() {
        writeln!(terminal, "  Applied only where it is asked for: profile  {}", rule.asked_by[0])?;
    }
    Ok(Outcome::Well)
}

pub fn list(terminal: &mut Terminal) -> anyhow::Result<Outcome> {
    if terminal.json {
        let all: Vec<_> = rules::ALL.iter().map(|r| as_json(r, false)).collect();
        terminal.print_json(&json!({ "format": 1, "rules": all }))?;
        return Ok(Outcome::Well);
    }
    let widest = rules::ALL.iter().map(|r| r.id.len()).max().unwrap_or(0);
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        let paint = style(severity);
        writeln!(terminal, "{paint}{}s{paint:#}", severity.word())?;
        for rule in rules::ALL.iter().filter(|r| r.severity == severity) {
            writeln!(terminal, "  {:widest$}  {}", rule.id, rule.headline())?;
        }
        writeln!(terminal)?;
    }
    writeln!(terminal, "More about one of them: hilum check --explain RULE")?;
    Ok(Outcome::Well)
}

fn certainty(rule: &Rule) -> &'static str {
    use crate::check::Certainty::{Strong, Sure, Weak};
    match rule.certainty {
        Sure => "Sure: a fact of the text.",
        Strong => "Strong: few false alarms.",
        Weak => "Weak: a hint; legitimate in many keys.",
    }
}

// `{"rule", "severity", "certainty", "headline", "asked_by"}`, and with the whole explanation each
// section by its heading.
fn as_json(rule: &Rule, whole: bool) -> serde_json::Value {
    let mut out = json!({
        "rule": rule.id,
        "severity": rule.severity,
        "certainty": rule.certainty.word(),
        "headline": rule.headline(),
        "asked_by": rule.asked_by,
    });
    if whole {
        out["format"] = json!(1);
        out["explanation"] = json!(rule.explanation());
        let sections = HEADINGS.iter().map(|h| (h.to_string(), json!(rule.section(h))));
        out["sections"] = serde_json::Value::Object(sections.collect());
    }
    out
}
