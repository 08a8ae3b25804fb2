//! Two people's ledgers under git: merged without a conflict, whoever pulls first.

use std::path::Path;
use std::process::Command;

use super::ledger::{at, begin, cite, gathering, named, note, open};

fn git(folder: &Path, args: &[&str]) -> bool {
    let out = Command::new("git")
        .args(["-c", "user.name=A. K. Ashdown", "-c", "user.email=a@example.org"])
        .args(["-c", "init.defaultBranch=main"])
        .args(args)
        .current_dir(folder)
        .output();
    out.is_ok_and(|o| {
        if !o.status.success() {
            eprintln!("git {args:?}: {}", String::from_utf8_lossy(&o.stderr));
        }
        o.status.success()
    })
}

fn keep(folder: &Path, words: &str) {
    assert!(git(folder, &["add", "-A"]) && git(folder, &["commit", "-qm", words]));
}

#[test]
fn two_peoples_ledgers_merge_without_a_conflict() {
    let folder = tempfile::tempdir().unwrap();
    let (a, b) = (folder.path().join("ashdown"), folder.path().join("holt"));
    std::fs::create_dir(&a).unwrap();
    if !git(&a, &["init", "-q"]) {
        eprintln!("NOT TESTED: merging with git: git is not at hand");
        return;
    }
    begin(&a).append(&[gathering(1, 0)], "A. K. Ashdown", &at(0)).unwrap();
    keep(&a, "a first gathering");
    assert!(git(folder.path(), &["clone", "-q", "ashdown", "holt"]));
    assert!(!b.join("here").exists(), "what is of one machine stays there");
    // both write of the same specimen, and each their own
    let mine = [note(1, "seen again", 5), gathering(2, 6), note(2, "on the ridge", 7)];
    open(&a).append(&mine, "A. K. Ashdown", &at(0)).unwrap();
    keep(&a, "a day on the ridge");
    let hers = [named(1, "Papaver dubium L.", "2026-11-03", 8), note(1, "seeds counted", 9)];
    open(&b).append(&hers, "M. Holt", &at(0)).unwrap();
    keep(&b, "an evening at the desk");
    assert!(git(&b, &["pull", "-q", "--no-rebase", "--no-edit"]), "no conflict");
    assert!(git(&a, &["pull", "-q", "--no-rebase", "--no-edit", "../holt", "main"]));
    for place in [&a, &b] {
        let ledger = open(place);
        assert_eq!(ledger.faults().unwrap(), []);
        let catalogue = ledger.catalogue();
        let s = catalogue.specimen(&cite(1).key(), &mut Vec::new()).unwrap().unwrap();
        assert_eq!((s.notes.len(), s.determinations.len()), (2, 1));
        assert_eq!(catalogue.len(), 2);
    }
}

#[test]
fn a_clone_of_a_notebook_without_records_can_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let (a, b) = (folder.path().join("ashdown"), folder.path().join("holt"));
    begin(&a);
    // git keeps no empty folder
    std::fs::create_dir(&b).unwrap();
    std::fs::copy(a.join("notebook.yaml"), b.join("notebook.yaml")).unwrap();
    open(&b).append(&[gathering(1, 0)], "M. Holt", &at(0)).unwrap();
    assert_eq!(open(&b).catalogue().len(), 1);
}
