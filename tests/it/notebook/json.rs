//! `--json` beside every output of the notebook: what the help promises is what is printed.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use super::season::KEY;
use crate::promises::kept;
use crate::support::{Ran, hilum};

/// A folder with a notebook in it, of which Ashdown is the collector.
fn begun() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("poppies.key"), KEY).expect("a key");
    let ran = notebook(folder.path(), &["begin", "--collector", "A. K. Ashdown"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    folder
}

fn notebook(folder: &Path, arguments: &[&str]) -> Ran {
    hilum(folder, &[&["notebook", "--in", "oren"], arguments].concat(), "")
}

fn json(folder: &Path, arguments: &[&str]) -> Value {
    let ran = notebook(folder, &[arguments, &["--json"]].concat());
    assert!(ran.status < 2, "{arguments:?}: {}", ran.err);
    let said: Value = serde_json::from_str(&ran.out)
        .unwrap_or_else(|e| panic!("{arguments:?}: {e}: {}", ran.out));
    assert_eq!(said["format"], 1, "{arguments:?}");
    said
}

#[test]
fn help_says_what_is_printed() {
    let folder = begun();
    let at = folder.path();
    let mut tried = BTreeSet::new();
    let mut keep = |action: &'static str, said: &[Value]| {
        kept(at, &["notebook", action], said);
        tried.insert(action.to_string());
    };

    let again = ["begin", "--collector", "A. K. Ashdown"];
    let said = json(at, &again);
    assert_eq!((&said["begun"], &said["collector"]), (&false.into(), &"A. K. Ashdown".into()));
    keep("begin", &[said]);
    let first =
        json(at, &["gather", "--place", "lower field", "--parts", "sheet", "--plants", "90"]);
    assert_eq!(first["recorded"].as_array().map(Vec::len), Some(2), "gathering and part: {first}");
    let third = json(at, &["gather", "3"]);
    keep("gather", &[first, third]);
    keep("part", &[json(at, &["part", "1", "seed packet", "--ripe", "--status", "missing"])]);
    let seen =
        json(at, &["see", "1", "Petals red", "--condition", "fresh", "--key", "poppies.key"]);
    let seen_id = seen["recorded"][0].as_str().expect("an id").to_string();
    keep("see", &[seen]);
    keep("name", &[json(at, &["name", "1", "Papaver rhoeas L."])]);
    keep("confirm", &[json(at, &["confirm", "1", "--by", "B. Lund"])]);
    keep("note", &[json(at, &["note", "1", "photographs on the blue card"])]);
    let corrected = json(at, &["correct", &seen_id, "--set", "remarks=in the shade"]);
    assert!(corrected["specimen"].is_null());
    keep("correct", &[corrected, json(at, &["correct", "1", "--set", "habitat=fallow"])]);
    keep("show", &[json(at, &["show", "1"])]);
    keep("list", &[json(at, &["list"])]);
    let numbers = json(at, &["numbers"]);
    assert_eq!(numbers["series"][0]["gaps"], serde_json::json!([[2, 2]]));
    keep("numbers", &[numbers]);
    keep("collection", &[json(at, &["collection", "--key", "poppies.key"])]);
    json(at, &["name", "3", "papaver Rhoeas"]);
    keep("names", &[json(at, &["names"])]);
    keep("leaving", &[json(at, &["leaving", "poppies.key"])]);

    // a determination by the key, and a later issue of it
    let named = hilum(
        at,
        &["determine", "poppies.key", "--in", "oren", "--specimen", "1", "--json"],
        "a\na\n",
    );
    assert_eq!(named.status, 0, "{}", named.err);
    let later =
        KEY.replace("issue  1", "issue  2").replace("Capsule as long", "Capsule not as long");
    std::fs::write(at.join("poppies.key"), later).expect("a key");
    keep("again", &[json(at, &["again", "poppies.key"])]);

    std::fs::write(at.join("old.csv"), "Number,Date,Place,Sun\n17,2 May 2026,ridge,full\n,x,y,\n")
        .expect("a table");
    let guessed = json(at, &["import", "old.csv"]);
    assert_eq!(guessed["guessed"], true);
    let taken = json(at, &["import", "old.csv"]);
    assert_eq!((&taken["rows"], &taken["refused"][0]["line"]), (&2.into(), &3.into()), "{taken}");
    keep("import", &[guessed, taken]);

    let all = json(at, &["export", "--archive", "a.zip", "--csv", "a.csv", "--records", "a.yaml"]);
    assert!(all["records"].as_u64() > Some(8), "{all}");
    keep("export", &[all]);
    let other = hilum(at, &["notebook", "--in", "b", "begin", "--collector", "B. Lund"], "");
    assert_eq!(other.status, 0, "{}", other.err);
    let merge = ["notebook", "--in", "b", "merge", "a.yaml", "--json"];
    let merged: Value = serde_json::from_str(&hilum(at, &merge, "").out).expect("JSON");
    assert!(merged["recorded"].as_array().is_some_and(|r| r.len() > 8), "{merged}");
    keep("merge", &[merged]);
    std::fs::write(at.join("oren/records/slip.yaml"), "gathering: 9\ncolector: x\n").expect("it");
    keep("check", &[json(at, &["check"])]);

    // no action is left out
    let help = hilum(at, &["notebook", "--help"], "").out;
    let list = help.split("Commands:").nth(1).and_then(|l| l.split("Options:").next());
    let actions: BTreeSet<String> = list
        .expect("a list of actions")
        .lines()
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| Some(l.split_whitespace().next()?.to_string()))
        .filter(|a| a != "help")
        .collect();
    assert_eq!(tried, actions);
}

#[test]
fn a_session_on_a_specimen_for_a_program() {
    let folder = begun();
    let at = folder.path();
    json(at, &["gather", "--place", "lower field"]);
    let session = |input: &str| -> Vec<Value> {
        let ran = hilum(
            at,
            &["determine", "poppies.key", "--in", "oren", "--specimen", "1", "--json"],
            input,
        );
        assert_eq!(ran.status, 0, "{}", ran.err);
        ran.out.lines().map(|l| serde_json::from_str(l).expect("an object a line")).collect()
    };
    // left open: what was seen is kept, no name is given
    let said = session("Petals red\n");
    let last = said.last().expect("a last line");
    assert_eq!(last["specimen"]["number"], "1", "{last}");
    assert_eq!(last["recorded"].as_array().map(Vec::len), Some(1));
    assert!(last["name"].is_null());
    // begins with that; whoever goes on after `finish` has not finished
    let said = session("finish\nSap milky\n");
    assert_eq!(said[0]["observations"][0]["text"], "Petals red");
    assert_eq!(said[1]["finished"], true);
    assert_eq!(said[2]["finished"], false);
    assert!(said.last().expect("a line")["name"].is_null());
    // nothing new, nothing recorded
    let said = session("");
    assert_eq!(said.last().expect("a line")["recorded"], serde_json::json!([]));
    // ended with what the observations say
    let said = session("Capsule as long as wide\nfinish\n");
    let last = said.last().expect("a line");
    assert!(last["name"].as_str().is_some_and(|n| n.starts_with("Papaver")), "{last}");
    let shown = json(at, &["show", "1"]);
    assert_eq!(shown["specimen"]["determinations"].as_array().map(Vec::len), Some(1), "{shown}");
    assert_eq!(shown["specimen"]["determinations"][0]["body"]["name"], last["name"]);
    // what is typed is kept with its character and its value
    let seen = &shown["specimen"]["observations"][0]["body"]["seen"][0];
    assert_eq!((&seen["character"], &seen["value"]), (&"petal colour".into(), &"red".into()));
}

#[test]
fn without_observations_there_is_nothing_to_finish_with() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = hilum(folder.path(), &["determine", "field-weeds", "--json"], "finish\n");
    let last: Value = serde_json::from_str(ran.out.lines().last().expect("a line")).expect("JSON");
    assert!(last["error"].as_str().is_some_and(|e| e.contains("nothing was observed")), "{last}");
}
