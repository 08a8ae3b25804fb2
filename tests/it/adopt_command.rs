//! `hilum adopt` as it is called.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::support::TREES;

fn hilum(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_hilum"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env_remove("RUST_BACKTRACE")
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn a_key_is_written_beside_the_manuscript_and_over_nothing() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.txt"), TREES).unwrap();
    let first = hilum(folder.path(), &["adopt", "trees.txt"]);
    assert_eq!(first.status.code(), Some(0), "{}", text(&first.stderr));
    let told = text(&first.stdout);
    assert!(told.contains("trees.txt became trees.key"), "{told}");
    assert!(told.contains("1 key, 2 couplets, 4 leads"), "{told}");
    let key = std::fs::read_to_string(folder.path().join("trees.key")).unwrap();
    assert!(key.starts_with("Key to three trees\n"), "{key}");
    std::fs::write(folder.path().join("trees.key"), "mine").unwrap();
    let second = hilum(folder.path(), &["adopt", "trees.txt"]);
    assert_eq!(second.status.code(), Some(2));
    assert!(text(&second.stderr).contains("--force"), "{}", text(&second.stderr));
    assert_eq!(std::fs::read_to_string(folder.path().join("trees.key")).unwrap(), "mine");
    let third = hilum(folder.path(), &["adopt", "--force", "trees.txt"]);
    assert_eq!(third.status.code(), Some(0));
    assert_eq!(std::fs::read_to_string(folder.path().join("trees.key")).unwrap(), key);
}

#[test]
fn the_manuscript_is_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.key"), TREES).unwrap();
    let out = hilum(folder.path(), &["adopt", "--force", "trees.key"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("-o"), "{}", text(&out.stderr));
    assert_eq!(std::fs::read_to_string(folder.path().join("trees.key")).unwrap(), TREES);
}

#[test]
fn proposals_are_written_edited_and_taken() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.txt"), TREES).unwrap();
    let out = hilum(folder.path(), &["adopt", "--propose", "trees.yaml", "trees.txt"]);
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    assert!(
        text(&out.stdout).contains("6 of 6 statements can be read (0 without)"),
        "{}",
        text(&out.stdout)
    );
    let key = std::fs::read_to_string(folder.path().join("trees.key")).unwrap();
    assert!(!key.contains("characters"), "nothing is declared that was not taken: {key}");
    let path = folder.path().join("trees.yaml");
    let yaml = std::fs::read_to_string(&path).unwrap();
    assert!(yaml.contains("sentence: Leaf stalk _ long"), "{yaml}");
    let refused = yaml.replacen("accept: true", "accept: false", 1);
    std::fs::write(&path, refused).unwrap();
    let out = hilum(folder.path(), &["adopt", "--force", "--with", "trees.yaml", "trees.txt"]);
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    let key = std::fs::read_to_string(folder.path().join("trees.key")).unwrap();
    assert!(key.contains("Leaf stalk _ long\n  measure   cm"), "{key}");
    assert!(!key.contains("opposite, alternate"), "the first was declined: {key}");
    let check = hilum(folder.path(), &["check", "trees.key"]);
    assert_eq!(check.status.code(), Some(0), "{}", text(&check.stdout));
}

#[test]
fn errors_of_the_manuscript_and_refusals_have_their_status() {
    let folder = tempfile::tempdir().unwrap();
    let faulty = TREES.replace("..... 2", "..... 7");
    std::fs::write(folder.path().join("faulty.txt"), faulty).unwrap();
    let out = hilum(folder.path(), &["adopt", "faulty.txt"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(
        text(&out.stdout).contains("line 4: error: there is no couplet 7"),
        "{}",
        text(&out.stdout)
    );
    std::fs::write(folder.path().join("prose.txt"), "It rained all day.\nWe pressed plants.\n")
        .unwrap();
    let out = hilum(folder.path(), &["adopt", "prose.txt"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("running text"), "{}", text(&out.stderr));
    assert!(!folder.path().join("prose.key").exists());
    let out = hilum(folder.path(), &["adopt", "missing.txt"]);
    assert_eq!(out.status.code(), Some(2));
}

#[test]
fn json_holds_everything() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.txt"), TREES).unwrap();
    let out = hilum(folder.path(), &["--json", "adopt", "-o", "-", "trees.txt"]);
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(json["report"]["layout"]["name"], "number-letter");
    assert_eq!(json["report"]["counts"]["endpoints"], 3);
    assert_eq!(json["report"]["leads"][2]["lines"][0], 5);
    assert_eq!(json["readable"]["statements"], 6);
    assert!(json["written"].is_null());
    assert!(json["key"].as_str().unwrap().contains("Ulmus glabra"));
}

#[test]
fn the_help_names_every_layout() {
    let folder = tempfile::tempdir().unwrap();
    let help = text(&hilum(folder.path(), &["adopt", "--help"]).stdout);
    for layout in hilum::craft::adopt::layout::ALL {
        assert!(help.contains(layout.name()), "{}", layout.name());
    }
}
