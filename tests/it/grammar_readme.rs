//! The reference for writers: every example is read, every word and every figure is on the page.

use hilum::check::{Options, examine};
use hilum::key::Key;
use hilum::text::amount::{Amount, Extent, Limit, Range, Unit};
use hilum::text::finding::Severity;
use hilum::text::frequency::{Frequency, TABLE};
use hilum::text::language::{ALL, Language};
use hilum::text::notation::{self, Reading};
use hilum::text::parse;
use hilum::text::source::Source;

use super::support::checkout;

fn page() -> String {
    std::fs::read_to_string(checkout("grammar/README.md")).expect("the page")
}

/// The fenced blocks of a page: line, what stands after the fence, text.
fn blocks(page: &str) -> Vec<(usize, String, String)> {
    let mut out = Vec::new();
    let mut open: Option<(usize, String, String)> = None;
    for (n, line) in page.lines().enumerate() {
        match &mut open {
            None => {
                if let Some(info) = line.strip_prefix("```") {
                    open = Some((n + 1, info.to_string(), String::new()));
                }
            }
            Some(_) if line == "```" => out.extend(open.take()),
            Some((_, _, text)) => {
                text.push_str(line);
                text.push('\n');
            }
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    out
}

/// Whether a block begins with a section, and not with the title of a whole key.
fn is_part(text: &str) -> bool {
    let first = text.lines().find(|l| !l.starts_with('#')).unwrap_or("");
    let english = Language::english();
    english.sections.iter().any(|(word, _)| *word == first)
}

#[test]
fn every_key_is_read_and_shows_what_it_says_it_shows() {
    let mut wrong = Vec::new();
    let (mut wholes, mut parts, mut slips) = (0, 0, 0);
    for (line, info, text) in blocks(&page()) {
        let Some(asked) = info.strip_prefix("key") else {
            assert_eq!(info, "values", "line {line}: a block of an unknown kind");
            continue;
        };
        let part = is_part(&text);
        // A part needs a title to be read; what other parts would say is not missed.
        let text = if part { format!("A part of a key\n\n{text}") } else { text };
        let key = Key::read(Source::new("page.key", text));
        let findings = if part {
            parts += 1;
            key.findings.clone()
        } else {
            wholes += 1;
            examine(&key, &Options::default()).open().cloned().collect()
        };
        let grave: Vec<_> = findings.iter().filter(|f| f.severity != Severity::Note).collect();
        let mut rules: Vec<&str> = grave.iter().map(|f| f.rule).collect();
        rules.dedup();
        let expected = match asked.trim().strip_prefix("shows ") {
            Some(rule) => {
                slips += 1;
                vec![rule]
            }
            None => Vec::new(),
        };
        if rules != expected {
            wrong.push(format!("line {line}: expected {expected:?}, found {grave:#?}"));
        }
        if let Some(n) = asked.trim_start_matches([',', ' ']).strip_prefix("prose ") {
            let share = key.share;
            if share.prose.to_string() != n || share.to_a_point > 0 {
                wrong.push(format!("line {line}: expected {n} of prose, found {share:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(
        wholes >= 4 && parts >= 8 && slips >= 5,
        "{wholes} whole, {parts} parts, {slips} slips"
    );
}

#[test]
fn every_value_means_what_is_written_beside_it() {
    let mut rows = 0;
    for (line, info, text) in blocks(&page()) {
        if info != "values" {
            continue;
        }
        for (n, row) in text.lines().enumerate() {
            let (written, means) = row.split_once(" = ").expect("a row is VALUE = MEANING");
            let reading = notation::read(written, Language::english())
                .unwrap_or_else(|| panic!("line {}: {written} is not read", line + n + 1));
            assert_eq!(reading.len, written.len(), "{written} is read to its end");
            assert!(reading.faults.is_empty(), "{written}: {:?}", reading.faults);
            assert_eq!(meaning(&reading), means, "line {}: {written}", line + n + 1);
            rows += 1;
        }
    }
    assert!(rows >= 20, "the table of values is there");
}

/// What a value means, in the words of the page.
fn meaning(reading: &Reading) -> String {
    let measure = |amount: &Amount, unit: Option<Unit>| {
        let words: Vec<String> = amount.extents.iter().map(extent).collect();
        let unit = unit.map_or("", Unit::sign);
        format!("{} {unit}", words.join(", or ")).trim().to_string()
    };
    let mut out = measure(&reading.amount, reading.unit);
    if let Some((amount, unit)) = &reading.second {
        out += &format!(", by {}", measure(amount, *unit));
    }
    out
}

fn extent(e: &Extent) -> String {
    let words = if e.usual == e.extreme {
        range(&e.usual)
    } else {
        format!("usually {}, at the extremes {}", range(&e.usual), range(&e.extreme))
    };
    let about = if e.about { "about " } else { "" };
    match e.frequency {
        Frequency::Stated => format!("{about}{words}"),
        Frequency::Rarely => format!("rarely {about}{words}"),
        other => panic!("{other:?} is not on the page"),
    }
}

fn range(r: &Range) -> String {
    match (r.low, r.high) {
        (Some(Limit { value, open: false }), None) => format!("at least {value}"),
        (Some(Limit { value, open: true }), None) => format!("more than {value}"),
        (None, Some(Limit { value, open: false })) => format!("at most {value}"),
        (None, Some(Limit { value, open: true })) => format!("less than {value}"),
        (Some(a), Some(b)) if a == b && !a.open => a.value.to_string(),
        (Some(a), Some(b)) if !a.open && !b.open => format!("{} to {}", a.value, b.value),
        other => panic!("{other:?} is not on the page"),
    }
}

#[test]
fn every_property_section_and_condition_is_on_the_page_and_in_an_example() {
    let page = page();
    let keys: String = blocks(&page)
        .into_iter()
        .filter(|(_, info, _)| info.starts_with("key"))
        .map(|(_, _, text)| text)
        .collect();
    let lists: [&[&str]; 5] = [
        &parse::HEADING_WORDS,
        &parse::CHARACTER_WORDS,
        &parse::LEAD_WORDS,
        &parse::ACCOUNT_WORDS,
        &parse::TERM_WORDS,
    ];
    for word in lists.into_iter().flatten().chain(&["pressed"]) {
        assert!(page.contains(&format!("`{word}")), "`{word}` is explained nowhere");
        let used = keys.lines().any(|l| {
            l.starts_with("  ")
                && l.trim_start().strip_prefix(word).is_some_and(|r| r.starts_with("  "))
        });
        assert!(used, "`{word}` has no example");
    }
    for (word, _) in Language::english().sections {
        assert!(keys.lines().any(|l| l == *word), "the section `{word}` has no example");
    }
    for tool in hilum::key::character::Tool::ALL.iter().map(|(_, w)| w) {
        assert!(page.contains(&format!("`{tool}`")), "the tool `{tool}` is explained nowhere");
    }
    for ease in hilum::key::character::Ease::ALL.iter().map(|(_, w)| w) {
        assert!(page.contains(&format!("`{ease}`")), "`{ease}` is explained nowhere");
    }
}

#[test]
fn the_table_of_frequencies_is_the_one_that_is_used() {
    let page = page();
    let percent = |share: f64| {
        let shown = format!("{:.2}", share * 100.0);
        format!("{}%", shown.trim_end_matches('0').trim_end_matches('.'))
    };
    for row in TABLE.iter().filter(|r| r.frequency != Frequency::Stated) {
        let words: Vec<&str> = Language::english()
            .frequency
            .iter()
            .filter(|(_, f)| *f == row.frequency)
            .map(|(w, _)| *w)
            .collect();
        let expected = format!(
            "| {} | {} to {} | {} | {} |",
            words.join(", "),
            percent(row.low),
            percent(row.high),
            percent(row.share),
            if row.published { "published" } else { "our choice" },
        );
        assert!(page.contains(&expected), "the page lacks\n{expected}");
    }
}

#[test]
fn every_language_and_its_section_words_are_on_the_page() {
    let page = page();
    for language in ALL {
        let row = page
            .lines()
            .find(|l| l.starts_with(&format!("| `{}` |", language.code)))
            .unwrap_or_else(|| panic!("{} has no row", language.name));
        let cells: Vec<&str> = row.split('|').map(str::trim).filter(|c| !c.is_empty()).collect();
        let [_, conditions, characters, key, key_to, taxa, glossary, stop] = cells[..] else {
            panic!("{row}")
        };
        for word in [conditions, characters, key, taxa, glossary] {
            assert!(language.sections.iter().any(|(w, _)| *w == word), "{word} in {row}");
        }
        assert!(language.key_to.contains(&key_to) && language.stop.contains(&stop), "{row}");
    }
}
