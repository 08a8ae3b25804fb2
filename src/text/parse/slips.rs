//! Slips of the form: a property typed with one blank, a lead that does not stand at the margin.

use super::lines::{Rest, begins_with_label, depth, is_blank, trim};
use super::properties::words_of;
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::months;
use crate::text::span::Span;
use crate::text::tree::SectionKind;

/// A line that begins like a property and lacks the two blanks.
pub(super) struct Slip<'t> {
    word: Span,
    /// From the word's end to the value.
    gap: Span,
    value: &'t str,
}

impl<'t> Slip<'t> {
    /// `None` where no word of the section is followed by one blank or a colon, and a value.
    pub fn of(text: &'t str, line: Span, kind: Option<SectionKind>) -> Option<Slip<'t>> {
        let said = &text[line.range()];
        let end = said.find(|c: char| !c.is_alphabetic()).unwrap_or(said.len());
        let low = said[..end].to_lowercase();
        let known = words_of(kind).contains(&low.as_str())
            || kind == Some(SectionKind::Characters)
                && (["fresh", "pressed", "remark"].contains(&low.as_str())
                    || Language::of(&low).is_some());
        let rest = &said[end..];
        let after = rest.strip_prefix(':').unwrap_or(rest);
        let value = after.trim_start_matches(is_blank);
        if end == 0 || !known || value.is_empty() || value.len() == rest.len() {
            return None;
        }
        let start = line.start as usize;
        Some(Slip {
            word: Span::new(start, start + end),
            gap: Span::new(start + end, start + said.len() - value.len()),
            value,
        })
    }

    pub fn word(&self, text: &str) -> String {
        text[self.word.range()].to_lowercase()
    }

    /// Whether a line of an account that goes on its prose after `before` must be meant as the
    /// property. `flowers`, `found` and the like begin many an honest line of prose.
    pub fn is_meant(&self, text: &str, before: Option<Span>, language: &Language) -> bool {
        let before = before.map(|b| text[b.range()].trim_end());
        let begins = before.is_none_or(|b| b.ends_with(['.', ';', ':', '!']));
        let sentence = before.is_none_or(|b| b.ends_with('.'));
        let colon = text[self.gap.range()].starts_with(':');
        let lower = text[self.word.range()].starts_with(char::is_lowercase);
        let capital = self.value.starts_with(char::is_uppercase);
        let first = self.value.split(is_blank).next().unwrap_or("");
        match self.word(text).as_str() {
            "caution" => colon || begins || capital,
            "called" => colon || begins,
            "family" => {
                colon || begins || first.trim_end_matches(['.', ',', ';']).ends_with("aceae")
            }
            "synonym" => (colon || begins) && capital,
            "remark" => begins && (colon || lower),
            "found" => sentence && (colon || lower),
            "under" => {
                let words = self.value.split(is_blank).count();
                sentence && lower && capital && words <= 2 && !self.value.ends_with('.')
            }
            "flowers" | "fruits" => {
                let value = self.value.trim_end_matches('.');
                sentence && (colon || lower) && months::read(value, language).faults.is_empty()
            }
            "picture" => {
                let low = self.value.to_lowercase();
                [".png", ".jpg", ".jpeg", ".svg", ".gif", ".webp"].iter().any(|e| low.ends_with(e))
            }
            "intended" => first.ends_with(':') && first.contains('-'),
            _ => false,
        }
    }

    /// What is said of it where it was read as the prose of an account.
    pub fn in_account(&self, text: &str) -> Finding {
        let word = self.word(text);
        let what = format!("`{word}` is followed by {}, so it is read as prose", self.what(text));
        self.mended(
            Finding::error("stray-line", self.word, what)
                .why("A property is its word, two blanks and a value; this one is lost in the account above it."),
            text,
        )
    }

    fn what(&self, text: &str) -> &'static str {
        if text[self.gap.range()].starts_with(':') { "a colon" } else { "one blank" }
    }

    /// Adds the remedy: two blanks.
    pub fn mended(&self, finding: Finding, text: &str) -> Finding {
        let remedy = format!("Write two blanks after `{}`.", self.word(text));
        finding.remedy(remedy).mend(self.gap, "  ")
    }
}

/// A lead that stands behind blanks: a label with its letter, two blanks, and leaders on the same
/// line. A wrapped line may begin with a number, and so a lead is only seen with all of them.
pub(super) fn indented_label(text: &str, line: Span, rest: &Rest) -> Option<Span> {
    let said = &text[line.range()];
    let figures = said.len() - said.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let after = said[figures..].strip_prefix(|c: char| c.is_ascii_uppercase());
    let after = after.unwrap_or(&said[figures..]).strip_prefix(|c: char| c.is_ascii_lowercase())?;
    let after = after.strip_prefix(['.', ':', ')']).unwrap_or(after);
    let blanks = after.len() - after.trim_start_matches(is_blank).len();
    let parted = blanks > 1 || after.starts_with('\t');
    let end = line.start as usize + said.len() - after.len();
    let leads = rest.leaders.iter().any(|l| l.start as usize > end + blanks);
    (figures > 0 && parted && leads).then(|| Span::new(line.start as usize, end))
}

/// What is said of such a lead, which is read as what it is.
pub(super) fn indented_lead(text: &str, indent: Span, label: Span) -> Finding {
    let columns = depth(&text[indent.range()]);
    let blanks = if columns == 1 { "a blank".to_string() } else { format!("{columns} blanks") };
    let name = &text[label.range()];
    Finding::error(
        "stray-line",
        label,
        format!("{blanks} before lead {name}: a lead stands at the margin"),
    )
    .why("What is indented goes on the lead above it; this line was read as a lead all the same.")
    .remedy("Take away what stands before the label.")
    .mend(indent, "")
}

/// The rest of a line after the label that it begins with.
pub(super) fn after_label(text: &str, label: Span, rest: Rest) -> Rest {
    let said = trim(text, Span { start: label.end, end: rest.text.end.max(label.end) });
    let leaders = rest.leaders.into_iter().filter(|l| l.start >= said.start).collect();
    Rest { text: said, leaders, tail: rest.tail }
}

/// A title that is the section's word `key` and nothing else.
pub(super) fn is_bare_key(title: &str) -> bool {
    fold(title.trim()) == "key"
}

/// What is said of it.
pub(super) fn bare_title(span: Span) -> Finding {
    Finding::warning("title-missing", span, "the title says no more than `Key`")
        .why("The first line says what the key covers; readers choose a key by it.")
        .remedy("Write a line such as `Key to weeds of the barley terraces` in its place.")
}

/// The first line is `Key` alone, and before the first lead the section's word stands again.
pub(super) fn begins_with_bare_key(text: &str) -> bool {
    let margin = |l: &&str| !l.trim().is_empty() && !l.starts_with(|c| is_blank(c) || c == '#');
    let mut lines = text.trim_start_matches('\u{FEFF}').lines().filter(margin);
    lines.next().is_some_and(is_bare_key)
        && lines.take_while(|l| !begins_with_label(l)).any(is_bare_key)
}

/// What is said of a first line that looks like a lead.
pub(super) fn lead_as_title(label: Span) -> Finding {
    Finding::warning(
        "title-missing",
        label,
        "the first line looks like a lead; it was taken as the title",
    )
    .why("The first line of a key file is its title.")
    .remedy("Write the key's title above it, and `key` alone on a line before the leads.")
}

/// What is said of a language without tables.
pub(super) fn unknown_language(code: &str, span: Span) -> Finding {
    let known: Vec<_> =
        crate::text::language::ALL.iter().map(|l| format!("{} ({})", l.code, l.name)).collect();
    Finding::error(
        "unknown-language",
        span,
        format!("there is no word table for the language `{code}`"),
    )
    .why("The section words, `or`, `to` and the words of frequency come from it.")
    .remedy(format!("Use one of {}; the file was read as English.", known.join(", ")))
}

/// What is said of a line at the margin under `key` that bears no label.
pub(super) fn unlabelled(rest: &Rest) -> Finding {
    if rest.leaders.is_empty() {
        Finding::error("stray-line", rest.text, "this line is no lead, no note and no comment")
            .why("Under `key`, what stands at the margin is a lead with its label (7a) or begins a section.")
            .remedy("Indent it if it belongs to the lead above; put `# ` before it if it is a comment.")
    } else {
        Finding::error("labels-missing", rest.text, "this lead has no label")
            .why("Couplets are found by their labels. Automatic numbers of a word processor vanish on copying.")
            .remedy("Write the couplet's number and the lead's letter at the margin: `1a`. Were the numbers automatic?")
    }
}
