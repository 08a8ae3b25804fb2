//! What a person types in words of his own, and what he is told of it.

use std::path::Path;

use hilum::key::{ConditionId, Key};
use hilum::sift::{read_observation, words};
use hilum::text::language::Language;
use hilum::text::source::Source;
use hilum::walk::evidence::Engine;
use serde_json::Value;

use crate::support::{Ran, hilum};

const TREES: &str = "\
Key to some trees of Oren
  caution    Do not put any part of a plant in your mouth.

characters

foliage: Leaves _
  states    needles, flat

leaf type: Leaves _
  states    simple, pinnate
  applies   where leaves flat
  de        Blätter _: einfach, gefiedert

leaflet number: Leaflets _
  measure   count
  applies   where leaves pinnate
  part      leaf

margin: Margin _
  states    entire, toothed, doubly toothed
  part      leaf
  de        Rand _: ganzrandig, gezähnt, doppelt gezähnt

petiole length: Petiole _ long
  measure   mm

petiole to blade: Petiole _ the blade
  compare   length

juice: Milky juice _
  states    present, absent

thorns: Thorns _
  states    present, absent
  part      twig

fruit: Fruit a _
  states    pod, nut, acorn
  part      fruit

key

1a  Leaves needles .............................................. Larix decidua
1b  Leaves flat ................................................. 2

2a  Leaves pinnate .............................................. 3
2b  Leaves simple ............................................... 4

3a  Leaflets 9-21; thorns present ............................... Robinia pseudoacacia
3b  Leaflets 5-9; thorns absent ................................. Juglans regia

4a  Petiole 2-7 mm long ......................................... Quercus robur
4b  Petiole 12-30 mm long ....................................... Quercus petraea

taxa

Larix decidua Mill.
  Leaves needles.

Robinia pseudoacacia L.
  called    false acacia
  Leaves flat, pinnate; leaflets 9-21; margin entire; thorns present; fruit a pod.
  caution   Bark, leaves and seeds are poisonous.

Juglans regia L.
  called    walnut
  Leaves flat, pinnate; leaflets 5-9; margin entire; thorns absent; fruit a nut.

Quercus robur L.
  called    pedunculate oak
  Leaves flat, simple; margin entire; petiole 2-7 mm long; fruit an acorn.

Quercus petraea (Matt.) Liebl.
  called    sessile oak
  Leaves flat, simple; margin entire; petiole 12-30 mm long; fruit an acorn.
";

const POISON: &str = "CAUTION: Robinia pseudoacacia: Bark, leaves and seeds are poisonous.";
const MOUTH: &str = "CAUTION: Do not put any part of a plant in your mouth.";

fn key() -> Key {
    Key::read(Source::new("trees.key", TREES))
}

/// What a text is taken as, or why it is not.
fn taken(text: &str) -> String {
    let key = key();
    match read_observation(&key, &key.lexicon(), text, ConditionId::FRESH) {
        Ok(read) => {
            let said = read.iter().map(|o| words::sentence(&key, o, key.heading.language));
            said.collect::<Vec<_>>().join("; ")
        }
        Err(e) => e.to_string(),
    }
}

fn run(arguments: &[&str], input: &str) -> Ran {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("trees.key"), TREES).expect("it is written");
    hilum(Path::new(folder.path()), arguments, input)
}

/// The pages of a session, each blank a single one, so that no line's end matters.
fn session(lines: &str) -> String {
    let said = run(&["determine", "trees.key"], lines).out;
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_key_of_these_tests_is_sound() {
    let findings: Vec<_> = key().findings.iter().map(|f| f.what.clone()).collect();
    assert!(findings.is_empty(), "{findings:#?}");
}

#[test]
fn other_word_orders_are_read() {
    for (typed, sentence) in [
        ("toothed margin", "Margin toothed"),
        ("11 leaflets", "Leaflets 11"),
        ("10 mm petiole", "Petiole 10 mm long"),
        ("milky juice yes", "Milky juice present"),
        ("no milky juice", "Milky juice absent"),
        ("without thorns", "Thorns absent"),
        ("it has thorns", "Thorns present"),
        ("the leaves are pinnate", "Leaves pinnate"),
        ("petiole shorter than the blade", "Petiole shorter than the blade"),
        ("acorn", "Fruit an acorn"),
    ] {
        assert_eq!(taken(typed), sentence, "{typed}");
    }
}

#[test]
fn what_is_not_understood_names_what_can_be_said() {
    let none = "this fits none of the key's sentences: ";
    assert_eq!(
        taken("margin smooth"),
        format!("{none}`margin smooth`; `Margin _` can be: entire, toothed, doubly toothed")
    );
    assert_eq!(
        taken("leaves wobbly"),
        format!("{none}`leaves wobbly`; `Leaves _` can be: needles, flat, simple, pinnate")
    );
    let nothing = taken("foo");
    assert!(nothing.contains("they begin with `Leaves`, `Leaflets`, `Margin`"), "{nothing}");
    // The unit that was written stays.
    let about = taken("petiole abt 1 cm");
    assert!(about.ends_with("; did you mean `Petiole 1 cm long`?"), "{about}");
    assert!(taken("leaf edge toothed").contains("did you mean `Margin toothed`?"));
}

#[test]
fn a_session_in_another_language_mixes_none() {
    let key = key();
    let german = Language::of("de").expect("there is a table");
    let engine = Engine::new(&key, german);
    let sentence = |text: &str| match engine.read(text, ConditionId::FRESH) {
        Ok(read) => words::sentence(&key, &read[0], german),
        Err(e) => e.to_string(),
    };
    assert_eq!(sentence("gezähnt"), "Rand gezähnt");
    assert_eq!(sentence("Petiole shorter than the blade"), "Petiole shorter than the blade");
    assert_eq!(sentence("ohne thorns"), "Thorns absent");
    assert!(
        sentence("Rand glatt").contains("`Rand _` can be: ganzrandig, gezähnt, doppelt gezähnt")
    );
}

#[test]
fn finish_and_ranking_tell_every_caution_once() {
    for word in ["finish", "ranking"] {
        let page = session(&format!("thorns present\nno leaf\nleaflets 11\n{word}\nquit\n"));
        let names = page.find("Names by probability").expect("a ranking");
        let (opening, ranking) = page.split_at(names);
        assert!(!opening.contains(POISON));
        assert_eq!(ranking.matches(POISON).count(), 1, "{ranking}");
        assert_eq!(ranking.matches(MOUTH).count(), 1, "{ranking}");
    }
}

#[test]
fn cautions_go_with_names_in_every_form() {
    let text = run(&["sift", "trees.key", "thorns present"], "").out;
    assert_eq!(text.matches(POISON).count(), 1, "{text}");
    assert_eq!(text.matches(MOUTH).count(), 1, "{text}");
    let poison = POISON.trim_start_matches("CAUTION: ");
    let object = |arguments: &[&str], input: &str| -> Value {
        let out = run(arguments, input).out;
        serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}: {out}"))
    };
    for arguments in [
        &["sift", "trees.key", "thorns present", "--json"][..],
        &["tell", "trees.key", "Robinia", "walnut", "--json"],
    ] {
        assert_eq!(object(arguments, "")["cautions"][0], poison);
    }
    let line = "{\"id\":7,\"observations\":[\"thorns present\"]}\n";
    assert_eq!(object(&["batch", "trees.key"], line)["cautions"][0], poison);
    let csv = run(&["batch", "trees.key", "--to", "csv"], line).out;
    assert!(csv.lines().next().is_some_and(|head| head.ends_with(",error,cautions")), "{csv}");
    assert_eq!(csv.matches(poison).count(), 1, "{csv}");
    let states = run(&["determine", "trees.key", "--json"], "has thorns\nfinish\n").out;
    let last: Value = serde_json::from_str(states.lines().last().expect("a state")).expect("JSON");
    assert_eq!(last["observations"][0]["character"], "thorns");
    assert_eq!(last["cautions"][0], poison);
    let told = run(&["tell", "trees.key", "Robinia"], "").out;
    assert_eq!(told.matches(poison).count(), 1, "{told}");
}

#[test]
fn one_sight_counts_once() {
    let first = |arguments: &[&str]| {
        let out = run(arguments, "").out;
        let report: Value = serde_json::from_str(&out).expect("JSON");
        report["ranking"].clone()
    };
    let once = first(&["sift", "trees.key", "thorns present", "--json"]);
    let twice = first(&["sift", "trees.key", "thorns present", "has thorns?", "--json"]);
    assert_eq!(once, twice);
    // A lead taken says what was typed already.
    let typed = session("leaves flat\nb\nranking\nquit\n");
    let alone = session("leaves flat\nranking\nquit\n");
    let share =
        |page: &str| page.split("Names by probability").nth(1).map(|p| p[..200].to_string());
    assert_eq!(share(&typed), share(&alone));
    assert!(session("leaves flat\nb\nseen\nquit\n").contains("counts once, with `leaves flat`"));
}

#[test]
fn what_contradicts_a_lead_taken_is_told_with_its_step() {
    let page = session("b\nb\nleaves pinnate\nseen\nquit\n");
    assert!(
        page.contains(
            "contradicts Leaves simple (lead 2b), which you took at step 2; `step 2` asks it again"
        ),
        "{page}"
    );
    assert!(page.contains("No taxon behind these leads agrees"), "{page}");
    let seen = page.rsplit("From the leads taken").next().expect("the page");
    assert!(seen.contains("Leaves simple (lead 2b)"), "{page}");
}

#[test]
fn a_word_is_echoed_as_it_was_taken() {
    let page = session("acorn\nThorns absent\nhas thorns\nseen\nquit\n");
    assert!(page.contains("Taken as: Fruit an acorn (fresh)"), "{page}");
    assert!(!page.contains("Taken as: Thorns absent"), "{page}");
    // No part of the plant, but a character.
    assert!(page.contains("Taken as: Thorns present (fresh)"), "{page}");
    assert!(page.contains("1. Fruit an acorn (fresh), typed as `acorn`"), "{page}");
}

#[test]
fn the_example_on_the_screen_is_of_the_key() {
    let page = session("b\nseen\nquit\n");
    assert!(page.contains("or type what you see: Leaves needles"), "{page}");
    assert!(!page.contains("Petals"), "{page}");
}

#[test]
fn what_is_missing_and_what_is_settled_do_not_contradict() {
    let page = session("no twig\nno fruit\nmissing\nquit\n");
    assert!(!page.contains("()"), "{page}");
    assert!(
        !(page.contains("can part all names that are left.") && page.contains("would help")),
        "{page}"
    );
}

#[test]
fn batch_keeps_the_id_and_reads_months_by_name() {
    let input = "{\"id\":\"a\",\"observations\":[\"acorn\"],\"month\":\"Oct\"}\n\
                 {\"id\":\"b\",\"observations\":[\"acorn\"],\"month\":10}\n\
                 {\"id\":\"c\",\"observations\":\"acorn\"}\n\
                 {\"id\":\"d\",\"observations\":[]}\n\
                 {\"id\":\"e\",\"observations\":[\"foo\"]}\n";
    let out = run(&["batch", "trees.key"], input).out;
    let lines: Vec<Value> = out.lines().map(|l| serde_json::from_str(l).expect("JSON")).collect();
    assert_eq!(lines[0]["names"], lines[1]["names"]);
    assert!(lines[0]["error"].is_null());
    for (i, id) in ["c", "d", "e"].iter().enumerate() {
        assert_eq!(lines[i + 2]["id"], *id, "{out}");
        assert_eq!(lines[i + 2]["names"], serde_json::json!([]));
    }
    assert!(lines[3]["error"].as_str().is_some_and(|e| e.contains("nothing was observed")));
    assert_eq!(lines[4]["error"].as_str().map(|e| e.matches("foo").count()), Some(1));
    let csv = "id,observations,month\nx,acorn,Mayy\n";
    let out = run(&["batch", "trees.key", "--from", "csv"], csv).out;
    assert!(out.contains("\"id\":\"x\"") && out.contains("not one month"), "{out}");
    let sift = run(&["sift", "trees.key", "foo", "--month", "May"], "");
    assert_eq!(sift.err.matches("`foo`").count(), 1, "{}", sift.err);
}

#[test]
fn tell_knows_a_plant_by_whatever_it_is_called() {
    let told = |name: &str| {
        let ran = run(&["tell", "trees.key", name], "");
        format!("{}{}", ran.out, ran.err)
    };
    assert!(told("Q. robur").starts_with("Quercus robur"));
    assert!(told("acacia").starts_with("Robinia"));
    assert!(told("Quercus").contains("Quercus petraea: Petiole 12–30 mm long"));
    assert!(told("wallnut").contains("did you mean walnut (Juglans regia)?"));
    assert!(told("oak").contains("Quercus robur, Quercus petraea"));
    assert!(told("Q. robur").contains("Fruit an acorn"));
}
