//! One specimen as a page of text: the gathering, the names with their evidence, parts and notes.

use std::fmt::Write;

use crate::notebook::altitude::Uncertainty;
use crate::notebook::date::When;
use crate::notebook::record::{Correction, Determination, Gathering, Id, Part, Ranked, Seen};
use crate::notebook::specimen::{Kept, Specimen};
use crate::notebook::value::Fields;

/// The page, lines not yet wrapped: each is a head and what stands behind it, so that whoever
/// shows it can set hanging lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// 0 for a heading.
    pub depth: usize,
    pub head: String,
    pub text: String,
}

fn line(depth: usize, head: impl Into<String>, text: impl Into<String>) -> Line {
    Line { depth, head: head.into(), text: text.into() }
}

/// Everything that is known of a specimen.
pub fn page(specimen: &Specimen) -> Vec<Line> {
    let mut out = Vec::new();
    let current = specimen.current();
    let name = current.map_or("name not settled", |c| c.named.body.name.as_str());
    out.push(line(0, specimen.citation.to_string(), name));
    for (i, g) in specimen.gatherings.iter().enumerate() {
        if i > 0 {
            out.push(line(0, "A second gathering under the same number", String::new()));
        }
        gathering(&mut out, &g.body);
        corrected(&mut out, specimen, &g.corrected_by);
    }
    if !specimen.parts.is_empty() {
        out.push(line(0, "Parts", String::new()));
        for k in &specimen.parts {
            out.push(line(1, part_head(&k.body), part_text(&k.body)));
            corrected(&mut out, specimen, &k.corrected_by);
        }
    }
    if !specimen.determinations.is_empty() {
        out.push(line(0, "Names, the latest first", String::new()));
        for k in &specimen.determinations {
            determination(&mut out, specimen, k);
            corrected(&mut out, specimen, &k.corrected_by);
        }
    }
    if !specimen.observations.is_empty() {
        out.push(line(0, "Seen", String::new()));
        for k in &specimen.observations {
            let about = [
                k.body.condition.clone(),
                k.body.date.as_ref().map(When::in_words),
                (!k.body.by.is_empty()).then(|| k.body.by.join(", ")),
            ];
            let about: Vec<String> = about.into_iter().flatten().collect();
            let seen: Vec<String> = k.body.seen.iter().map(seen).collect();
            out.push(line(1, about.join(", "), seen.join("; ")));
            more(&mut out, &k.body.other);
            corrected(&mut out, specimen, &k.corrected_by);
        }
    }
    if !specimen.notes.is_empty() {
        out.push(line(0, "Notes", String::new()));
        for k in &specimen.notes {
            let date = k.body.date.as_ref().map(When::in_words).unwrap_or_default();
            out.push(line(1, date, &k.body.text));
        }
    }
    if !specimen.withdrawn.is_empty() {
        out.push(line(0, "Withdrawn", String::new()));
        for r in &specimen.withdrawn {
            let what = r.fields().into_iter().filter(|(k, _)| k != "id" && k != "collector");
            let text: Vec<String> = what.map(|(k, v)| format!("{k}: {}", v.in_a_line())).collect();
            out.push(line(1, r.id.to_string(), text.join("; ")));
            let why = specimen.corrections.iter().filter(|(of, k)| *of == r.id && k.body.withdraw);
            let ids: Vec<Id> = why.map(|(_, k)| k.id.clone()).collect();
            corrected(&mut out, specimen, &ids);
        }
    }
    out
}

/// The page with its lines unwrapped, for files and pipes.
pub fn text(specimen: &Specimen) -> String {
    let mut out = String::new();
    for l in page(specimen) {
        let blank = if l.depth == 0 && !out.is_empty() { "\n" } else { "" };
        let indent = "  ".repeat(l.depth);
        let colon = if l.head.is_empty() || l.text.is_empty() { "" } else { ": " };
        let _ = writeln!(out, "{blank}{indent}{}{colon}{}", l.head, l.text.replace('\n', " / "));
    }
    out
}

fn gathering(out: &mut Vec<Line>, g: &Gathering) {
    let mut put = |head: &str, text: Option<String>| {
        if let Some(text) = text.filter(|t| !t.is_empty()) {
            out.push(line(1, head, text));
        }
    };
    put("gathered", Some(g.date.in_words()));
    put("as written", g.date_as_written.clone());
    put("with", Some(g.with.join(", ")));
    let wide: Vec<String> = g.country.iter().chain(&g.province).cloned().collect();
    put("country", Some(wide.join(", ")));
    put("place", g.place.clone());
    put(
        "coordinates",
        g.coordinates.as_ref().map(|c| {
            let more =
                g.datum.iter().cloned().chain(g.uncertainty.as_ref().map(Uncertainty::in_words));
            let more: Vec<String> = more.collect();
            if more.is_empty() { c.to_string() } else { format!("{c} ({})", more.join(", ")) }
        }),
    );
    put("altitude", g.altitude.as_ref().map(ToString::to_string));
    put("habitat", g.habitat.clone());
    put("substrate", g.substrate.clone());
    put("abundance", g.abundance.clone());
    put("plants", g.plants.map(|n| n.to_string()));
    put("habit", g.habit.clone());
    put("height", g.height.clone());
    put("stage", Some(g.stage.join(", ")));
    for (name, value) in &g.fresh {
        put(&format!("fresh {name}"), Some(value.in_a_line()));
    }
    put("growing with", Some(g.associated.join(", ")));
    put("permit", g.permit.clone());
    put("photographs", Some(g.photographs.join(", ")));
    put("project", g.project.clone());
    put("establishment", g.establishment.clone());
    put("place withheld", g.withhold.then(|| "on export".to_string()));
    put("remarks", g.remarks.clone());
    put("source", g.source.clone());
    more(out, &g.other);
}

fn part_head(p: &Part) -> String {
    match p.how_many() {
        1 => p.what.clone(),
        n => format!("{n} × {}", p.what),
    }
}

fn part_text(p: &Part) -> String {
    let mut out: Vec<String> = p.condition.iter().cloned().collect();
    out.extend(p.ripe.then(|| "ripe".to_string()));
    out.extend(p.individuals.map(|n| format!("from {n} plants")));
    out.extend(p.store.clone());
    out.extend(p.status.clone());
    out.extend((!p.sent_to.is_empty()).then(|| format!("duplicates to {}", p.sent_to.join(", "))));
    out.extend(p.remarks.clone());
    out.extend(p.other.iter().map(|(k, v)| format!("{k}: {}", v.in_a_line())));
    out.join("; ")
}

fn determination(out: &mut Vec<Line>, specimen: &Specimen, k: &Kept<Determination>) {
    let d = &k.body;
    let word = if d.is_confirmation() { "conf." } else { "det." };
    let who = if d.by.is_empty() { "no one named".to_string() } else { d.by.join(" & ") };
    let when = d.date.as_ref().map(|w| format!(", {}", w.in_words())).unwrap_or_default();
    let holds = specimen.current().is_some_and(|c| c.named.id == k.id);
    let mark = if holds { " (holds now)" } else { "" };
    out.push(line(1, format!("{}{mark}", d.name), format!("{word} {who}{when}")));
    let mut put = |head: &str, text: String| {
        if !text.is_empty() {
            out.push(line(2, head, text));
        }
    };
    put("family", d.family.clone().unwrap_or_default());
    put("doubt", d.qualifier.clone().unwrap_or_default());
    if let Some(key) = &d.key {
        let issue = key.issue.as_ref().map(|i| format!(", issue {i}")).unwrap_or_default();
        put("key", format!("{}{issue}", key.title));
        put("its print", key.hash.clone().unwrap_or_default());
    }
    put("route", d.route.join(", "));
    put("used", d.used.join("; "));
    put("verdict", d.verdict.clone().unwrap_or_default());
    ranking(&d.ranking, &mut put);
    put("literature", d.references.join("; "));
    put("type", d.type_status.clone().unwrap_or_default());
    put("remarks", d.remarks.clone().unwrap_or_default());
    put("id", k.id.to_string());
    more(out, &d.other);
}

/// Of so many of a ranking the page says what speaks for and against them.
const TOLD: usize = 3;

/// The ranking of an engine, the first with their reasons; or the names that a walk left.
fn ranking(ranked: &[Ranked], put: &mut impl FnMut(&str, String)) {
    if ranked.iter().all(|r| r.score.is_none()) {
        let names: Vec<&str> = ranked.iter().map(|r| r.name.as_str()).collect();
        put("names left", names.join(", "));
        return;
    }
    let scored = |r: &Ranked| {
        let score = r.score.as_ref().map(|s| format!(" {s}")).unwrap_or_default();
        format!("{}{score}", r.name)
    };
    for (i, r) in ranked.iter().take(TOLD).enumerate() {
        let mut text = vec![scored(r)];
        text.extend((!r.fits.is_empty()).then(|| format!("for: {}", r.fits.join(", "))));
        text.extend((!r.misfits.is_empty()).then(|| format!("against: {}", r.misfits.join(", "))));
        put(&format!("ranked {}", i + 1), text.join("; "));
    }
    let further: Vec<String> = ranked.iter().skip(TOLD).map(scored).collect();
    put("further", further.join(", "));
}

fn seen(s: &Seen) -> String {
    let lead = s.lead.as_ref().map(|l| format!(" (lead {l})")).unwrap_or_default();
    let condition = s.condition.as_ref().map(|c| format!(" [{c}]")).unwrap_or_default();
    let remark = s.remark.as_ref().map(|r| format!(" - {r}")).unwrap_or_default();
    format!("{}{lead}{condition}{remark}", s.says)
}

fn more(out: &mut Vec<Line>, other: &Fields) {
    for (name, value) in other {
        out.push(line(1, name, value.in_a_line()));
    }
}

/// Who corrected it, when, to what and why: the record itself has what was written first.
fn corrected(out: &mut Vec<Line>, specimen: &Specimen, by: &[Id]) {
    for id in by {
        let Some((_, k)) = specimen.corrections.iter().find(|(_, k)| k.id == *id) else {
            continue;
        };
        let c = &k.body;
        let mut said: Vec<String> =
            c.set.iter().map(|(field, value)| format!("{field}: {}", value.in_a_line())).collect();
        said.extend(c.remove.iter().map(|field| format!("without {field}")));
        said.extend(c.withdraw.then(|| "withdrawn".to_string()));
        let reason = c.reason.as_ref().map(|r| format!(" ({r})")).unwrap_or_default();
        out.push(line(2, corrected_by(c), format!("{}{reason}", said.join("; "))));
    }
}

/// `corrected 2 May 2026 by A. K. Ashdown`
fn corrected_by(c: &Correction) -> String {
    let date = c.date.as_ref().map(|d| format!(" {}", d.in_words())).unwrap_or_default();
    let by = if c.by.is_empty() { String::new() } else { format!(" by {}", c.by.join(", ")) };
    format!("corrected{date}{by}")
}
