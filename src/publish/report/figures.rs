//! The figures of a report: size and routes, how good the key is, the specimen in hand, the nearest
//! pairs.

use std::fmt::Write;

use crate::check::reason::words::listed;
use crate::check::study::{Quality, Study};
use crate::key::Figures;

use super::{Examined, prose, text};

/// How many of a list are named; the rest is counted.
const MOST: usize = 12;

/// The size of a key in a sentence.
pub fn size(figures: &Figures) -> String {
    figures.in_words().into_iter().next().unwrap_or_default()
}

/// How long its routes are, in a sentence.
pub fn routes(figures: &Figures) -> String {
    figures.in_words().into_iter().nth(1).unwrap_or_default()
}

/// How good the key is, beside the least possible.
pub fn quality(out: &mut String, one: &Examined, _: usize) {
    let Some(study) = one.study else { return };
    let Some(q) = &study.quality else {
        out.push_str(
            "<p>It has fewer than two taxa with a route, or a route is circular: there is nothing \
             to weigh.</p>\n",
        );
        return;
    };
    head(out, &["Figure", "This key", "Least possible"]);
    let mut row = |name: &str, here: String, least: String| {
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{name}</th><td class=\"figure\">{here}</td>\
             <td class=\"figure\">{least}</td></tr>"
        );
    };
    row("Taxa with a route", q.taxa.to_string(), String::new());
    row("Decisions to a name, mean", two(q.mean.decisions), two(q.least_mean));
    row("Decisions to a name, at most", q.deepest.to_string(), q.least_deepest.to_string());
    row("Leads read to a name, mean", two(q.mean.leads), String::new());
    if let Some(by) = &q.by_abundance {
        row(
            "Decisions, common taxa weighing more (least: entropy; best tree: Huffman)",
            two(by.mean.decisions),
            format!("{}; {}", two(by.entropy), two(by.huffman)),
        );
        row("Leads read, common taxa weighing more", two(by.mean.leads), String::new());
    }
    row("Balance (1: every couplet divides its taxa evenly)", two(q.balance), String::new());
    let read = format!("{} of {}", q.statements_read, q.statements);
    row("Statements of leads that were read", read, String::new());
    foot(out);
    characters(out, q);
}

fn characters(out: &mut String, q: &Quality) {
    if !q.uses.is_empty() {
        let all: Vec<String> =
            q.uses.iter().map(|u| format!("{} ({})", u.character, u.couplets)).collect();
        let _ = writeln!(
            out,
            "<p>Characters, and in how many couplets each is asked: {}.</p>",
            text(&listed(&all, 3 * MOST))
        );
    }
    if !q.unused.is_empty() {
        let _ = writeln!(
            out,
            "<p>Declared and asked in no couplet: {}.</p>",
            text(&listed(&q.unused, 3 * MOST))
        );
    }
}

/// What can be named from a part of the plant, and what to note before it is pressed.
pub fn in_hand(out: &mut String, one: &Examined, _: usize) {
    let Some(study) = one.study else { return };
    if study.in_hand.iter().all(|h| h.of == 0) {
        return;
    }
    head(out, &["Specimen", "Taxa named", "Characters seen", "What stops the others"]);
    for h in &study.in_hand {
        let mut stops: Vec<String> = h
            .stops
            .iter()
            .take(MOST / 2)
            .map(|s| format!("{} ({})", s.couplet, s.taxa.len()))
            .collect();
        let more: usize = h.stops.iter().skip(MOST / 2).map(|s| s.taxa.len()).sum();
        if more > 0 {
            stops.push(format!("others ({more})"));
        }
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"figure\">{} of {}</td>\
             <td class=\"figure\">{} of {}</td><td>{}</td></tr>",
            text(h.scenario.words()),
            h.named,
            h.of,
            h.characters,
            h.characters_of,
            prose(&stops.join(", "))
        );
    }
    foot(out);
    out.push_str(
        "<p>A couplet stops a taxon where no character that can be seen parts its lead from the \
         others. In brackets: how many taxa it stops first.</p>\n",
    );
    before_pressing(out, study);
}

fn before_pressing(out: &mut String, study: &Study) {
    if study.before_pressing.is_empty() {
        return;
    }
    out.push_str("<h3>To note before pressing</h3>\n");
    head(out, &["Character", "Couplets", "Taxa stopped", "Pressed"]);
    for n in &study.before_pressing {
        let needed = match n.stops.as_slice() {
            [] => String::new(),
            stops => format!(" (needed at {})", listed(stops, MOST / 2)),
        };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"figure\">{}</td>\
             <td class=\"figure\">{}</td><td>{}</td></tr>",
            text(&n.character),
            n.asked,
            n.taxa,
            prose(&format!("{}{needed}", n.becomes))
        );
    }
    foot(out);
}

/// The taxa that are hardest to tell apart from their accounts.
pub fn nearest(out: &mut String, one: &Examined, _: usize) {
    let Some(study) = one.study else { return };
    for (pairs, words) in study.pairs.iter().zip([
        "Nothing in their accounts tells them apart",
        "One character tells them apart",
        "Two characters tell them apart",
    ]) {
        if pairs.pairs + pairs.silent + pairs.not_looked_into == 0 {
            continue;
        }
        let _ = writeln!(out, "<h3>{words}: {}</h3>", text(&pairs.in_words()));
        let shown: Vec<_> = study.nearest.iter().filter(|n| n.by == pairs.by).collect();
        if shown.is_empty() {
            continue;
        }
        out.push_str("<ul class=\"plain pairs\">\n");
        for pair in &shown {
            let by = match pair.characters.as_slice() {
                [] => String::new(),
                all => format!(": {}", all.join(", ")),
            };
            let said = format!("{} and {}{by}", pair.first, pair.second);
            let _ = writeln!(out, "<li>{}</li>", text(&said));
        }
        out.push_str("</ul>\n");
        if pairs.pairs > shown.len() {
            let _ = writeln!(out, "<p>and {} more.</p>", pairs.pairs - shown.len());
        }
    }
}

fn two(figure: f64) -> String {
    format!("{figure:.2}")
}

pub fn head(out: &mut String, heads: &[&str]) {
    out.push_str("<table>\n<thead><tr>");
    for h in heads {
        let figure = matches!(
            *h,
            "This key"
                | "Least possible"
                | "Taxa named"
                | "Characters seen"
                | "Couplets"
                | "Taxa stopped"
                | "No."
                | "Its name"
                | "Decided"
        );
        let class = if figure { " class=\"figure\"" } else { "" };
        let _ = write!(out, "<th scope=\"col\"{class}>{h}</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
}

pub fn foot(out: &mut String) {
    out.push_str("</tbody>\n</table>\n");
}
