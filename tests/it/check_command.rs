//! `hilum check` as a person or another program meets it.

use std::path::Path;

use crate::support::{Ran, hilum};

fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

fn check(folder: &Path, arguments: &[&str]) -> Ran {
    hilum(folder, &[&["check"], arguments].concat(), "")
}

/// Input, output and status in one picture.
fn picture(input: &str, ran: &Ran) -> String {
    let numbered: Vec<String> =
        input.lines().enumerate().map(|(i, l)| format!("{:>3}  {l}", i + 1)).collect();
    format!(
        "{}\n\n---- output\n{}\n---- errors\n{}\n---- status {}\n",
        numbered.join("\n"),
        ran.out,
        ran.err,
        ran.status
    )
}

/// A teacher's key with the slips that teachers make.
const SCHOOL: &str = "\
Trees around the school at Lower Wick
  place     the school grounds and the lane to the mill
  by        form 3

characters

leaf form: Leaves _
  states    needles, scales, broad

margin: Leaf margin _
  states    smooth, toothed, lobed

key

1a  Leaves needles or scales ........................ 2
1b  Leaves broad .................................... 4

2a (1)  Needles in bundles .......................... 3
2b  Needles single .................................. Picea abies

3a  Needles in twos ................................. Pinus sylvestris
3b  Needles in fives ................................ Pinus strobus

4a  Leaves in pairs ................................. 5
4b  Leaves one by one ............................... 7

5a (4)  Leaf simple; leaf margin lobed .............. 6
5b  Leaf pinnate .................................... Fraxinus excelsior

6a  Lobes with a few blunt teeth .................... Acer campestre
6a  Lobes with sharp points ......................... Acer platanoides

7a (4)  Leaf margin lobbed .......................... Quercus robur
7b  Leaf margin toothed ............................. 9

8a (7)  Leaf heart-shaped ........................... Tilia cordata
8b  Leaf not heart-shaped . 9

9a  Leaf with double teeth, base uneven ............. Ulmus minor
9b  Leaf with fine teeth ............................ 7

taxa

Picea abies (L.) H.Karst.
  called    Norway spruce

Acer campestris L.
  called    field maple
";

#[test]
fn every_slip_of_a_key_is_framed() {
    let folder = folder(&[("school.key", SCHOOL.as_bytes())]);
    let ran = check(folder.path(), &["school.key"]);
    insta::assert_snapshot!("check_frames", picture(SCHOOL, &ran));
}

#[test]
fn brief_is_one_line_a_finding() {
    let folder = folder(&[("school.key", SCHOOL.as_bytes())]);
    let ran = check(folder.path(), &["--brief", "school.key"]);
    insta::assert_snapshot!("check_brief", picture(SCHOOL, &ran));
    assert_eq!(ran.status, 1);
}

#[test]
fn json_has_the_shape_that_is_promised() {
    let folder = folder(&[("school.key", SCHOOL.as_bytes())]);
    let ran = check(folder.path(), &["--json", "--unread", "school.key"]);
    let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(json["format"], 1);
    assert_eq!(json["status"], 1);
    assert_eq!(ran.status, 1);
    let file = &json["files"][0];
    assert_eq!(file["file"], "school.key");
    assert_eq!(file["title"], "Trees around the school at Lower Wick");
    let twice = file["findings"]
        .as_array()
        .and_then(|all| all.iter().find(|f| f["rule"] == "label-twice"))
        .expect("the finding");
    assert_eq!(twice["severity"], "error");
    assert_eq!(twice["place"]["line"], 31);
    assert_eq!(twice["place"]["column"], 1);
    assert_eq!(twice["place"]["end_column"], 3);
    let start = twice["place"]["start"].as_u64().expect("a number") as usize;
    assert!(SCHOOL[start..].starts_with("6a  Lobes with sharp"));
    assert_eq!(twice["mend"]["replacement"], "6b");
    assert_eq!(twice["related"][0]["place"]["line"], 30);
    assert_eq!(twice["intended"], serde_json::Value::Null);
    for field in ["keys", "couplets", "leads", "end_points", "taxa", "accounts", "read"] {
        assert!(!file["figures"][field].is_null(), "{field}");
    }
    assert_eq!(file["figures"]["couplets"], 9);
    assert_eq!(file["unread"][0]["read"], "prose");
    assert_eq!(file["unread"][0]["words"], "Needles in bundles");
    let errors = file["findings"].as_array().map(|all| {
        all.iter().filter(|f| f["severity"] == "error" && f["intended"].is_null()).count()
    });
    assert_eq!(json["counts"]["errors"].as_u64().map(|n| n as usize), errors);
}

const CLEAN: &str = "\
Trees

key

1a  Leaves are needles ..... Abies alba
1b  Leaves are broad ..... Quercus robur
";

#[test]
fn the_status_tells_clean_from_found_from_failed() {
    let warned = format!("\u{FEFF}{}", CLEAN.replace("Abies", "A\u{200B}bies"));
    let folder = folder(&[
        ("clean.key", CLEAN.as_bytes()),
        ("warned.key", warned.as_bytes()),
        ("faulty.key", CLEAN.replace("1b", "1a").as_bytes()),
    ]);
    for (arguments, status) in [
        (&["clean.key"][..], 0),
        (&["warned.key"], 0),
        (&["--strict", "warned.key"], 1),
        (&["--strict", "clean.key"], 0),
        (&["faulty.key"], 1),
        (&["clean.key", "faulty.key"], 1),
        (&["missing.key"], 2),
        (&["missing.key", "faulty.key"], 2),
        (&[], 2),
        (&["--no-such-option", "clean.key"], 2),
        (&["--rules"], 0),
        (&["--explain", "label-twice"], 0),
        (&["--explain", "no-such-rule"], 2),
        (&["--json", "faulty.key"], 1),
        (&["--brief", "faulty.key"], 1),
    ] {
        assert_eq!(check(folder.path(), arguments).status, status, "{arguments:?}");
    }
}

#[test]
fn a_missing_file_is_told_with_the_nearest_one_and_the_others_are_checked() {
    let folder = folder(&[("clean.key", CLEAN.as_bytes())]);
    let ran = check(folder.path(), &["claen.key", "clean.key"]);
    assert_eq!(ran.err, "error: there is no file claen.key; did you mean clean.key?\n");
    assert!(ran.out.starts_with("clean.key: nothing to mend."), "{}", ran.out);
    let ran = check(folder.path(), &["."]);
    assert_eq!(ran.err, "error: . is a folder; name a key file in it\n");
}

#[test]
fn standard_input_is_read_under_a_dash() {
    let folder = folder(&[]);
    let ran = hilum(folder.path(), &["check", "--brief", "-"], &CLEAN.replace("1b", "1a"));
    assert_eq!(ran.out, "standard input:6:1: error[label-twice] the label 1a is used twice\n");
}

#[test]
fn a_bundled_key_is_checked_by_its_name() {
    let folder = folder(&[]);
    let ran = check(folder.path(), &["field-weeds"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    assert!(ran.out.contains("field-weeds.key: nothing to mend."), "{}", ran.out);
}

#[test]
fn colour_comes_only_where_it_is_wanted() {
    let folder = folder(&[("faulty.key", CLEAN.replace("1b", "1a").as_bytes())]);
    assert!(!check(folder.path(), &["faulty.key"]).out.contains('\x1b'));
    assert!(!check(folder.path(), &["--colour", "never", "faulty.key"]).out.contains('\x1b'));
    let coloured = check(folder.path(), &["--colour", "always", "faulty.key"]).out;
    assert!(coloured.contains("\x1b["));
}

#[test]
fn a_closed_pipe_is_no_error() {
    use std::io::Read;
    use std::process::{Command, Stdio};
    let mut text = String::from("Many\n\nkey\n\n");
    for i in 1..20_000 {
        text.push_str(&format!("{i}a  A ..... Abies alba\n"));
    }
    let folder = folder(&[("many.key", text.as_bytes())]);
    let mut child = Command::new(env!("CARGO_BIN_EXE_hilum"))
        .args(["check", "--brief", "many.key"])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    let mut out = child.stdout.take().expect("a pipe");
    let mut first = [0; 100];
    out.read_exact(&mut first).expect("some output");
    drop(out);
    let done = child.wait_with_output().expect("ends");
    assert_eq!(String::from_utf8_lossy(&done.stderr), "");
    assert_eq!(done.status.code(), Some(0));
}

#[test]
fn what_turns_a_line_about_is_shown_escaped_everywhere() {
    let text = "Trees \u{202E}seert\n\nkey\n\n1a  Leaves \u{1b}[31mred ..... A\u{202E}bies\n\
                1a  Leaves broad ..... Quercus robur\n";
    let folder = folder(&[("odd.key", text.as_bytes())]);
    for arguments in [
        &["odd.key"][..],
        &["--all", "--unread", "odd.key"],
        &["--brief", "--all", "--unread", "odd.key"],
        &["--json", "--unread", "odd.key"],
    ] {
        let ran = check(folder.path(), arguments);
        assert!(!ran.out.contains(['\u{202E}', '\u{1b}']), "{arguments:?}: {}", ran.out);
        assert!(ran.out.to_lowercase().contains("202e"), "{arguments:?}");
    }
}

#[test]
fn a_line_of_ten_megabytes_is_trimmed_around_the_place() {
    let long = "Leaves are red and ".repeat(550_000);
    let text =
        format!("Trees\n\nkey\n\n1a  {long} ..... 7\n1b  Leaves broad ..... Quercus robur\n");
    let folder = folder(&[("long.key", text.as_bytes())]);
    let ran = check(folder.path(), &["long.key"]);
    assert!(ran.out.contains("pointer-without-couplet"), "{:.2000}", ran.out);
    assert!(ran.out.len() < 4000, "{} bytes", ran.out.len());
    let column = "1a  ".len() + long.len() + " ..... ".len() + 1;
    assert!(ran.out.contains(&format!("long.key:5:{column}")), "{}", ran.out);
}

#[test]
fn other_encodings_are_read_as_far_as_they_can_be_and_told() {
    let latin: Vec<u8> =
        CLEAN.replace("broad", "br*ad").bytes().map(|b| if b == b'*' { 0xF6 } else { b }).collect();
    let mut wide = vec![0xFF, 0xFE];
    wide.extend(CLEAN.encode_utf16().flat_map(u16::to_le_bytes));
    let folder = folder(&[("latin.key", &latin), ("wide.key", &wide)]);
    let ran = check(folder.path(), &["--brief", "latin.key", "wide.key"]);
    assert_eq!(
        ran.out,
        "latin.key:6:18: error[not-utf-8] this is no UTF-8, and what stands here is lost\n\
         wide.key:1:1: error[not-utf-8] the file is UTF-16, not UTF-8\n"
    );
}

#[test]
fn files_under_uses_are_read_beside_the_key_and_no_others() {
    let weeds = "Weeds\n  uses      grasses.key\n\nkey\n\n\
                 1a  Stems jointed ..... key to the grasses in grasses.key\n\
                 1b  Leaves broad ..... Plantago major\n";
    let grasses = "Grasses\n\nkey to the grasses\n\n1a  Ears flat ..... Lolium perenne\n\
                   1b  Ears round ..... Hordeum murinum\n";
    let folder = folder(&[("weeds.key", weeds.as_bytes()), ("grasses.key", grasses.as_bytes())]);
    let ran = check(folder.path(), &["--strict", "weeds.key"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    let silent = weeds.replace("  uses      grasses.key\n", "");
    std::fs::write(folder.path().join("weeds.key"), silent).expect("written");
    let ran = check(folder.path(), &["--brief", "weeds.key"]);
    assert!(ran.out.contains("warning[file-not-read]"), "{}", ran.out);
    let ran = check(folder.path(), &["--strict", "weeds.key", "grasses.key"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
}

#[test]
fn a_rule_is_explained_by_its_own_words() {
    let folder = folder(&[]);
    let ran = check(folder.path(), &["--explain", "label twice"]);
    insta::assert_snapshot!("check_explain", ran.out);
    let ran = check(folder.path(), &["--explain", "lable-twice"]);
    assert_eq!(
        ran.err,
        "error: there is no rule lable-twice; did you mean label-twice? All of them: hilum check --rules\n"
    );
    for rule in hilum::check::rules::ALL {
        let ran = check(folder.path(), &["--json", "--explain", rule.id]);
        let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
        assert_eq!(json["rule"], rule.id);
        assert!(json["sections"]["Remedy"].as_str().is_some_and(|s| !s.is_empty()));
    }
}

#[test]
fn notes_and_answers_are_counted_and_shown_on_request() {
    let text = "Trees\n\nkey\n\n1a  Leaves are needles ..... Abies alba\n\
                1b  Leaves are broad ..... 2\n\n2a  Lobed ..... Quercus robur\n\
                2b  Wavy ..... Quercus robur\n      intended  taxon-twice: young oaks\n";
    let folder = folder(&[("oaks.key", text.as_bytes())]);
    let ran = check(folder.path(), &["oaks.key"]);
    assert!(ran.out.contains("1 finding answered in the text (taxon-twice 1)."), "{}", ran.out);
    let ran = check(folder.path(), &["--all", "oaks.key"]);
    assert!(ran.out.contains("answered[taxon-twice]"), "{}", ran.out);
    assert!(ran.out.contains("intended: young oaks"), "{}", ran.out);
}

/// Once a lead that had swallowed thousands of others overflowed the stack of the reader.
#[test]
fn thousands_of_leads_on_one_line_are_parted() {
    let text = format!("Trees\n\nkey\n\n{}\n", "1a  x ...... Abies alba  ".repeat(20_000));
    let folder = folder(&[("one.key", text.as_bytes())]);
    let ran = check(folder.path(), &["--json", "one.key"]);
    let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(json["files"][0]["figures"]["leads"], 20_000);
    assert_eq!(ran.status, 1);
}

/// A key in which a rare form of one plant ends at another's name.
const RARE: &str = "Key to two trees of the school yard

characters

thorns: Thorns _
  states    present, absent

key

1a  Thorns present .......................... Robinia pseudoacacia
1b  Thorns absent ........................... Juglans regia

taxa

Juglans regia L.
  Thorns absent.

Robinia pseudoacacia L.
  Thorns present, rarely absent.
";

#[test]
fn a_plant_under_anothers_name_is_named_before_the_other_notes() {
    let folder = folder(&[("a.key", RARE.as_bytes())]);
    let ran = check(folder.path(), &["a.key"]);
    let line = "1 plant may end at another's name (wrong-name): --all shows it.";
    let at = ran.out.find(line).expect("named");
    assert!(at < ran.out.find("not shown (").expect("the other notes"), "{}", ran.out);
    let all = check(folder.path(), &["--all", "a.key"]);
    assert!(!all.out.contains(line) && all.out.contains("note[wrong-name]"), "{}", all.out);
}

#[test]
fn what_a_circle_keeps_from_being_examined_is_named_everywhere() {
    let circular = RARE.replace(
        "1b  Thorns absent ........................... Juglans regia\n",
        "1b  Thorns absent ........................... 2\n\n\
         2a  Wood hard ............................... Juglans regia\n\
         2b  Wood soft ............................... 1\n",
    );
    let folder = folder(&[("a.key", circular.as_bytes())]);
    let ran = check(folder.path(), &["--report", "a.html", "a.key"]);
    assert_eq!(ran.status, 1);
    let words = "what becomes of plants that take lead 2b";
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(&format!("(circular-route): {words}")), "{flat}");
    let page = std::fs::read_to_string(folder.path().join("a.html")).expect("a report");
    assert!(page.contains("Not examined:") && page.contains(words));
    assert!(page.contains("<h2>Where the plants of every account end</h2>"));
    let json = check(folder.path(), &["--json", "a.key"]).out;
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["files"][0]["not_examined"][0]["what"], words);
}
