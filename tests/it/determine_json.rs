//! `determine --json` driven by a machine: every kind of line, and the state after it.

use serde_json::Value;

use super::support::hilum;

const KEY: &str = "\
Key to plants of the lane at Lindle (invented)
  season  in flower
  caution  Some of these are poisonous.

characters

petals: Petals _
  states    red, yellow, white
  part      flower
  pressed   red looks purple or red

blade: Leaf blade _ long
  measure   mm
  part      leaf

key

1a  Petals red ........... key to the poppies
1b  Petals yellow ........ Sonchus oleraceus
1c  Petals white ......... stop: come back when the fruit is ripe

key to the poppies

1a  Leaf blade 60-150 mm long .... Papaver rhoeas
1b  Leaf blade 10-50 mm long ..... Papaver dubium or P. argemone

taxa

Papaver rhoeas L.
  Petals red; leaf blade 60-150 mm long.
  caution   Poisonous if eaten.

Papaver dubium L.
  Petals red; leaf blade 10-50 mm long.

Papaver argemone L.
  Petals red; leaf blade 10-50 mm long.

Sonchus oleraceus L.
  Petals yellow; leaf blade 80-250 mm long.
";

/// The states that the program prints, one for the beginning and one a line.
fn states(input: &str) -> Vec<Value> {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("lane.key"), KEY).expect("a key");
    let ran = hilum(folder.path(), &["determine", "lane.key", "--json"], input);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let states: Vec<Value> =
        ran.out.lines().map(|l| serde_json::from_str(l).expect("a line is an object")).collect();
    assert_eq!(states.len(), input.lines().count() + 1, "one state a line\n{}", ran.out);
    assert!(states.iter().all(|s| s["format"] == 1));
    states
}

fn last(input: &str) -> Value {
    states(input).pop().expect("a state")
}

#[test]
fn a_name_is_reached_with_its_cautions() {
    let all = states("a\na\n");
    assert_eq!(all[0]["asked"]["leads"][0]["taxa"], 3);
    assert_eq!(all[0]["observations"], serde_json::json!([]));
    assert!(all[0]["verdict"].is_null() && all[0]["ranking"].is_null());
    assert_eq!(all[1]["asked"]["key"], "key to the poppies");
    let end = &all[2];
    assert!(end["asked"].is_null());
    assert_eq!(end["ends"][0]["ending"], "name");
    assert_eq!(end["ends"][0]["names"][0], "Papaver rhoeas L.");
    let cautions = end["ends"][0]["cautions"].to_string();
    assert!(cautions.contains("Poisonous if eaten."), "{cautions}");
    assert_eq!(end["ends"][0]["route"][1]["how"], "taken");
    // What the leads say is evidence too, without a number by which it could be withdrawn.
    assert_eq!(end["observations"].as_array().map(Vec::len), Some(2));
    assert!(end["observations"][0]["number"].is_null());
    assert_eq!(end["ranking"]["names"][0]["taxon"], "Papaver rhoeas");
}

#[test]
fn other_ends_are_told_apart() {
    let names = last("a\nb\n");
    assert_eq!(names["ends"][0]["ending"], "names");
    assert_eq!(names["ends"][0]["names"].as_array().map(Vec::len), Some(2));
    let stop = last("c\n");
    assert_eq!(stop["ends"][0]["ending"], "stop");
    assert_eq!(stop["ends"][0]["reason"], "come back when the fruit is ripe");
}

#[test]
fn doubt_is_followed_and_said() {
    let either = last("either a b\na\n");
    assert_eq!(either["ends"].as_array().map(Vec::len), Some(2));
    assert_eq!(either["ends"][0]["uncertain"][0], "1");
    let asked = last("?\n");
    assert_eq!(asked["possible"].as_array().map(Vec::len), Some(4));
    assert!(
        !asked["waiting"].as_array().expect("a list").is_empty() || asked["ends"][0].is_object()
    );
}

#[test]
fn steps_are_taken_back_done_again_and_reopened() {
    let all = states("a\nback\nforward\nstep 1\nb\n");
    assert_eq!(all[2]["asked"], all[0]["asked"]);
    assert_eq!(all[3]["asked"], all[1]["asked"]);
    assert_eq!(all[4]["asked"]["couplet"], "1");
    assert_eq!(all[5]["ends"][0]["names"][0], "Sonchus oleraceus L.");
}

#[test]
fn observations_are_taken_numbered_withdrawn_and_weighed() {
    let all = states("Petals red\nLeaf blade 20 mm long?\nwithdraw 1\nback\n");
    assert_eq!(all[1]["observations"][0]["number"], 1);
    assert_eq!(all[1]["observations"][0]["character"], "petals");
    assert_eq!(all[1]["observations"][0]["condition"], "fresh");
    assert_eq!(all[1]["observations"][0]["doubt"], "sure");
    assert!(all[1]["verdict"]["words"].is_string(), "{}", all[1]["verdict"]);
    // The couplet is still asked: an observation answers none by itself.
    assert_eq!(all[1]["asked"], all[0]["asked"]);
    assert_eq!(all[2]["observations"][1]["number"], 2);
    assert_ne!(all[2]["observations"][1]["doubt"], "sure");
    let first = all[2]["ranking"]["names"][0]["taxon"].as_str().expect("a name");
    assert!(["Papaver dubium", "Papaver argemone"].contains(&first), "{first}");
    assert_eq!(all[3]["observations"].as_array().map(Vec::len), Some(1));
    assert_eq!(all[3]["observations"][0]["number"], 2, "the others keep their numbers");
    assert_eq!(all[4]["observations"], all[2]["observations"]);
}

#[test]
fn a_condition_and_a_missing_part_change_what_is_read() {
    let all = states("pressed\nPetals red\nno flower\nhas flower\n");
    assert_eq!(all[2]["observations"][0]["condition"], "pressed");
    // Of the specimen itself nothing is seen by them.
    assert_eq!(all[1]["observations"], serde_json::json!([]));
    assert_eq!(all[3]["asked"], all[0]["asked"]);
    assert_eq!(all[4]["observations"], all[2]["observations"]);
}

#[test]
fn what_cannot_be_taken_changes_nothing_and_says_why() {
    let all = states("Petals rde\nwithdraw 3\nno root\nxyzzy\nback\na\n");
    let error = |n: usize| all[n]["error"].as_str().unwrap_or_else(|| panic!("{}", all[n]));
    assert!(error(1).contains("red"), "the state that was meant is named: {}", error(1));
    assert!(error(2).contains("no observation 3"), "{}", error(2));
    assert!(error(3).contains("flower, leaf"), "{}", error(3));
    assert!(error(4).starts_with("not taken"), "{}", error(4));
    assert!(error(5).contains("not possible now: back"), "{}", error(5));
    assert_eq!(all[6]["asked"]["step"], 2);
}
