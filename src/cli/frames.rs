//! A finding in its frame: headline, the lines of the text, related places, why, and what to do.

use annotate_snippets::renderer::{DecorStyle, Renderer};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Patch, Snippet};

use crate::text::finding::{Finding, Severity};
use crate::text::shown::shown;
use crate::text::source::Source;
use crate::text::span::Span;

use crate::text::excerpt::Excerpt;

/// Places at most this many lines apart stand in one piece of text.
const NEAR: usize = 2;
/// The most lines of the text in one piece, and the most related places shown.
const MOST_LINES: usize = 12;
const MOST_RELATED: usize = 6;

/// The frame of a finding, with terminal codes, `width` columns wide where the text allows it.
pub fn frame(source: &Source, finding: &Finding, width: usize) -> String {
    let level = level(finding);
    let mut places = vec![(finding.span, "", true)];
    let related = finding.related.iter().take(MOST_RELATED);
    places.extend(related.map(|r| (r.span, r.words.as_str(), false)));
    let pieces = pieces(source, &places);

    let mut main =
        Group::with_title(level.clone().primary_title(shown(&finding.what)).id(finding.rule));
    for piece in &pieces {
        let at = source.line_column(piece.at.start as usize);
        let mut snippet = Snippet::source(piece.excerpt.text())
            .line_start(piece.excerpt.first_line())
            .annotations(piece.marks(&places));
        let name = shown(source.name());
        // The renderer counts columns in what it is given; what was trimmed it cannot count.
        if piece.excerpt.column(piece.at) == at.column {
            snippet = snippet.path(name);
        } else {
            main = main.element(Origin::path(name).line(at.line).char_column(at.column));
        }
        main = main.element(snippet);
    }
    let more = finding.related.len().saturating_sub(MOST_RELATED);
    if more > 0 {
        main = main.element(Level::NOTE.no_name().message(format!("and {more} more places")));
    }
    let mut line = |name: &'static str, words: &str| {
        if !words.is_empty() {
            let words = wrapped(words, width.saturating_sub(name.len() + 10));
            let message = Level::HELP.with_name(name).message(words);
            main = std::mem::replace(&mut main, Group::with_level(level.clone())).element(message);
        }
    };
    line("why", &finding.why);
    if let Some(reason) = &finding.intended {
        line("intended", reason);
    } else if finding.mend.is_none() {
        line("remedy", &finding.remedy);
    }
    let mut groups = vec![main];
    let mend = finding.mend.as_ref().filter(|_| finding.intended.is_none());
    let mended = mend.map(|m| (Excerpt::of(source, &[m.span], MOST_LINES), m));
    if let Some((excerpt, mend)) = &mended {
        let title = Level::HELP.with_name("remedy").secondary_title(shown(&finding.remedy));
        let patch = Patch::new(excerpt.range(mend.span), shown_lines(&mend.replacement));
        let snippet = Snippet::source(excerpt.text()).line_start(excerpt.first_line()).patch(patch);
        groups.push(Group::with_title(title).element(snippet));
    }
    let renderer = Renderer::styled().decor_style(DecorStyle::Ascii).term_width(width);
    renderer.render(&groups)
}

/// `file:line:column: severity[rule] what`
pub fn brief(source: &Source, finding: &Finding) -> String {
    let at = source.line_column(finding.span.start as usize);
    let answered = match &finding.intended {
        Some(reason) => format!(" (intended: {})", shown(reason)),
        None => String::new(),
    };
    format!(
        "{}:{}:{}: {}[{}] {}{answered}",
        shown(source.name()),
        at.line,
        at.column,
        finding.severity.word(),
        finding.rule,
        shown(&finding.what)
    )
}

fn level(finding: &Finding) -> Level<'static> {
    match finding.severity {
        _ if finding.intended.is_some() => Level::NOTE.with_name("answered"),
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    }
}

/// Neighbouring lines of the text with the places in them.
struct Piece {
    /// The place that is named above the lines.
    at: Span,
    /// The places in it, by their number.
    holds: Vec<usize>,
    excerpt: Excerpt,
}

impl Piece {
    fn marks<'a>(&'a self, places: &[(Span, &'a str, bool)]) -> Vec<Annotation<'a>> {
        let mark = |&i: &usize| {
            let (span, words, primary) = places[i];
            let kind = if primary { AnnotationKind::Primary } else { AnnotationKind::Context };
            let words = Some(shown(words)).filter(|w| !w.is_empty());
            kind.span(self.excerpt.range(span)).label(words)
        };
        self.holds.iter().map(mark).collect()
    }
}

// The piece with the first place comes first, the others in the order of the text.
fn pieces(source: &Source, places: &[(Span, &str, bool)]) -> Vec<Piece> {
    let line = |at: u32| source.lines().line_of(at as usize);
    let mut order: Vec<usize> = (0..places.len()).collect();
    order.sort_by_key(|&i| (places[i].0, i));
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for i in order {
        let begins = line(places[i].0.start);
        let joins = runs.last().is_some_and(|run| {
            let first = line(places[run[0]].0.start);
            let last = run.iter().map(|&j| line(places[j].0.end)).max().unwrap_or(first);
            begins <= last + NEAR && line(places[i].0.end) < first + MOST_LINES
        });
        match runs.last_mut().filter(|_| joins) {
            Some(run) => run.push(i),
            None => runs.push(vec![i]),
        }
    }
    runs.sort_by_key(|run| !run.contains(&0));
    runs.into_iter()
        .map(|holds| {
            let at = if holds.contains(&0) { places[0].0 } else { places[holds[0]].0 };
            let spans: Vec<Span> = holds.iter().map(|&i| places[i].0).collect();
            Piece { at, holds, excerpt: Excerpt::of(source, &spans, MOST_LINES) }
        })
        .collect()
}

fn wrapped(words: &str, width: usize) -> String {
    textwrap::wrap(&shown(words), width.max(30)).join("\n")
}

// What a mend writes may hold line ends.
fn shown_lines(text: &str) -> String {
    let lines: Vec<_> = text.split('\n').map(shown).collect();
    lines.join("\n")
}
