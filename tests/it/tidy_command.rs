//! The command `tidy`: what it does to files, what it prints, and how it ends.

use std::path::Path;

use super::support::{Ran, hilum};

const ROUGH: &str = "Key to two herbs of the lane\nkey\n1a Petals yellow .. Ranunculus acris # look again\n1b   Petals white ...... 5\n5a Leaves divided .. Anemone nemorosa\n5b Leaves entire .. Stellaria media\n";

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("a file");
    }
    folder
}

fn tidy(folder: &Path, arguments: &[&str], input: &str) -> Ran {
    hilum(folder, &[&["tidy"], arguments].concat(), input)
}

fn text(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).expect("the file is there")
}

#[test]
fn a_file_is_laid_out_in_place_and_once_is_enough() {
    let folder = folder(&[("rough.key", ROUGH)]);
    let ran = tidy(folder.path(), &["rough.key"], "");
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert_eq!(ran.out, "rough.key: laid out anew\n");
    let first = text(folder.path(), "rough.key");
    assert_ne!(first, ROUGH);
    assert!(first.contains("# look again"), "comments stay\n{first}");
    // The dots end in one column.
    let ends: Vec<usize> = first.lines().filter_map(|l| l.rfind(".. ")).collect();
    assert!(ends.len() == 4 && ends.iter().all(|e| *e == ends[0]), "{first}");
    let ran = tidy(folder.path(), &["rough.key"], "");
    assert_eq!((ran.status, ran.out.as_str()), (0, "rough.key: is tidy\n"));
    assert_eq!(text(folder.path(), "rough.key"), first);
    // Nothing else is left in the folder.
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 1);
}

#[test]
fn check_changes_nothing_and_fails_where_anything_would_change() {
    let folder = folder(&[("rough.key", ROUGH)]);
    let ran = tidy(folder.path(), &["--check", "rough.key"], "");
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("rough.key: is not tidy"), "{}", ran.out);
    assert!(ran.out.lines().any(|l| l.contains("1b   Petals white")), "it is shown\n{}", ran.out);
    assert_eq!(text(folder.path(), "rough.key"), ROUGH);
    tidy(folder.path(), &["rough.key"], "");
    let ran = tidy(folder.path(), &["--check", "rough.key"], "");
    assert_eq!((ran.status, ran.out.as_str()), (0, "rough.key: is tidy\n"));
}

#[test]
fn standard_input_goes_to_standard_output_alone() {
    let folder = folder(&[("rough.key", ROUGH)]);
    tidy(folder.path(), &["rough.key"], "");
    let ran = tidy(folder.path(), &["-"], ROUGH);
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert_eq!(ran.out, text(folder.path(), "rough.key"));
    assert_eq!(tidy(folder.path(), &["--check", "-"], ROUGH).status, 1);
}

#[test]
fn couplets_are_numbered_anew_and_pointers_follow() {
    let folder = folder(&[("rough.key", ROUGH)]);
    let ran = tidy(folder.path(), &["--renumber", "rough.key"], "");
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(ran.out.contains("1 couplet renumbered"), "{}", ran.out);
    let after = text(folder.path(), "rough.key");
    assert!(after.contains("\n2a  ") && after.contains(" 2\n") && !after.contains('5'), "{after}");
}

#[test]
fn a_key_with_a_pointer_to_nowhere_keeps_its_numbers_and_says_so() {
    let folder = folder(&[("lost.key", &ROUGH.replace("...... 5", "...... 7"))]);
    let ran = tidy(folder.path(), &["--renumber", "lost.key"], "");
    assert_eq!(ran.status, 2, "{}", ran.out);
    assert!(ran.out.contains("lost.key:4:"), "the place is named\n{}", ran.out);
    assert!(text(folder.path(), "lost.key").contains("\n5a"));
}

#[test]
fn back_references_are_written_and_dropped() {
    let far = ROUGH
        .replace("1b   ", "1b Petals pale .. 3\n1c ")
        .replace("5a", "3a Stem hollow .. Caltha palustris\n3b Stem full .. Ficaria verna\n5a");
    let folder = folder(&[("far.key", &far)]);
    let ran = tidy(folder.path(), &["--back-references", "write", "far.key"], "");
    assert_eq!(ran.status, 0, "{}", ran.err);
    assert!(ran.out.contains("back-reference"), "{}", ran.out);
    let written = text(folder.path(), "far.key");
    assert!(written.contains("5a (1)"), "{written}");
    let ran = tidy(folder.path(), &["--back-references", "drop", "far.key"], "");
    assert!(ran.out.contains("dropped"), "{}", ran.out);
    assert!(!text(folder.path(), "far.key").contains("(1)"));
}

#[test]
fn a_missing_file_does_not_stop_the_others() {
    let folder = folder(&[("rough.key", ROUGH)]);
    let ran = tidy(folder.path(), &["none.key", "rough.key"], "");
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("none.key"), "{}", ran.err);
    assert_ne!(text(folder.path(), "rough.key"), ROUGH, "it was laid out all the same");
}

#[test]
fn a_file_that_cannot_be_read_whole_is_left_as_it_is() {
    let folder = folder(&[]);
    let bytes = b"Key to herbs\nkey\n1a caf\xe9 .. Aa a\n1b b .. Bb b\n";
    std::fs::write(folder.path().join("latin.key"), bytes).expect("a file");
    let ran = tidy(folder.path(), &["latin.key"], "");
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("left as it is"), "{}", ran.err);
    assert_eq!(std::fs::read(folder.path().join("latin.key")).expect("a file"), bytes);
}

#[cfg(unix)]
#[test]
fn permissions_and_links_are_kept() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let folder = folder(&[("real.key", ROUGH)]);
    let real = folder.path().join("real.key");
    std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o640)).expect("permissions");
    symlink("real.key", folder.path().join("link.key")).expect("a link");
    let before = std::fs::metadata(&real).expect("a file").ino();
    let ran = tidy(folder.path(), &["link.key"], "");
    assert_eq!(ran.status, 0, "{}", ran.err);
    let link = std::fs::symlink_metadata(folder.path().join("link.key")).expect("a link");
    assert!(link.file_type().is_symlink(), "the link is still a link");
    assert_ne!(text(folder.path(), "real.key"), ROUGH, "what it points at was laid out");
    let after = std::fs::metadata(&real).expect("a file");
    assert_eq!(after.permissions().mode() & 0o777, 0o640);
    // Replaced in one step, not written over: whoever reads meanwhile has the one or the other.
    assert_ne!(after.ino(), before);
}
