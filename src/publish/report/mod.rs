//! What an examination found, as one page of HTML that an editor can be sent: it needs no script
//! and no other file, and is made to be read on paper too.

mod figures;
mod findings;
mod outcomes;
mod square;

use std::fmt::Write;

use crate::check::study::Study;
use crate::check::{Counts, Report};
use crate::key::Key;
use crate::text::shown::shown;

use super::escape::markup;

/// What one key came to.
#[derive(Clone, Copy, Debug)]
pub struct Examined<'a> {
    pub key: &'a Key,
    pub report: &'a Report,
    /// `None` where the work was broken off before it.
    pub study: Option<&'a Study>,
}

/// By this a file is known as a report that may be written over.
const MARK: &str = "<meta name=\"generator\" content=\"hilum check --report\">";

/// The whole page; the keys follow one another.
pub fn page(keys: &[Examined]) -> String {
    let title = match keys {
        [one] => format!("Report on {}", title(one.key)),
        many => format!("Report on {} keys", many.len()),
    };
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n{MARK}\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{}</style>\n</head>\n<body>\n<main>\n",
        text(&title),
        include_str!("page.css")
    );
    for (i, one) in keys.iter().enumerate() {
        key(&mut out, one, i);
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// Whether a file's beginning is that of such a page.
pub fn is_report(bytes: &[u8]) -> bool {
    let beginning = &bytes[..bytes.len().min(400)];
    beginning.windows(MARK.len()).any(|w| w == MARK.as_bytes())
}

fn title(key: &Key) -> &str {
    let title = key.heading.title.trim();
    if title.is_empty() { key.source.name() } else { title }
}

/// The parts of a key's report, in order: a name for the place on the page, the heading, and the
/// writer; a part that writes nothing is left out.
type Section = (&'static str, &'static str, fn(&mut String, &Examined, usize));

const SECTIONS: [Section; 8] = [
    ("mend", "To mend", findings::serious),
    ("outcomes", "Where the plants of every account end", outcomes::write),
    ("near", "The nearest pairs", figures::nearest),
    ("quality", "How good the key is", figures::quality),
    ("hand", "The specimen in hand", figures::in_hand),
    ("notes", "Notes", findings::notes),
    ("answered", "Answered in the text", findings::answered),
    ("rules", "The rules named here", findings::rules_named),
];

fn key(out: &mut String, one: &Examined, number: usize) {
    let parts: Vec<(&str, &str, String)> = SECTIONS
        .iter()
        .map(|(place, heading, write)| {
            let mut part = String::new();
            write(&mut part, one, number);
            (*place, *heading, part)
        })
        .filter(|(_, _, part)| !part.is_empty())
        .collect();
    let _ = write!(out, "<section class=\"key\">\n<header>\n<h1>{}</h1>\n", text(title(one.key)));
    heading(out, one);
    let _ = writeln!(out, "<nav aria-label=\"Parts of this report\"><ul>");
    for (place, heading, _) in &parts {
        let _ = writeln!(out, "<li><a href=\"#{place}-{number}\">{heading}</a></li>");
    }
    out.push_str("</ul></nav>\n</header>\n");
    for (place, heading, part) in &parts {
        let _ = write!(
            out,
            "<section id=\"{place}-{number}\">\n<h2>{heading}</h2>\n{part}</section>\n"
        );
    }
    out.push_str("</section>\n");
}

fn heading(out: &mut String, one: &Examined) {
    let (key, counts) = (one.key, one.report.counts());
    let _ = writeln!(out, "<p class=\"verdict\">{}</p>", verdict(counts));
    out.push_str("<dl class=\"about\">\n");
    let mut line = |term: &str, words: &str| {
        if !words.is_empty() {
            let _ = writeln!(out, "<div><dt>{term}</dt><dd>{}</dd></div>", text(words));
        }
    };
    line("File", key.source.name());
    line("Place", key.heading.place.as_deref().unwrap_or(""));
    line("Issue", key.heading.issue.as_deref().unwrap_or(""));
    line("By", &key.heading.by.join("; "));
    line("Print of the text", &key.print());
    line("Size", &figures::size(&one.report.figures));
    line("Routes", &figures::routes(&one.report.figures));
    out.push_str("</dl>\n");
    for not in &one.report.not_examined {
        let words = format!("{}, for {}.", not.what, not.why);
        let _ = writeln!(out, "<p><strong>Not examined:</strong> {}</p>", text(&words));
    }
    if !one.report.not_applied.is_empty() {
        let _ = writeln!(
            out,
            "<p><strong>The work was broken off.</strong> Rules not applied, or only in part: {}.</p>",
            text(&one.report.not_applied.join(", "))
        );
    }
}

fn verdict(counts: Counts) -> String {
    let all = [
        (counts.errors, "error"),
        (counts.warnings, "warning"),
        (counts.notes, "note"),
        (counts.answered, "answered finding"),
    ];
    let said: Vec<String> =
        all.iter().filter(|(n, _)| *n > 0).map(|(n, one)| counted(*n, one)).collect();
    let first = match (counts.errors, counts.warnings) {
        (0, 0) => "Nothing to mend",
        (0, _) => "The key can be used; some of it wants a second look",
        _ => "The key cannot be used as it stands",
    };
    if said.is_empty() { format!("{first}.") } else { format!("{first}: {}.", said.join(", ")) }
}

/// Text of a key, made safe and visible.
fn text(words: &str) -> String {
    markup(&shown(words))
}

/// The same, with what stands between backquotes set as written.
fn prose(words: &str) -> String {
    let safe = text(words);
    let pieces: Vec<&str> = safe.split('`').collect();
    if pieces.len().is_multiple_of(2) {
        return safe;
    }
    let set = |(i, piece): (usize, &&str)| {
        if i % 2 == 1 { format!("<code>{piece}</code>") } else { piece.to_string() }
    };
    pieces.iter().enumerate().map(set).collect()
}

fn counted(n: usize, one: &str) -> String {
    match (n, one) {
        (1, _) => format!("1 {one}"),
        (_, "taxon") => format!("{n} taxa"),
        _ => format!("{n} {one}s"),
    }
}
