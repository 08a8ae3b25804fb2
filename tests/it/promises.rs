//! What the help of a command says of its `--json` is what is printed, and all of it.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use crate::notebook::KEY;
use crate::support::{TREES, hilum};

/// The names of all fields, however deep.
fn names(value: &Value, out: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (name, below) in map {
                out.insert(name.clone());
                names(below, out);
            }
        }
        Value::Array(list) => list.iter().for_each(|v| names(v, out)),
        _ => {}
    }
}

/// The fields that a command's help promises.
fn promised(folder: &Path, command: &[&str]) -> BTreeSet<String> {
    let ran = hilum(folder, &[command, &["--help"]].concat(), "");
    let said = ran.out.split("With --json\n").nth(1);
    let said = said.or_else(|| ran.out.split("With --json ").nth(1));
    let said = said.unwrap_or_else(|| panic!("{command:?} says nothing of --json:\n{}", ran.out));
    let section = said.split("\n\n").next().unwrap_or_default();
    section.split('"').skip(1).step_by(2).map(str::to_string).collect()
}

/// What a command printed, over several runs of it, against what its help promises.
#[track_caller]
pub fn kept(folder: &Path, command: &[&str], said: &[Value]) {
    let promised = promised(folder, command);
    assert!(promised.contains("format") && promised.len() > 1, "{command:?}: {promised:?}");
    let mut printed = BTreeSet::new();
    said.iter().for_each(|v| names(v, &mut printed));
    let missing: Vec<_> = promised.difference(&printed).collect();
    assert!(
        missing.is_empty(),
        "{command:?}: its help promises {missing:?}; it printed {printed:?}"
    );
    for value in said {
        let top = value.as_object().expect("an object");
        let silent: Vec<_> = top.keys().filter(|k| !promised.contains(*k)).collect();
        assert!(silent.is_empty(), "{command:?}: its help does not speak of {silent:?}");
    }
}

/// A folder with two issues of a key, one of them with faults, and a manuscript.
fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        std::fs::write(folder.path().join(name), text).expect("a file");
    };
    write("a.key", KEY);
    let longer = KEY
        .replace("issue  1", "issue  2")
        .replace(
            "1a  Petals red ...................... 2",
            "1a  Petals red ...................... 3",
        )
        .replace("1b  Petals orange ................... Papaver dubium", "1b  Petals orange .. 2")
        .replace(
            "2a  Capsule",
            "2a  Sap milky .. Papaver dubium\n2b  Sap clear .. Papaver nudicaule\n3a  Capsule",
        )
        .replace("2b  Capsule", "3b  Anthers dark; capsule");
    write("b.key", &longer);
    write(
        "faulty.key",
        &KEY.replace("2b  Capsule", "2a  Capsule").replace("1b  Petals", "1b Petals"),
    );
    write("trees.txt", TREES);
    write("one.jsonl", "{\"id\":\"7\",\"observations\":[\"petals red\"]}\n");
    folder
}

fn json(at: &Path, arguments: &[&str]) -> Value {
    let ran = hilum(at, &[arguments, &["--json"]].concat(), "");
    assert!(ran.status < 2, "{arguments:?}: {}", ran.err);
    serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{arguments:?}: {e}: {}", ran.out))
}

#[test]
fn of_the_commands_for_keys() {
    let folder = desk();
    let at = folder.path();
    let said = [
        json(at, &["check", "faulty.key", "--unread", "--routes"]),
        json(at, &["check", "a.key", "--all"]),
    ];
    kept(at, &["check"], &said);
    let said = json(at, &["compare", "--specimens", "one.jsonl", "a.key", "b.key"]);
    let begun = ["notebook", "--in", "camp", "begin", "--collector", "A. K. Ashdown"];
    assert_eq!(hilum(at, &begun, "").status, 0);
    let again = json(at, &["compare", "--in", "camp", "a.key", "b.key"]);
    let back = json(at, &["compare", "b.key", "a.key"]);
    kept(at, &["compare"], &[said, again, back]);
    kept(at, &["rehearse"], &[json(at, &["rehearse", "a.key"])]);
    kept(at, &["adopt"], &[json(at, &["adopt", "trees.txt"])]);
    kept(
        at,
        &["label"],
        &[json(at, &["label", "--list"]), {
            assert_eq!(
                hilum(at, &["notebook", "--in", "camp", "gather", "--parts", "sheet"], "").status,
                0
            );
            json(at, &["label", "--in", "camp", "1", "--output", "l.html"])
        }],
    );
    let loose = KEY
        .replace("2a  Capsule", "5a  Sap as in couplet 5; capsule")
        .replace("2b  Capsule", "5b  Capsule")
        .replace(" 2\n", " 5\n");
    std::fs::write(at.join("loose.key"), loose).expect("a key");
    kept(at, &["tidy"], &[json(at, &["tidy", "--renumber", "loose.key"])]);
}
