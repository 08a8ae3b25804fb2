//! The tidy writer: proved to lose nothing, to change no meaning, and to be done in one go.

use std::collections::BTreeMap;

use hilum::text::parse::{Parsed, parse};
use hilum::text::source::Source;
use hilum::text::tidy::{BackReferences, RemarkKind, TidyOptions, tidied, tidy};
use hilum::text::tree::{Body, Tree};
use proptest::prelude::*;

use crate::generate;
use crate::meaning::{meaning, routes};

fn parsed(text: &str) -> Parsed {
    parse(Source::new("t.key", text))
}

/// Every character that is shown, but for the rows of dots between statements and outcomes.
fn shown(tree: &Tree) -> BTreeMap<char, usize> {
    let text = tree.text();
    let mut skip = vec![false; text.len()];
    for entry in tree.sections.iter().flat_map(|s| &s.entries) {
        let Body::Lead(lead) = &entry.body else { continue };
        if let Some(leader) = lead.leader {
            skip[leader.range()].fill(true);
        } else if let Some(outcome) = lead.outcome.segments.first() {
            // One dot, or a dash, was taken for a leader.
            for (at, c) in text[..outcome.start as usize].char_indices().rev() {
                if !(c.is_whitespace() || matches!(c, '.' | '-' | '–' | '—')) {
                    break;
                }
                skip[at] = true;
            }
        }
    }
    let mut out = BTreeMap::new();
    for (at, c) in text.char_indices() {
        if !skip[at] && !c.is_whitespace() && c != '\u{FEFF}' {
            *out.entry(c).or_insert(0) += 1;
        }
    }
    out
}

/// The words of all comments; two at one line's end may have become one.
fn comments(tree: &Tree) -> Vec<String> {
    let text = tree.text();
    let whole = text.lines().map(str::trim).filter(|l| l.starts_with('#'));
    let at_ends = tree.trailing.iter().map(|s| &text[s.range()]);
    let mut out: Vec<String> =
        whole.chain(at_ends).flat_map(str::split_whitespace).map(String::from).collect();
    out.sort();
    out
}

fn rules(text: &str) -> BTreeMap<&'static str, usize> {
    let mut out = BTreeMap::new();
    for f in hilum::key::Key::read(Source::new("t.key", text)).findings {
        *out.entry(f.rule).or_insert(0) += 1;
    }
    out
}

fn holds(text: &str, width: usize) -> Result<String, TestCaseError> {
    let options = TidyOptions { width, ..TidyOptions::default() };
    let before = parsed(text);
    let once = tidy(&before, &options);
    let after = parsed(&once);
    prop_assert_eq!(&tidy(&after, &options), &once, "not done in one go");
    prop_assert_eq!(shown(&before.tree), shown(&after.tree), "lost or added:\n{}", once);
    prop_assert_eq!(meaning(text), meaning(&once), "means something else:\n{}", once);
    prop_assert!(!once.contains('\r') || text.contains('\r'), "a carriage return");
    prop_assert!(!once.contains("\n\n\n"), "blank lines");
    Ok(once)
}

/// Half the usual number (PROPTEST_CASES); what breaks is written down as a test of its own.
fn cases() -> ProptestConfig {
    let usual = ProptestConfig::default();
    ProptestConfig { cases: usual.cases.div_ceil(2), failure_persistence: None, ..usual }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn of_keys(text in generate::keys(), width in 50usize..120) {
        let once = holds(&text, width)?;
        prop_assert_eq!(comments(&parsed(&text).tree), comments(&parsed(&once).tree));
        let (before, after) = (rules(&text), rules(&once));
        for (rule, n) in after {
            prop_assert!(n <= before.get(rule).copied().unwrap_or(0), "{} is new:\n{}", rule, once);
        }
    }

    #[test]
    fn of_damaged_keys(text in generate::damaged_keys(), width in 50usize..120) {
        holds(&text, width)?;
    }

    #[test]
    fn of_scraps(text in generate::scraps(), width in 50usize..90) {
        holds(&text, width)?;
    }

    #[test]
    fn of_any_text(text in "\\PC{0,40}(\n[ \\PC]{0,30}){0,6}") {
        holds(&text, 88)?;
    }

    #[test]
    fn renumbering_changes_no_route(text in generate::keys(), write in any::<bool>()) {
        let back_references = if write { BackReferences::Write } else { BackReferences::Keep };
        let options = TidyOptions { renumber: true, back_references, ..TidyOptions::default() };
        let out = tidied(&parsed(&text), &options);
        prop_assert_eq!(routes(&text), routes(&out.text));
    }
}

/// A key as someone in a hurry types it: every construct, nothing in its place.
const ROUGH: &str = "\
\u{FEFF}   # kept: before the title\r
Key to  the plants of the lane\r
  by Tim\r
  place      the lane   # where it all was seen\r
  remark  This is typed in a hurry and it goes on for long enough that it has to be wrapped, by and by.\r
conditions\r
charred  burnt through\r
soaked in water  softened for a day\r
characters\r
petals:   Petals _\r
\tstates  red, white,\r
\t\tblue\t\r
  part flower\r
# between two properties\r
  waterlogged-for-years  red looks white\r
blade length: Leaf blade _ long\r
  measure  mm\r
\r
\r
\r
key\r
1a Petals red; leaf blade (2-)3-5(-7) mm long. ..2\r
1b Petals white, a statement of many words that is too long for one line of the page # of 1b\r
    # inside 1b\r
  and ends here diam. ….  key to the others at 1b\r
2a (1)Petals red...Galium aparine or G. tricornutum or any of the other species of the genus that grow there\r
2b. Petals blue\t\tstop: nobody has found the ripe fruit that would be needed to go on from here; \r
 look for it in late summer, on the dry bank above the second of the three mills\r
      picture  pics/a  b.svg; a caption\r
3a Petals red go to 1 3b Leaves … red ....... Papaver rhoeas\r
4 Leaves red - 3\r
5a What has no outcome   and two blanks\r
  stays so\r
a line of no use\r
    and another\r
key to the others\r
1a Petals red\u{301}; cafe\u{301} 植物 ..... Papaver rhoeas\r
1b Petals white ..... Papaver dubium   # the last\r
taxa\r
Papaver  rhoeas L.\r
  called corn poppy\r
  called  corn poppy\r
  Petals red. Leaf blade 4 mm long.\r
  Petals of the upper flowers often smaller, and paler towards the end of the year in wet summers;\r
  leaf blade 5 mm long.\r
\r
  # a second paragraph\r
  Leaves red. # so it is\r
  unknwon  words\r
Papaver dubium\r
glossary\r
capsule :a dry fruit\r
    # indented, at the end";

#[test]
fn a_rough_key_and_its_tidy_form() {
    let once = holds(ROUGH, 88).unwrap();
    insta::assert_snapshot!("tidy_rough", once);
    insta::assert_snapshot!("tidy_rough_narrow", holds(ROUGH, 56).unwrap());
}

fn tidy_plain(text: &str) -> String {
    hilum::text::tidy::tidy(
        &hilum::text::parse::parse(hilum::text::source::Source::new("a.key", text)),
        &hilum::text::tidy::TidyOptions::default(),
    )
}

#[test]
fn the_bundled_keys_are_tidy() {
    for bundled in hilum::key::bundled::ALL {
        holds(bundled.text, 88).unwrap();
        assert!(
            tidy_plain(bundled.text) == bundled.text,
            "run `hilum tidy keys/{}.key`",
            bundled.name
        );
    }
}

#[test]
fn every_example_of_the_rules_and_of_the_pages_is_kept_in_meaning() {
    for rule in hilum::check::rules::ALL {
        for text in fenced(rule.doc) {
            holds(&text, 88).unwrap();
        }
    }
    for page in ["README.md", "grammar/README.md"] {
        let page = std::fs::read_to_string(crate::support::checkout(page)).unwrap();
        fenced(&page).iter().for_each(|t| drop(holds(t, 88).unwrap()));
    }
}

fn fenced(page: &str) -> Vec<String> {
    page.split("```")
        .skip(1)
        .step_by(2)
        .map(|b| b.split_once('\n').map_or("", |(_, t)| t).to_string())
        .collect()
}

const ORIGINS: &str = "\
T

key

1a  Petals red ..... 3
1b  Petals white ..... 2
2a  Petals blue ..... 4
2b  Petals pale ..... Aa a
4a  Petals dark (see 2b, or couplet 7; leaves 4 or 7) ..... Bb b
4b (7)  Petals small ..... 3b
      intended  three leads: as in 7a
3a (9b)  Petals torn ..... Cc c
3b  Petals whole ..... key to x at 7b
7a  Petals old ..... Dd d
7b  Petals new ..... Ee e

key to x
12a  Leaves red ..... 7
12b  Leaves blue ..... Ff f
7a  Leaves old ..... Gg g
7b  Leaves new ..... key to x at 12
";

fn numbered(
    text: &str,
    renumber: bool,
    back_references: BackReferences,
) -> (String, Vec<(RemarkKind, String)>) {
    let options = TidyOptions { renumber, back_references, ..TidyOptions::default() };
    let out = tidied(&parsed(text), &options);
    let said = out.remarks.iter().map(|r| (r.kind, text[r.span.range()].to_string())).collect();
    // The rows of dots are of no interest here.
    let lines: Vec<String> = out
        .text
        .lines()
        .map(|l| l.replace("...", "").replace("..", "").replace(" . ", "  "))
        .collect();
    (
        lines
            .join("\n")
            .split('\n')
            .map(|l| l.split("  ").filter(|p| !p.is_empty()).collect::<Vec<_>>().join("  "))
            .collect::<Vec<_>>()
            .join("\n"),
        said,
    )
}

#[test]
fn back_references_are_written_where_the_origin_is_not_above() {
    let (text, said) = numbered(ORIGINS, false, BackReferences::Write);
    for line in [
        // From 1b only, just above.
        "2a  Petals blue",
        // From 2a, just above; what was written is wrong.
        "4b (2)  Petals small",
        // From 1a and, by a pointer to one of its leads, from 4b.
        "3a (1, 4)  Petals torn",
        // Not reached within its own key, so nothing is known.
        "7a  Petals old",
        "12a (7)  Leaves red",
        "7a  Leaves old",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    let corrected = RemarkKind::BackReferenceCorrected;
    assert_eq!(said, [(corrected, "(7)".to_string()), (corrected, "(9b)".to_string())]);
    let (text, said) = numbered(ORIGINS, false, BackReferences::Drop);
    assert!(!text.contains("(9b)") && !text.contains("(7)"), "{text}");
    assert!(said.is_empty());
}

#[test]
fn right_back_references_stay_as_they_are_written() {
    let text = "T\n\nkey\n\n1a  a ..... 2\n1b  b ..... 3\n2a (1)  c ..... Aa a\n2b  d ..... Bb b\n\
                3a (1b)  e ..... Cc c\n3b  f ..... Dd d\n";
    let (written, said) = numbered(text, false, BackReferences::Write);
    assert!(written.contains("2a (1)  c") && written.contains("3a (1b)  e"), "{written}");
    assert!(said.is_empty());
}

#[test]
fn every_pointer_follows_its_couplet() {
    let text = ORIGINS.replace("(9b)", "(4)");
    let options = TidyOptions { renumber: true, ..TidyOptions::default() };
    let out = tidied(&parsed(&text), &options);
    assert_eq!(routes(&text), routes(&out.text));
    let (lines, said) = numbered(&text, true, BackReferences::Keep);
    for line in [
        "1a  Petals red  4",
        "3b (5)  Petals small  4b",
        "4a (3)  Petals torn",
        "4b  Petals whole  key to x at 2b",
        "5b  Petals new",
        "1a  Leaves red  2",
        "2b  Leaves new  key to x at 1",
    ] {
        assert!(lines.contains(line), "{line}\n{lines}");
    }
    // `see 2b` keeps its number, so only what changed is told; `4 or 7` counts leaves.
    let prose: Vec<_> = said.iter().map(|(k, t)| (*k, t.as_str())).collect();
    assert_eq!(prose, [(RemarkKind::NumberInProse, "7"), (RemarkKind::NumberInProse, "7a")]);
    assert_eq!(out.renumbered, 3 + 2);
}

#[test]
fn a_key_with_a_lost_pointer_keeps_its_numbers() {
    let text = "T\n\nkey\n\n3a  a ..... 5\n3b  b ..... 2\n5a  c ..... Aa a\n5b  d ..... Bb b\n";
    let (written, said) = numbered(text, true, BackReferences::Keep);
    assert!(written.contains("5a  c"), "{written}");
    assert_eq!(said, [(RemarkKind::NotRenumbered, "2".to_string())]);
}

#[test]
fn labels_and_pointers_in_odd_places_are_renumbered_too() {
    let text = "T\n\nkey\n\n7a  a go to 9 7b  b ..... 9b\n9Aa.  c ..... Aa a\n9Ab  d ..... Bb b\n\
                9a [7]  e ..... see 9A\n9b  f ..... Cc c\n";
    let out = tidied(&parsed(text), &TidyOptions { renumber: true, ..TidyOptions::default() });
    let wanted =
        [("1a", "3b"), ("2a.", "Aa a"), ("2b", "Bb b"), ("3a [1]", "see 2"), ("3b", "Cc c")];
    for (label, outcome) in wanted {
        let found = out.text.lines().any(|l| l.starts_with(label) && l.ends_with(outcome));
        assert!(found, "{label} ... {outcome}\n{}", out.text);
    }
    assert_eq!(routes(text), routes(&out.text));
}

/// What once broke, by what it was.
#[test]
fn texts_that_were_once_changed() {
    for text in [
        // A comment without a blank before its hash, after a label, a word, or the dots.
        "T\nkey\n1a # so\n1a red ... # so\n  remark  # so\n",
        // A hash that a blank after it would make a comment.
        "T\nkey\n4b Stem hairy #..... Vicia alba\n",
        "T\nglossary\n1a:# so\n",
        // A name that would begin a section or a lead with its colon next to it, or a blank after.
        "T\nglossary\nkey\r:\nkey\n",
        "T\nglossary\n1a:)\n",
        // A wrapped lead whose last line is one word, a tab and the outcome.
        "T\nkey\n3b  Petals hairy, later\n   brown\t stop: nobody knows these\n",
        // Blank lines at the top of the page; leads before any section.
        "\n  #\nkey\n",
        "T\n1a key\n#\n  1a",
        // Words before a number that was read without dots count for the column.
        "1a\n2a go to 1a\nkey\n",
        // The full stop of an abbreviation before the dots.
        "T\nkey\n1a  flowers 3 mm diam. ..... 2\n",
        // A word alone on its line, with blanks after it, in running text.
        "T\ntaxa\nPapaver\n  Petals red;\n  fruit  \n  hairy.\n",
    ] {
        holds(text, 50).unwrap_or_else(|e| panic!("{text:?}: {e}"));
    }
}
