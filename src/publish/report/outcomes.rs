//! The table of taxa by outcomes in a report: drawn as a square, then the taxa that stray in words,
//! then the others.

use std::fmt::Write;

use crate::check::reason::words::percent;
use crate::check::study::table::{Kind, Outcomes, Row};

use super::figures::{foot, head};
use super::{Examined, counted, prose, square, text};

/// So many ends of a straying taxon are named, those first that take most of its plants.
const MOST_ENDS: usize = 8;

pub fn write(out: &mut String, one: &Examined, number: usize) {
    let Some(outcomes) = one.study.map(|s| &s.outcomes) else { return };
    if outcomes.rows.is_empty() && outcomes.silent.is_empty() {
        return;
    }
    out.push_str(
        "<p>Every taxon is run through the key from its account: of all plants that fit the \
         account, what share ends at its own name, and where do the others go?</p>\n",
    );
    square::draw(out, outcomes, number);
    straying(out, outcomes);
    plain(out, outcomes);
    if !outcomes.silent.is_empty() {
        let _ = writeln!(
            out,
            "<p>Of {} nothing was read in an account: {}.</p>",
            counted(outcomes.silent.len(), "taxon"),
            text(&outcomes.silent.join(", "))
        );
    }
    if outcomes.cut_short {
        out.push_str("<p>Not every taxon was run through the key: the work was broken off.</p>\n");
    }
}

fn is_plain(row: &Row) -> bool {
    row.right > 0.9995 && row.sure > 0.9995
}

/// The taxa whose plants do not all come to their name, or do so only on trust.
fn straying(out: &mut String, outcomes: &Outcomes) {
    let rows: Vec<(usize, &Row)> =
        outcomes.rows.iter().enumerate().filter(|(_, r)| !is_plain(r)).collect();
    if rows.is_empty() {
        return;
    }
    let (mut astray, trusted): (Vec<_>, Vec<_>) =
        rows.into_iter().partition(|(_, r)| r.right <= 0.9995);
    astray.sort_by(|a, b| a.1.right.total_cmp(&b.1.right).then(a.0.cmp(&b.0)));
    if !astray.is_empty() {
        out.push_str("<h3>Taxa that stray, the worst first</h3>\n");
        head(out, &["No.", "Taxon", "Its name", "Decided", "Elsewhere"]);
        for (i, row) in astray {
            let others = row.ends.iter().filter(|e| e.kind != Kind::Own);
            let mut said: Vec<String> =
                others.clone().take(MOST_ENDS).map(|e| e.in_words(3)).collect();
            let rest: Vec<f64> = others.skip(MOST_ENDS).map(|e| e.share).collect();
            if !rest.is_empty() {
                let share = percent(rest.iter().sum());
                said.push(format!("{share} at {}", counted(rest.len(), "further end")));
            }
            let _ = writeln!(
                out,
                "<tr><td class=\"figure\">{}</td><th scope=\"row\">{}</th>\
                 <td class=\"figure\">{}</td><td class=\"figure\">{}</td><td>{}</td></tr>",
                i + 1,
                text(&name(row)),
                right(row),
                text(&percent(row.sure)),
                prose(&said.join("; "))
            );
        }
        foot(out);
    }
    if !trusted.is_empty() {
        out.push_str(
            "<h3>Taxa that come to their name, in part on trust</h3>\n<p>Where an account says \
             nothing, or a lead was not read, the plants are trusted to go where their name \
             stands. In brackets: the share that the account itself decides at every \
             couplet.</p>\n<ul class=\"plain\">\n",
        );
        for (i, row) in trusted {
            let decided = percent(row.sure).replace('-', "none");
            item(out, i, &format!("{} ({decided})", name(row)));
        }
        out.push_str("</ul>\n");
    }
}

fn plain(out: &mut String, outcomes: &Outcomes) {
    let rows: Vec<(usize, &Row)> =
        outcomes.rows.iter().enumerate().filter(|(_, r)| is_plain(r)).collect();
    if rows.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "<h3>{} whose plants all come to their name, decided at every couplet</h3>\n\
         <ul class=\"plain\">",
        counted(rows.len(), "taxon")
    );
    for (i, row) in rows {
        item(out, i, &name(row));
    }
    out.push_str("</ul>\n");
}

fn item(out: &mut String, i: usize, words: &str) {
    let _ = writeln!(out, "<li><span class=\"n\">{}</span> {}</li>", i + 1, text(words));
}

fn name(row: &Row) -> String {
    match &row.by_group {
        Some(group) => format!("{} (as {group})", row.taxon),
        None => row.taxon.clone(),
    }
}

fn right(row: &Row) -> String {
    let share = percent(row.right).replace('-', "none");
    let near = if row.near { "about " } else { "" };
    let bar = (row.right.clamp(0.0, 1.0) * 40.0).round();
    format!(
        "{}<br><svg width=\"42\" height=\"7\" viewBox=\"0 0 42 7\" aria-hidden=\"true\">\
         <rect x=\".5\" y=\".5\" width=\"41\" height=\"6\" fill=\"none\" stroke=\"#555\"/>\
         <rect x=\"1\" y=\"1\" width=\"{bar}\" height=\"5\" fill=\"#555\"/></svg>",
        text(&format!("{near}{share}"))
    )
}
