//! A session on a specimen that was cut off: taken up again it still knows which specimen.

use std::path::Path;

use super::season::KEY;
use crate::support::{Ran, hilum};

fn well(at: &Path, arguments: &[&str], input: &str) -> Ran {
    let ran = hilum(at, arguments, input);
    assert!(ran.status < 2, "{arguments:?}: {}", ran.err);
    ran
}

fn determinations(at: &Path) -> Vec<String> {
    let shown = well(at, &["notebook", "--in", "oren", "show", "1", "--json"], "");
    let said: serde_json::Value = serde_json::from_str(&shown.out).expect("JSON");
    let list = said["specimen"]["determinations"].as_array().expect("a list");
    list.iter().map(|d| d["body"]["name"].as_str().expect("a name").to_string()).collect()
}

#[test]
fn nothing_is_lost_and_nothing_is_recorded_twice() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    std::fs::write(at.join("poppies.key"), KEY).expect("a key");
    well(at, &["notebook", "--in", "oren", "begin", "--collector", "A. K. Ashdown"], "");
    well(at, &["notebook", "--in", "oren", "gather", "--place", "ridge"], "");
    let ledger = || {
        let folder = std::fs::read_dir(at.join("oren/records")).expect("records");
        let files = folder.map(|f| f.expect("a file").path());
        files.map(|f| (std::fs::read(&f).expect("a ledger"), f)).collect::<Vec<_>>()
    };
    let before = ledger();
    let named = ["determine", "poppies.key", "--in", "oren", "--specimen", "1"];
    well(at, &[&named[..], &["--record", "r.jsonl"]].concat(), "a\na\nquit\n");
    assert_eq!(determinations(at), ["Papaver rhoeas L."]);
    // as if the machine had stopped before the notebook was written
    for (bytes, file) in before {
        std::fs::write(file, bytes).expect("the ledger as it was");
    }
    assert!(determinations(at).is_empty());
    let ran = well(at, &["determine", "--resume", "r.jsonl"], "quit\n");
    assert!(ran.out.contains("Recorded: A. K. Ashdown 1, Papaver rhoeas L."), "{}", ran.out);
    assert_eq!(determinations(at), ["Papaver rhoeas L."]);
    // looked into again
    let ran = well(at, &["determine", "--resume", "r.jsonl"], "quit\n");
    assert!(ran.out.contains("Nothing new was recorded"), "{}", ran.out);
    assert_eq!(determinations(at), ["Papaver rhoeas L."]);
}

#[test]
fn a_correction_is_not_refused_for_what_was_wrong_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let notebook = ["notebook", "--in", "oren"];
    well(at, &[&notebook[..], &["begin", "--collector", "A. K. Ashdown"]].concat(), "");
    std::fs::write(
        at.join("oren/records/by-hand.yaml"),
        "gathering: 4\ncollector: A. K. Ashdown\ndate: 2026-05-02\naltitude: 640 n\n",
    )
    .expect("a ledger");
    let correct =
        |set: &str| hilum(at, &[&notebook[..], &["correct", "4", "--set", set]].concat(), "");
    assert_eq!(correct("place=ridge").status, 0);
    let ran = correct("coordinates=over there");
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("no pair of coordinates") && ran.err.contains("nothing was recorded"));
    assert_eq!(correct("altitude=640 m").status, 0);
    let shown = well(at, &[&notebook[..], &["show", "4"]].concat(), "").out;
    assert!(shown.contains("altitude: 640 m") && shown.contains("place: ridge"), "{shown}");
}

#[test]
fn where_only_the_genus_is_sure_it_is_offered() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    well(at, &["notebook", "--in", "oren", "begin", "--collector", "A. K. Ashdown"], "");
    well(at, &["notebook", "--in", "oren", "gather", "--place", "ridge"], "");
    let named = ["determine", "field-weeds", "--in", "oren", "--specimen", "1"];
    let ran = well(at, &named, "Petals red\nSap milky\nfinish\nquit\n");
    assert!(ran.out.contains("All that agree with it are of Papaver"), "{}", ran.out);
    assert!(ran.out.contains("hilum notebook --in oren name 1 \"Papaver sp.\""), "{}", ran.out);
}

/// A notebook with one gathering, and the key beside it.
fn one_gathering() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    std::fs::write(at.join("poppies.key"), KEY).expect("a key");
    well(at, &["notebook", "--in", "oren", "begin", "--collector", "A. K. Ashdown"], "");
    well(at, &["notebook", "--in", "oren", "gather", "--place", "ridge"], "");
    folder
}

const NAMED: [&str; 6] = ["determine", "poppies.key", "--in", "oren", "--specimen", "1"];

#[test]
fn what_contradicts_every_account_gives_no_name() {
    let folder = one_gathering();
    let at = folder.path();
    // orange petals are P. dubium's, whose capsule is longer
    let seen = "Petals orange\nSap clear\nCapsule as long as wide\nfinish\nquit\n";
    let ran = well(at, &NAMED, seen);
    assert!(ran.out.contains("No name was recorded: contradictory"), "{}", ran.out);
    assert!(determinations(at).is_empty());
}

#[test]
fn what_is_taken_back_stays_away() {
    let folder = one_gathering();
    let at = folder.path();
    well(at, &NAMED, "Petals red\nSap clear\nquit\n");
    let ran = well(at, &NAMED, "withdraw 1\nquit\n");
    assert!(ran.err.contains("2 observations known"), "{}", ran.err);
    let ran = well(at, &NAMED, "quit\n");
    assert!(ran.err.contains("1 observation known"), "{}", ran.err);
    let shown = well(at, &["notebook", "--in", "oren", "show", "1"], "").out;
    assert!(shown.contains("Sap clear") && !shown.contains("Petals red;"), "{shown}");
    // the last of a sitting takes its record with it
    well(at, &NAMED, "withdraw 1\nquit\n");
    let ran = well(at, &NAMED, "quit\n");
    assert!(ran.err.contains("0 observations known"), "{}", ran.err);
}

#[test]
fn names_with_nothing_in_common_are_kept_as_a_note() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let two = "Key to two\n\nkey\n\n1a  Leaves soft .... Urtica dioica\n1b  Leaves hard .... Quercus robur\n";
    std::fs::write(at.join("two.key"), two).expect("a key");
    well(at, &["notebook", "--in", "oren", "begin", "--collector", "A. K. Ashdown"], "");
    well(at, &["notebook", "--in", "oren", "gather", "--place", "ridge"], "");
    let named = ["determine", "two.key", "--in", "oren", "--specimen", "1"];
    well(at, &named, "either\nquit\n");
    let shown = well(at, &["notebook", "--in", "oren", "show", "1"], "").out;
    assert!(shown.contains("Left open by the Key to two: Urtica dioica; Quercus robur"), "{shown}");
}
