//! `check --explain RULE` and `check --rules`.

use std::io::Write;

use serde_json::json;

use crate::check::profiles::{self, Profile};
use crate::check::{HEADINGS, Rule, rules};
use crate::cli::terminal::{FAINT, STRONG};
use crate::cli::{Outcome, Terminal};
use crate::text::finding::Severity;
use crate::text::language::fold;

use super::text::style;

pub fn explain(name: &str, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
    let id = fold(name).replace(' ', "-");
    if let Some(profile) = profiles::find(name) {
        return style_explained(profile, terminal);
    }
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
            Some("list") => writeln!(terminal, "  {FAINT}the list:{FAINT:#}")?,
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
    let styles = profiles::ALL.iter().filter_map(|p| {
        let (_, severity) = p.rules.iter().find(|(id, _)| *id == rule.id)?;
        Some(format!("{} ({})", p.name, severity.word()))
    });
    let styles: Vec<String> = styles.collect();
    if !styles.is_empty() {
        writeln!(terminal, "  House styles that ask for it: {}.", styles.join(", "))?;
    }
    Ok(Outcome::Well)
}

fn style_explained(profile: &Profile, terminal: &mut Terminal) -> anyhow::Result<Outcome> {
    if terminal.json {
        terminal.print_json(&style_as_json(profile, true))?;
        return Ok(Outcome::Well);
    }
    writeln!(terminal, "{STRONG}{}{STRONG:#}: {}", profile.name, profile.headline())?;
    for line in profile.explanation().lines().skip(1) {
        match line.strip_prefix("## ") {
            Some(heading) => writeln!(terminal, "{STRONG}{heading}{STRONG:#}")?,
            None if line.is_empty() => writeln!(terminal)?,
            None => writeln!(terminal, "  {line}")?,
        }
    }
    writeln!(terminal, "\n{STRONG}Its rules{STRONG:#}")?;
    let widest = profile.rules.iter().map(|(id, _)| id.len()).max().unwrap_or(0);
    for (id, severity) in profile.rules {
        let paint = style(*severity);
        writeln!(terminal, "  {id:widest$}  {paint}{}{paint:#}", severity.word())?;
    }
    writeln!(terminal, "  All other rules hold as they do without it.")?;
    writeln!(terminal, "\n  In the heading of a key: profile  {}", profile.name)?;
    Ok(Outcome::Well)
}

pub fn list(terminal: &mut Terminal) -> anyhow::Result<Outcome> {
    if terminal.json {
        let all: Vec<_> = rules::ALL.iter().map(|r| as_json(r, false)).collect();
        let styles: Vec<_> = profiles::ALL.iter().map(|p| style_as_json(p, false)).collect();
        terminal.print_json(&json!({ "format": 1, "rules": all, "profiles": styles }))?;
        return Ok(Outcome::Well);
    }
    let widest = rules::ALL.iter().map(|r| r.id.len()).max().unwrap_or(0);
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        let paint = style(severity);
        writeln!(terminal, "{paint}{}s{paint:#}", severity.word())?;
        for rule in rules::ALL.iter().filter(|r| r.severity == severity) {
            let asked = if rule.asked_by.is_empty() { " " } else { "*" };
            writeln!(terminal, "  {:widest$} {asked} {}", rule.id, rule.headline())?;
        }
        writeln!(terminal)?;
    }
    writeln!(
        terminal,
        "  * only where it is asked for, by a house style or by its name: profile  NAME"
    )?;
    writeln!(terminal, "\n{STRONG}house styles{STRONG:#}")?;
    for profile in profiles::ALL {
        writeln!(terminal, "  {:widest$}   {}", profile.name, profile.headline())?;
    }
    writeln!(terminal, "\nMore about one of them: hilum check --explain NAME")?;
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
        "style": rule.style,
    });
    if whole {
        out["format"] = json!(1);
        out["explanation"] = json!(rule.explanation());
        let sections = HEADINGS.iter().map(|h| (h.to_string(), json!(rule.section(h))));
        out["sections"] = serde_json::Value::Object(sections.collect());
    }
    out
}

// `{"profile", "headline", "rules": {rule: severity}}`, and its explanation.
fn style_as_json(profile: &Profile, whole: bool) -> serde_json::Value {
    let rules: serde_json::Map<_, _> =
        profile.rules.iter().map(|(id, s)| (id.to_string(), json!(s))).collect();
    let mut out = json!({
        "profile": profile.name,
        "headline": profile.headline(),
        "rules": rules,
    });
    if whole {
        out["format"] = json!(1);
        out["explanation"] = json!(profile.explanation());
    }
    out
}
