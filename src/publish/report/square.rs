//! The table of taxa by outcomes, drawn: a row for each taxon, a column for each place where plants
//! end. What ends where it belongs stands hollow on the diagonal, what strays stands black off it.

use std::collections::BTreeMap;
use std::fmt::Write;

use indexmap::IndexMap;

use crate::check::study::table::{Kind, Outcomes};

use super::text;

/// Beyond so many rows a mark could no longer be seen.
const MOST_ROWS: usize = 1500;
/// The width of the drawing without its numbers, in its own units.
const WIDTH: f64 = 330.0;
/// Room for the numbers at its left and its top.
const MARGIN: f64 = 26.0;
/// The largest that a row is drawn.
const LARGEST: f64 = 16.0;
/// The smallest that a mark is drawn.
const SMALLEST: f64 = 2.2;

/// The columns behind the names, in order: where a plant comes to no name.
const WITHOUT_NAME: [(Kind, &str); 5] = [
    (Kind::Stop, "a stop"),
    (Kind::Elsewhere, "another file"),
    (Kind::NoLead, "no lead that fits"),
    (Kind::Round, "round in a circle"),
    (Kind::Nowhere, "a lead that goes nowhere"),
];

pub fn draw(out: &mut String, outcomes: &Outcomes, number: usize) {
    let rows = outcomes.rows.len();
    if !(2..=MOST_ROWS).contains(&rows) {
        return;
    }
    let columns = columns(outcomes);
    let side = (WIDTH / (columns.all as f64)).min(LARGEST);
    let (width, height) =
        (MARGIN + side * columns.all as f64 + 2.0, MARGIN + side * rows as f64 + 2.0);
    let _ = writeln!(
        out,
        "<figure>\n<svg viewBox=\"0 0 {width:.1} {height:.1}\" style=\"max-width:{:.0}px\" \
         role=\"img\" aria-labelledby=\"square-{number}\">",
        width * 1.6
    );
    grid(out, rows, columns.names, columns.all, side);
    let (mut own, mut wrong) = (String::new(), String::new());
    let mut strays = 0;
    for (i, row) in outcomes.rows.iter().enumerate() {
        for end in &row.ends {
            let Some(j) = columns.of(end.kind, &end.words) else { continue };
            let mark = (side * 0.9 * end.share.clamp(0.0, 1.0).sqrt()).max(SMALLEST);
            let x = MARGIN + side * (j as f64 + 0.5) - mark / 2.0;
            let y = MARGIN + side * (i as f64 + 0.5) - mark / 2.0;
            let path = if end.kind == Kind::Own { &mut own } else { &mut wrong };
            let _ = write!(path, "M{x:.1} {y:.1}h{mark:.1}v{mark:.1}h-{mark:.1}z");
            strays += usize::from(end.kind != Kind::Own);
        }
    }
    let line = (side / 12.0).clamp(0.25, 0.8);
    let _ = writeln!(
        out,
        "<path d=\"{own}\" fill=\"#ddd\" stroke=\"#555\" stroke-width=\"{line:.2}\"/>\n\
         <path d=\"{wrong}\" fill=\"#000\"/>\n</svg>"
    );
    caption(out, &columns, strays, number);
    out.push_str("</figure>\n");
}

fn caption(out: &mut String, columns: &Columns, strays: usize, number: usize) {
    let strayed = match strays {
        0 => "No plant strays.".to_string(),
        1 => "One black mark stands for plants that stray.".to_string(),
        n => format!("{n} black marks stand for plants that stray."),
    };
    let _ = write!(
        out,
        "<figcaption id=\"square-{number}\">Rows: the taxa, by the numbers below. Columns: where \
         their plants end, in the same order{}. A mark is as large as the share of the plants: \
         hollow where they end at their own name, black where they do not. {strayed}",
        if columns.further.is_empty() { "" } else { ", further names behind them" }
    );
    let last: Vec<String> = WITHOUT_NAME
        .iter()
        .filter_map(|(kind, words)| {
            columns.without.get(kind).map(|j| format!("{} ({words})", letter(j - columns.names)))
        })
        .collect();
    if !last.is_empty() {
        let _ = write!(out, " Behind the line: {}.", last.join(", "));
    }
    if !columns.further.is_empty() {
        let names: Vec<String> =
            columns.further.iter().map(|(words, j)| format!("{} {words}", j + 1)).collect();
        let _ = write!(out, " Further names: {}.", text(&names.join(", ")));
    }
    out.push_str("</figcaption>\n");
}

/// Which column an end stands in.
struct Columns {
    own: IndexMap<String, usize>,
    /// Names that are no taxon's own, and their columns.
    further: IndexMap<String, usize>,
    without: BTreeMap<Kind, usize>,
    /// How many have a name, and how many there are.
    names: usize,
    all: usize,
}

impl Columns {
    fn of(&self, kind: Kind, words: &str) -> Option<usize> {
        match kind {
            Kind::Own | Kind::Name => {
                self.own.get(words).or_else(|| self.further.get(words)).copied()
            }
            other => self.without.get(&other).copied(),
        }
    }
}

// A taxon that has no name of its own to come to keeps its column, so that the diagonal is one.
fn columns(outcomes: &Outcomes) -> Columns {
    let mut own = IndexMap::new();
    for (i, row) in outcomes.rows.iter().enumerate() {
        for end in row.ends.iter().filter(|e| e.kind == Kind::Own) {
            own.entry(end.words.clone()).or_insert(i);
        }
        own.entry(row.taxon.clone()).or_insert(i);
    }
    let mut names = outcomes.rows.len();
    let mut further = IndexMap::new();
    let ends = || outcomes.rows.iter().flat_map(|r| &r.ends);
    for end in ends().filter(|e| e.kind == Kind::Name && !own.contains_key(&e.words)) {
        further.entry(end.words.clone()).or_insert_with(|| {
            names += 1;
            names - 1
        });
    }
    let mut all = names;
    let mut without = BTreeMap::new();
    for (kind, _) in WITHOUT_NAME {
        if ends().any(|e| e.kind == kind) {
            without.insert(kind, all);
            all += 1;
        }
    }
    Columns { own, further, without, names, all }
}

fn letter(i: usize) -> char {
    char::from(b'a' + (i as u8).min(25))
}

fn grid(out: &mut String, rows: usize, names: usize, all: usize, side: f64) {
    let step = match rows.max(names) {
        0..=20 => 1,
        21..=60 => 5,
        61..=150 => 10,
        151..=400 => 50,
        _ => 100,
    };
    let (right, bottom) = (MARGIN + side * all as f64, MARGIN + side * rows as f64);
    let mut lines = String::new();
    let mut numbers = String::new();
    let marked = |n: usize| n == 1 || n.is_multiple_of(step);
    for n in (1..=rows).filter(|n| marked(*n)) {
        let y = MARGIN + side * (n as f64 - 0.5);
        let _ = write!(lines, "M{MARGIN} {y:.1}H{right:.1}");
        let _ = write!(
            numbers,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{n}</text>",
            MARGIN - 3.0,
            y + 2.8
        );
    }
    for n in (1..=names).filter(|n| marked(*n)) {
        let x = MARGIN + side * (n as f64 - 0.5);
        let _ = write!(lines, "M{x:.1} {MARGIN}V{bottom:.1}");
        let _ = write!(
            numbers,
            "<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{n}</text>",
            MARGIN - 4.0
        );
    }
    for (i, j) in (names..all).enumerate() {
        let x = MARGIN + side * (j as f64 + 0.5);
        let _ = write!(
            numbers,
            "<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            MARGIN - 4.0,
            letter(i)
        );
    }
    let _ = writeln!(
        out,
        "<path d=\"{lines}\" stroke=\"#ddd\" stroke-width=\".5\" fill=\"none\"/>\n\
         <rect x=\"{MARGIN}\" y=\"{MARGIN}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"none\" \
         stroke=\"#555\" stroke-width=\".7\"/>\n\
         <g font-family=\"sans-serif\" font-size=\"8\" fill=\"#111\">{numbers}</g>",
        right - MARGIN,
        bottom - MARGIN
    );
    if names < all {
        let x = MARGIN + side * names as f64;
        let _ = writeln!(
            out,
            "<path d=\"M{x:.1} {MARGIN}V{bottom:.1}\" stroke=\"#111\" stroke-width=\"1\"/>"
        );
    }
}
