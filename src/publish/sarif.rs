//! Findings in SARIF 2.1.0, the open form in which code hosts show findings in place.
//!
//! Static Analysis Results Interchange Format (SARIF) Version 2.1.0, OASIS Standard, 27 March 2020.
//! The sections named here are that document's.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::check::{Report, rules};
use crate::key::Key;
use crate::text::finding::{Finding, Severity};
use crate::text::shown::shown;
use crate::text::source::Source;
use crate::text::span::Span;

/// What is told of the run besides its findings.
#[derive(Clone, Copy, Debug, Default)]
pub struct Run<'a> {
    /// Notes too.
    pub all: bool,
    /// The program's exit status.
    pub status: u8,
    /// What could not be done: files that were not read, rules that were not applied.
    pub failures: &'a [String],
}

/// A whole log with one run: errors and warnings, those answered in the text as suppressed, and
/// the explanation of every rule that found something. Columns are counted in characters.
pub fn log(files: &[(&Key, &Report)], run: &Run) -> Value {
    let kept = |f: &&Finding| run.all || f.severity > Severity::Note;
    let named: BTreeSet<&str> =
        files.iter().flat_map(|(_, r)| r.findings.iter().filter(kept)).map(|f| f.rule).collect();
    let place: BTreeMap<&str, usize> = named.iter().enumerate().map(|(i, r)| (*r, i)).collect();
    let mut results = Vec::new();
    for (key, report) in files {
        let mut met = BTreeMap::new();
        for f in report.findings.iter().filter(kept) {
            results.push(result(&key.source, f, place[f.rule], &mut met));
        }
    }
    let mut invocation = json!({
        "executionSuccessful": run.failures.is_empty(),
        "exitCode": run.status,
    });
    if !run.failures.is_empty() {
        let told =
            run.failures.iter().map(|words| json!({"level": "error", "message": said(words)}));
        invocation["toolExecutionNotifications"] = told.collect();
    }
    json!({
        "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": env!("CARGO_PKG_NAME"),
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": named.iter().map(|id| descriptor(id)).collect::<Vec<_>>(),
            }},
            "invocations": [invocation],
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

/// A rule with its own explanation (section 3.49).
fn descriptor(id: &str) -> Value {
    let Some(rule) = rules::find(id) else { return json!({"id": id}) };
    let explanation = rule.explanation();
    let below = explanation.split_once('\n').map_or("", |(_, rest)| rest).trim();
    json!({
        "id": id,
        "shortDescription": said(rule.headline()),
        "fullDescription": said(&one_line(&rule.section("What it finds"))),
        "help": {"text": escaped(below), "markdown": escaped(below)},
        "defaultConfiguration": {"level": rule.severity.word()},
        "properties": {"certainty": rule.certainty.word()},
    })
}

/// A finding (section 3.27). `met` counts the findings of each fingerprint in the file.
fn result(source: &Source, f: &Finding, rule: usize, met: &mut BTreeMap<String, usize>) -> Value {
    let words: Vec<String> = [&f.what, &f.why, &f.remedy]
        .into_iter()
        .filter(|w| !w.is_empty())
        .map(|w| sentence(w))
        .collect();
    let mut out = json!({
        "ruleId": f.rule,
        "ruleIndex": rule,
        "level": f.severity.word(),
        "message": said(&words.join(" ")),
        "locations": [{"physicalLocation": physical(source, f.span)}],
        "partialFingerprints": {"ruleAndLine/v1": fingerprint(source, f, met)},
    });
    if !f.related.is_empty() {
        let each = f.related.iter().enumerate().map(|(i, r)| {
            let words = if r.words.is_empty() { "see here" } else { &r.words };
            json!({
                "id": i,
                "physicalLocation": physical(source, r.span),
                "message": said(words),
            })
        });
        out["relatedLocations"] = each.collect();
    }
    if let Some(mend) = &f.mend {
        out["fixes"] = json!([{
            "description": said(if f.remedy.is_empty() { "Mend it." } else { &f.remedy }),
            "artifactChanges": [{
                "artifactLocation": artifact(source.name()),
                "replacements": [{
                    "deletedRegion": region(source, mend.span),
                    "insertedContent": {"text": mend.replacement},
                }],
            }],
        }]);
    }
    if let Some(reason) = &f.intended {
        out["suppressions"] = json!([{"kind": "inSource", "justification": shown(reason)}]);
    }
    out
}

fn physical(source: &Source, span: Span) -> Value {
    json!({"artifactLocation": artifact(source.name()), "region": region(source, span)})
}

/// Section 3.30: lines and columns count from 1; the end column is the one after the last.
fn region(source: &Source, span: Span) -> Value {
    let start = source.line_column(span.start as usize);
    let end = source.line_column(span.end as usize);
    json!({
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,
    })
}

/// Section 3.4: a relative reference is one to the root of the sources.
fn artifact(name: &str) -> Value {
    match name.strip_prefix('/') {
        Some(_) => json!({"uri": format!("file://{}", uri(name))}),
        None => json!({"uri": uri(name.trim_start_matches("./")), "uriBaseId": "%SRCROOT%"}),
    }
}

/// A path as a reference of RFC 3986: all but unreserved characters and the slash in hundredths.
fn uri(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for b in path.replace('\\', "/").bytes() {
        if b.is_ascii_alphanumeric() || b"-._~/".contains(&b) {
            out.push(char::from(b));
        } else {
            out.push_str(&format!("%{b:02X}"));
        }
    }
    out
}

/// Section 3.27.17: what stays the same when lines are put in or taken out elsewhere. The rule and
/// the line that it speaks of; where that is met again, how often it was met before.
fn fingerprint(source: &Source, f: &Finding, met: &mut BTreeMap<String, usize>) -> String {
    let line = source.lines().line_of(f.span.start as usize);
    let text = source.slice(source.lines().line_span(source.text(), line));
    let digest = Sha256::digest(format!("{}\n{}", f.rule, one_line(text)));
    let mut print: String = digest.iter().take(16).map(|b| format!("{b:02x}")).collect();
    let before = met.entry(print.clone()).or_default();
    print.push_str(&format!(":{before}"));
    *before += 1;
    print
}

/// A message (section 3.11).
fn said(words: &str) -> Value {
    json!({"text": escaped(words)})
}

/// Section 3.11.5 has braces doubled where they are no placeholder; 3.11.6 has brackets escaped
/// where they are no link.
fn escaped(words: &str) -> String {
    let lines: Vec<_> = words.split('\n').map(shown).collect();
    let text = lines.join("\n").replace('{', "{{").replace('}', "}}");
    if text.contains("](") { text.replace('[', "\\[").replace(']', "\\]") } else { text }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// With a capital and a full stop.
fn sentence(words: &str) -> String {
    let mut letters = words.trim().chars();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    let text = first + letters.as_str();
    if text.ends_with(['.', '!', '?']) { text } else { text + "." }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_become_references() {
        assert_eq!(artifact("./keys/a b.key")["uri"], "keys/a%20b.key");
        assert_eq!(artifact("c:ä.key")["uri"], "c%3A%C3%A4.key");
        assert_eq!(artifact("/a/b.key")["uri"], "file:///a/b.key");
        assert!(artifact("/a/b.key")["uriBaseId"].is_null());
    }

    #[test]
    fn braces_and_links_are_no_markup() {
        assert_eq!(escaped("a\u{202E}b"), "a\\u{{202E}}b");
        assert_eq!(escaped("[x](y)"), "\\[x\\](y)");
        assert_eq!(escaped("a [b]"), "a [b]");
    }

    #[test]
    fn words_become_a_sentence() {
        assert_eq!(sentence("the label 3a is used twice"), "The label 3a is used twice.");
        assert_eq!(sentence("ähnlich?"), "Ähnlich?");
    }
}
