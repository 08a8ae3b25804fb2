//! The JSON of `check`.
//!
//! ```json
//! {
//!   "format": 1,
//!   "files": [{
//!     "file": "weeds.key",
//!     "title": "Key to the weeds ...",
//!     "findings": [{
//!       "rule": "label-twice",
//!       "severity": "error",
//!       "place": {"start": 120, "end": 122, "line": 9, "column": 1, "end_line": 9, "end_column": 3},
//!       "what": "the label 3a is used twice", "why": "...", "remedy": "...",
//!       "related": [{"place": {...}, "words": "3a stands here already"}],
//!       "mend": {"place": {...}, "replacement": "3b"},
//!       "intended": null
//!     }],
//!     "figures": {"keys": 1, "couplets": 4, "routes": {"number": 5.0, "deepest": 3, "mean": 2.4}, ...},
//!     "answered": {"taxon-twice": 1},
//!     "not_examined": [{"what": "what becomes of plants that take lead 3b", "why": "..."}],
//!     "unread": [{"place": {...}, "words": "Twigs hairy when young", "read": "prose"}]
//!   }],
//!   "counts": {"errors": 1, "warnings": 0, "notes": 0, "answered": 1},
//!   "status": 1
//! }
//! ```
//!
//! With `--routes`, `--in-hand` or `--quality` each file has a `study`: `outcomes` (where the plants
//! of every account end), `in_hand`, `before_pressing`, `quality`, `nearest`. Shares are parts of
//! one.
//!
//! All findings are in it, notes and answered ones too; `mend` and `intended` may be null. `start`
//! and `end` are bytes, lines and columns count from 1 and columns in characters. `unread` is there
//! with `--unread`; its `read` is `prose` or `to a point`. Fields may be added under the same
//! `format`; none is taken away or changes its meaning.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::check::study::Study;
use crate::check::{Counts, NotExamined, Report};
use crate::cli::{Outcome, Terminal};
use crate::key::{Figures, Key};
use crate::text::finding::{Finding, Severity};
use crate::text::source::Source;
use crate::text::span::Span;

use super::Check;
use super::text::unread;

#[derive(Serialize)]
struct Document<'a> {
    format: u32,
    files: Vec<File<'a>>,
    counts: Counts,
    status: u8,
}

#[derive(Serialize)]
struct File<'a> {
    file: &'a str,
    title: &'a str,
    findings: Vec<Found<'a>>,
    figures: &'a Figures,
    answered: &'a BTreeMap<&'static str, usize>,
    not_examined: &'a [NotExamined],
    #[serde(skip_serializing_if = "Option::is_none")]
    unread: Option<Vec<Unread<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    study: Option<&'a Study>,
}

#[derive(Serialize)]
struct Found<'a> {
    rule: &'static str,
    severity: Severity,
    place: Place,
    what: &'a str,
    why: &'a str,
    remedy: &'a str,
    related: Vec<RelatedPlace<'a>>,
    mend: Option<Mended<'a>>,
    intended: Option<&'a str>,
}

#[derive(Serialize)]
struct Place {
    start: u32,
    end: u32,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
struct RelatedPlace<'a> {
    place: Place,
    words: &'a str,
}

#[derive(Serialize)]
struct Mended<'a> {
    place: Place,
    replacement: &'a str,
}

#[derive(Serialize)]
struct Unread<'a> {
    place: Place,
    words: &'a str,
    read: &'static str,
}

pub fn print(
    command: &Check,
    reports: &[(&Key, Report)],
    studies: &[Study],
    counts: Counts,
    outcome: Outcome,
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    let files = reports.iter().enumerate().map(|(i, (key, report))| File {
        file: key.source.name(),
        title: &key.heading.title,
        findings: report.findings.iter().map(|f| found(&key.source, f)).collect(),
        figures: &report.figures,
        answered: &report.answered,
        not_examined: &report.not_examined,
        unread: command.unread.then(|| {
            let all = unread(key).map(|u| Unread {
                place: place(&key.source, u.span),
                words: key.source.slice(u.span),
                read: if u.to_a_point { "to a point" } else { "prose" },
            });
            all.collect()
        }),
        study: studies.get(i),
    });
    let document = Document { format: 1, files: files.collect(), counts, status: outcome as u8 };
    terminal.print_json(&document)
}

fn found<'a>(source: &Source, f: &'a Finding) -> Found<'a> {
    let related =
        f.related.iter().map(|r| RelatedPlace { place: place(source, r.span), words: &r.words });
    Found {
        rule: f.rule,
        severity: f.severity,
        place: place(source, f.span),
        what: &f.what,
        why: &f.why,
        remedy: &f.remedy,
        related: related.collect(),
        mend: f
            .mend
            .as_ref()
            .map(|m| Mended { place: place(source, m.span), replacement: &m.replacement }),
        intended: f.intended.as_deref(),
    }
}

fn place(source: &Source, span: Span) -> Place {
    let start = source.line_column(span.start as usize);
    let end = source.line_column(span.end as usize);
    Place {
        start: span.start,
        end: span.end,
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
    }
}
