//! A circular route or a lost pointer hides nothing but what lies on it.

use hilum::check::{Options, Report, examine};
use hilum::key::Key;
use hilum::text::source::Source;

fn report(text: &str) -> Report {
    examine(&Key::read(Source::new("school.key", text)), &Options::default())
}

fn rules(report: &Report) -> Vec<&'static str> {
    report.findings.iter().map(|f| f.rule).collect()
}

/// Faults of every kind, and a last couplet whose second lead goes where `last` says.
fn key(last: &str) -> String {
    format!(
        "Key to maples and others of the school yard

characters

blade length: Blade _ long
  measure   cm

lobes: Lobes _
  states    three, five, seven, nine

bark: Bark _
  states    smooth, rough, white

key

1a  Blade 4-14 cm long ...................... Acer campestre
1b  Blade 10-18 cm long ..................... 2

2a  Lobes three or seven .................... 3
2b  Lobes five .............................. 4

3a  Lobes five .............................. Acer rubrum
3b  Lobes three or seven .................... Acer monspessulanum

4a  Bark smooth ............................. Acer platanoides
4b  Bark rough .............................. 5

5a  Blade 10-14 cm long ..................... Acer opalus
5b  Blade 15-18 cm long ..................... {last}

taxa

Acer campestre L.
  Blade 4-8 cm long; lobes five.

Acer monspessulanum L.
  Blade 10-12 cm long; lobes three.

Acer platanoides L.
  Blade 10-18 cm long; lobes five; bark smooth or white.

Acer rubrum L.
  Blade 10-12 cm long; lobes three or nine.
"
    )
}

const HIDDEN: [&str; 4] =
    ["overlapping-leads", "contradicted-statement", "fits-no-lead", "account-against-route"];

#[test]
fn faults_outside_a_circle_are_found_all_the_same() {
    let sound = report(&key("Acer velutinum"));
    let circular = report(&key("2"));
    for rule in HIDDEN {
        assert!(rules(&sound).contains(&rule), "{rule}: {:?}", rules(&sound));
        assert!(rules(&circular).contains(&rule), "{rule}: {:?}", rules(&circular));
    }
    assert!(rules(&circular).contains(&"circular-route"));
    assert!(sound.not_examined.is_empty());
    let not = &circular.not_examined[0];
    assert_eq!(not.what, "what becomes of plants that take lead 5b");
    assert!(not.why.contains("circular-route"), "{}", not.why);
}

#[test]
fn a_lost_pointer_hides_nothing_behind_it() {
    let sound = report(&key("Acer velutinum"));
    let text = key("Acer velutinum")
        .replace("cm long ..................... 2\n", "cm long ..................... 42\n");
    let lost = report(&text);
    assert!(rules(&lost).contains(&"pointer-without-couplet"));
    for rule in HIDDEN {
        assert!(rules(&sound).contains(&rule), "{rule}: {:?}", rules(&sound));
        assert!(rules(&lost).contains(&rule), "{rule}: {:?}", rules(&lost));
    }
}

#[test]
fn a_sound_key_with_a_circle_has_no_other_fault() {
    let text = "Key to three trees of the school yard

characters

bark: Bark _
  states    smooth, rough

leaves: Leaves _
  states    needles, flat

key

1a  Leaves needles .......................... Larix decidua
1b  Leaves flat ............................. 2

2a  Bark smooth ............................. Fagus sylvatica
2b  Bark rough .............................. 3

3a  Wood hard ............................... Quercus robur
3b  Wood soft ............................... 1

taxa

Fagus sylvatica L.
  Leaves flat; bark smooth.

Larix decidua Mill.
  Leaves needles; bark rough.

Quercus robur L.
  Leaves flat; bark rough.
";
    let report = report(text);
    let serious: Vec<_> = report
        .open()
        .filter(|f| f.severity > hilum::text::finding::Severity::Note)
        .map(|f| (f.rule, &f.what))
        .collect();
    assert_eq!(serious.len(), 1, "{serious:?}");
    assert_eq!(serious[0].0, "circular-route");
}

#[test]
fn a_circle_that_is_entered_in_two_places_narrows_nothing() {
    // 2 and 3 lead to each other, and 1 leads to both: at either of them plants of every bark
    // arrive.
    let text = "Key to some trees of the school yard

characters

bark: Bark _
  states    smooth, rough

leaves: Leaves _
  states    needles, flat, scales

key

1a  Bark smooth ............................. 2
1b  Bark rough .............................. 3

2a  Leaves needles .......................... 3
2b  Bark rough .............................. Larix decidua
2c  Leaves scales ........................... Thuja plicata

3a  Leaves flat ............................. 2
3b  Bark smooth ............................. Fagus sylvatica
3c  Leaves scales ........................... Juniperus communis
";
    let rules = rules(&report(text));
    assert!(rules.contains(&"circular-route"), "{rules:?}");
    assert!(!rules.contains(&"contradicted-statement"), "{rules:?}");
}

#[test]
fn a_key_of_nothing_but_circles_ends() {
    let mut text = String::from(
        "Key to a maze of the school yard\n\ncharacters\n\nbark: Bark _\n  states    smooth, rough\n\nkey\n\n",
    );
    for i in 1..=400 {
        let next = i % 400 + 1;
        text.push_str(&format!(
            "{i}a  Bark smooth ............ {next}\n{i}b  Bark rough ............ {}b\n\n",
            (i * 7) % 400 + 1
        ));
    }
    text.push_str("taxa\n\nFagus sylvatica L.\n  Bark smooth.\n");
    assert!(rules(&report(&text)).contains(&"circular-route"));
}
