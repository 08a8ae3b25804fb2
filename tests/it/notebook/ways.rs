//! The small ways of the notebook at the command line: found again, put right, seen in full.

use std::path::Path;

use crate::support::{Ran, hilum};

fn ran(at: &Path, arguments: &[&str], input: &str) -> Ran {
    hilum(at, &[&["notebook", "--in", "oren"], arguments].concat(), input)
}

#[track_caller]
fn well(at: &Path, arguments: &[&str]) -> String {
    let ran = ran(at, arguments, "");
    assert_eq!(ran.status, 0, "{arguments:?}: {}", ran.err);
    ran.out
}

#[track_caller]
fn fails(at: &Path, arguments: &[&str]) -> String {
    let ran = ran(at, arguments, "");
    assert_eq!(ran.status, 2, "{arguments:?}: {}", ran.out);
    ran.err
}

fn begun() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    well(folder.path(), &["begin", "--collector", "Inés Ávila"]);
    folder
}

#[test]
fn what_holds_for_the_whole_notebook_can_be_given_later() {
    let folder = begun();
    let at = folder.path();
    let said = well(at, &["begin", "--called", "Tell Oren", "--country", "Orenia"]);
    assert!(said.contains("notebook.yaml holds now"), "{said}");
    let file = at.join("oren/notebook.yaml");
    let text = std::fs::read_to_string(&file).expect("settings");
    assert!(text.contains("notebook: Tell Oren") && text.contains("country: Orenia"), "{text}");
    // what a person wrote beside it is not lost
    std::fs::write(&file, format!("# my own remark\n{text}")).expect("settings");
    let why = fails(at, &["begin", "--called", "Other"]);
    assert!(why.contains("remarks in it"), "{why}");
    assert!(std::fs::read_to_string(&file).expect("settings").contains("my own remark"));
}

#[test]
fn nothing_said_is_no_gathering() {
    let folder = begun();
    let at = folder.path();
    let why = fails(at, &["gather"]);
    assert!(why.contains("nothing was said of a gathering"), "{why}");
    // a number alone may be taken up
    assert!(well(at, &["gather", "2318"]).contains("Inés Ávila 2318"));
    assert!(well(at, &["gather", "--place", "ridge"]).contains("Inés Ávila 2319"));
}

#[test]
fn a_question_can_be_asked_again_and_the_last_entered_is_repeated() {
    let folder = begun();
    let at = folder.path();
    well(at, &["gather", "--place", "upper field"]);
    // entered later, though of an earlier day
    well(at, &["gather", "--place", "lower field", "--date", "yesterday"]);
    // number, date, place: wrong, back, again; then the repeated habitat of none
    let answers = "\n\nwrong place\n-\n=\n.\n";
    let ran = ran(at, &["gather", "--ask"], answers);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(
        well(at, &["show", "3"]).contains("place: lower field"),
        "{}",
        well(at, &["show", "3"])
    );
}

#[test]
fn numbers_are_found_without_accents_and_without_the_whole_of_a_date() {
    let folder = begun();
    let at = folder.path();
    well(at, &["gather", "--place", "ridge"]);
    well(at, &["gather", "s.n.", "--date", "2025-05-05", "--place", "mill"]);
    assert!(well(at, &["show", "Avila 1"]).contains("place: ridge"));
    assert!(well(at, &["show", "s.n."]).contains("place: mill"));
    assert!(well(at, &["show", "s.n. 2025-05"]).contains("place: mill"));
    well(at, &["gather", "s.n.", "--date", "2025-06-01", "--place", "well"]);
    assert!(fails(at, &["show", "s.n."]).contains("may be"), "two of them");
}

#[test]
fn a_page_shows_who_corrected_what_and_why() {
    let folder = begun();
    let at = folder.path();
    well(at, &["gather", "--altitude", "63 m", "--set", "fresh sap=milky", "--parts", "sheet"]);
    well(at, &["correct", "1", "--set", "altitude=630 m", "--reason", "a zero was missing"]);
    well(at, &["correct", "1", "--set", "fresh scent=none", "--set", "growing with=Vicia"]);
    let page = well(at, &["show", "1"]);
    assert!(page.contains("by Inés Ávila: altitude: 630 m (a zero was missing)"), "{page}");
    for line in ["altitude: 630 m", "fresh sap: milky", "fresh scent: none", "growing with: Vicia"]
    {
        assert!(page.contains(line), "{line}: {page}");
    }
    well(at, &["correct", "1", "--remove", "fresh sap"]);
    let page = well(at, &["show", "1"]);
    assert!(!page.contains("fresh sap: milky") && page.contains("fresh scent: none"), "{page}");
    // as it was written, with its place
    let written = well(at, &["show", "1", "--records"]);
    assert!(written.contains("altitude: 63 m") && written.contains("reason: a zero"), "{written}");
    assert!(written.contains("# records/") && written.contains(".yaml:2\n"), "{written}");
    // one record by its id
    let part = written.split("\n# ").find(|r| r.contains("\npart: 1")).expect("a part");
    let id = part.lines().find_map(|l| l.strip_prefix("id: ")).expect("an id");
    assert!(well(at, &["show", id]).contains("what: sheet"));
    // a withdrawn one says why
    well(at, &["correct", id, "--withdraw", "--reason", "another plant"]);
    let page = well(at, &["show", "1"]);
    assert!(page.contains("withdrawn (another plant)"), "{page}");
    assert!(well(at, &["list", "--mentions", "zero was missing"]).contains("1 of 1"));
}

#[test]
fn on_the_day_it_is_fresh() {
    let folder = begun();
    let at = folder.path();
    well(at, &["gather", "--place", "ridge"]);
    well(at, &["gather", "--place", "mill", "--date", "yesterday"]);
    assert!(well(at, &["see", "1", "sap milky"]).contains("1 seen fresh"));
    assert!(well(at, &["see", "2", "seeds black"]).contains("1 seen pressed"));
}
