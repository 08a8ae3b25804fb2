//! Measures that touch, measures that leave a gap, what the press takes away, and the pairs of taxa
//! that few characters tell apart.

use hilum::check::study::{Scenario, Study};
use hilum::check::{Examination, Options, Report, examine};
use hilum::key::Key;
use hilum::text::finding::{Finding, Severity};
use hilum::text::source::Source;

fn key(text: &str) -> Key {
    Key::read(Source::new("school.key", text))
}

fn report(text: &str) -> Report {
    examine(&key(text), &Options::default())
}

fn of<'r>(report: &'r Report, rule: &str) -> Vec<&'r Finding> {
    report.findings.iter().filter(|f| f.rule == rule).collect()
}

fn study(text: &str) -> Study {
    Study::of(&Examination::new(&key(text), &[], None))
}

/// Two limes that a measure parts, with what their leads say of it.
fn limes(small: &str, large: &str) -> String {
    format!(
        "Key to two limes of the school yard

characters

blade length: Blade _ long
  measure   cm
  part      leaf

key

1a  Blade {small} ........................... Tilia cordata
1b  Blade {large} ........................... Tilia platyphyllos

taxa

Tilia cordata Mill.
  Blade 4-7 cm long.

Tilia platyphyllos Scop.
  Blade 7-15 cm long.
"
    )
}

#[test]
fn ranges_that_touch_part_two_accounts_and_two_leads() {
    let text = limes("4-7 cm long", "7-15 cm long");
    assert!(of(&report(&text), "taxa-not-told-apart").is_empty());
    let overlap = report(&text);
    let overlap = of(&overlap, "overlapping-leads");
    assert_eq!(overlap.len(), 1);
    assert_eq!(overlap[0].severity, Severity::Note);
    assert!(overlap[0].what.contains("touch: `Blade 7 cm long`"), "{}", overlap[0].what);
    for (a, b) in [("4-7 cm long", "7-15 cm long"), ("up to 7 cm long", "7-15 cm long")] {
        for one in study(&limes(a, b)).in_hand {
            let leaves = matches!(one.scenario, Scenario::LeavesOnly | Scenario::PressedOnly);
            if leaves {
                assert_eq!(one.named, 2, "{a}, {b}: {:?}", one.scenario);
            }
        }
    }
}

#[test]
fn ranges_that_share_more_than_an_end_part_nothing() {
    let text = limes("4-8 cm long", "7-15 cm long").replace("Blade 4-7 cm", "Blade 4-8 cm");
    assert_eq!(of(&report(&text), "taxa-not-told-apart").len(), 1);
    let leaves = study(&text).in_hand.into_iter().find(|i| i.scenario == Scenario::LeavesOnly);
    assert_eq!(leaves.map(|l| l.named), Some(0));
}

#[test]
fn a_gap_between_two_measures_is_a_note_once_a_couplet() {
    let found = report(&limes("4-8 cm long", "10-18 cm long"));
    let gaps = of(&found, "measure-gap");
    assert_eq!(gaps.len(), 1);
    assert_eq!(gaps[0].severity, Severity::Note);
    let what = &gaps[0].what;
    assert!(what.contains("1a and 1b") && what.contains("more than 8"), "{what}");
    for (a, b) in [
        ("4-8 cm long", "8-18 cm long"),
        ("up to 8 cm long", "more than 8 cm long"),
        ("4-12 cm long", "10-18 cm long"),
        ("4-8 cm long", "9-18 cm long"),
        ("4-19.9 cm long", "20.1-35 cm long"),
    ] {
        assert!(of(&report(&limes(a, b)), "measure-gap").is_empty(), "{a}, {b}");
    }
}

#[test]
fn a_gap_is_not_told_where_another_character_parts_the_leads() {
    let text = limes("4-8 cm long; margin entire", "10-18 cm long; margin toothed").replace(
        "\nkey\n",
        "\nmargin: Margin _\n  states    entire, toothed\n  part      leaf\n\nkey\n",
    );
    assert!(of(&report(&text), "measure-gap").is_empty());
}

/// Two maples that only their juice parts.
fn maples(pressed: &str) -> String {
    format!(
        "Key to two maples of the school yard

characters

juice: Milky juice _
  states    present, absent
  part      leaf
{pressed}
key

1a  Milky juice present ..................... Acer campestre
1b  Milky juice absent ...................... Acer pseudoplatanus

taxa

Acer campestre L.
  Milky juice present.

Acer pseudoplatanus L.
  Milky juice absent.
"
    )
}

#[test]
fn the_note_the_table_and_the_list_agree_on_what_the_press_takes_away() {
    for (pressed, becomes) in
        [("", "not said; sap is lost"), ("  pressed   cannot be seen\n", "cannot be seen")]
    {
        let text = maples(pressed);
        assert_eq!(of(&report(&text), "fresh-plant-needed").len(), 1, "{pressed}");
        let study = study(&text);
        let table = study.in_hand.iter().find(|i| i.scenario == Scenario::PressedOnly).unwrap();
        assert_eq!((table.named, table.characters), (0, 0), "{pressed}");
        assert_eq!(study.before_pressing.len(), 1, "{pressed}");
        let note = &study.before_pressing[0];
        assert_eq!((note.becomes.as_str(), note.taxa, note.lost), (becomes, 2, true));
    }
}

/// Two trees, one lead of which says this of the bark.
fn barks(lead: &str) -> String {
    format!(
        "Key to two trees of the school yard

characters

bark: Bark _
  states    white, grey and smooth, brown, furrowed

key

1a  Bark white .............................. Betula pendula
1b  {lead} .............................. Fagus sylvatica
"
    )
}

#[test]
fn words_of_the_states_that_make_up_none_are_told_with_the_states() {
    for lead in ["Bark grey or brown", "Bark grey", "Bark smooth to furrowed"] {
        let found = report(&barks(lead));
        let told = of(&found, "no-such-state");
        assert_eq!(told.len(), 1, "{lead}");
        assert_eq!(told[0].severity, Severity::Warning);
        assert!(told[0].why.contains("white, grey and smooth, brown and furrowed"), "{lead}");
    }
    for lead in
        ["Bark grey and smooth, or brown", "Bark brown when young", "Bark peeling", "Wood brown"]
    {
        assert!(of(&report(&barks(lead)), "no-such-state").is_empty(), "{lead}");
    }
}

#[test]
fn a_word_told_as_misspelt_is_told_once() {
    let found = report(&barks("Bark grey and smoth"));
    assert_eq!(of(&found, "near-word").len(), 1);
    assert!(of(&found, "no-such-state").is_empty());
}

#[test]
fn the_nearest_pairs_are_counted_whole_and_say_what_parts_them() {
    let mut text = String::from(
        "Key to many trees of the school yard\n\ncharacters\n\nnumber: Leaflets _\n  measure   count\n\
         \nmargin: Margin _\n  states    entire, toothed\n\nbark: Bark _\n  states    grey, brown\n\
         \nthorns: Thorns _\n  states    present, absent\n\nkey\n\n",
    );
    let mut accounts = String::from("\ntaxa\n\n");
    let names: Vec<String> = (0..14u8)
        .map(|i| format!("Rosa {}ensis", char::from(b'a' + i).to_string().repeat(3)))
        .collect();
    for (i, name) in names.iter().enumerate() {
        let n = i + 1;
        text += &format!("{n}a  Leaflets {n} ........................ {name}\n");
        let rest = if n == names.len() { "Rosa zzzensis".to_string() } else { (n + 1).to_string() };
        text += &format!("{n}b  Leaflets more than {n} ........................ {rest}\n\n");
        accounts +=
            &format!("{name}\n  Leaflets {n}; margin entire; bark grey; thorns absent.\n\n");
    }
    accounts += "Rosa zzzensis\n  Leaflets 30.\n";
    let study = study(&(text + &accounts));
    let one = &study.pairs[1];
    // Every two of fourteen; the fifteenth says one thing of four.
    assert_eq!((one.pairs, one.silent, one.not_looked_into), (91, 14, 0));
    assert_eq!(study.nearest.len(), 60);
    assert!(study.nearest.iter().all(|n| n.characters == ["number"]));
    assert!(one.in_words().starts_with("91 pairs; 14 left out"), "{}", one.in_words());
}
