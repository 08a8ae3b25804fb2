//! `check --sarif`, held against the standard by hand: SARIF 2.1.0, OASIS Standard, 27 March 2020.
//! Each assertion names the section that asks for it.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::support::hilum;

const FAULTY: &str = "\
Key to [three](weeds) {of} the lane
  intended  season-not-said: a key for a class

characters

petals: Petals _
  states    rot, blau, weiß

key

1a  Ähren weiß; petals blaü ......................... 2
1b  Petals rot or weiß .............................. Papaver rhoeas
1a  Petals weiß \u{202E}x ........................... 7
      intended  label-twice: {both} are met

2a  Petals blau . Viola arvensis
2b  Petals rot ...................................... Papaver rhoeas
";

fn sarif(name: &str, text: &str, arguments: &[&str]) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    std::fs::write(path, text).expect("written");
    let ran = hilum(folder.path(), &[&["check", "--sarif"], arguments, &[name]].concat(), "");
    let out: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(out["runs"][0]["invocations"][0]["exitCode"], ran.status);
    out
}

fn each<'a>(value: &'a Value, list: &str) -> &'a [Value] {
    value[list].as_array().map_or(&[], Vec::as_slice)
}

/// Section 3.11: a message has a text, and in it no brace stands alone (3.11.5).
fn is_message(value: &Value) {
    let text = value["text"].as_str().expect("3.11.8: text");
    assert!(!text.trim().is_empty(), "3.11.8: text is not empty");
    let rest = text.replace("{{", "").replace("}}", "");
    assert!(!rest.contains(['{', '}']), "3.11.5: {text}");
    assert!(!text.contains('\u{202E}'), "unseen characters are written out");
}

/// Section 3.29 and 3.30, against the text itself.
fn is_place(value: &Value, name: &str, text: &str) {
    let at = &value["physicalLocation"];
    let uri = at["artifactLocation"]["uri"].as_str().expect("3.4.3: uri");
    assert_eq!(uri, name);
    assert!(uri.bytes().all(|b| b.is_ascii_graphic()), "3.4.3, RFC 3986: {uri}");
    assert_eq!(at["artifactLocation"]["uriBaseId"], "%SRCROOT%", "3.4.4");
    let number = |field: &str| at["region"][field].as_u64().expect(field) as usize;
    let lines: Vec<&str> = text.split('\n').collect();
    let (line, column) = (number("startLine"), number("startColumn"));
    let (end_line, end_column) = (number("endLine"), number("endColumn"));
    assert!((line, column) <= (end_line, end_column), "3.30.4");
    for (line, column) in [(line, column), (end_line, end_column)] {
        assert!(line >= 1 && line <= lines.len(), "3.30.5: a line of the file");
        // 3.14.17: the unit of columns is the code point; the end is one past the last (3.30.8).
        let long = lines[line - 1].chars().count();
        assert!(column >= 1 && column <= long + 1, "3.30.6: column {column} of {long}");
    }
}

fn is_log(log: &Value, name: &str, text: &str) {
    assert_eq!(log["version"], "2.1.0", "3.13.2");
    assert!(log["$schema"].is_string(), "3.13.3");
    let runs = each(log, "runs");
    assert_eq!(runs.len(), 1, "3.13.4");
    let run = &runs[0];
    assert_eq!(run["columnKind"], "unicodeCodePoints", "3.14.17");
    let driver = &run["tool"]["driver"];
    assert_eq!(driver["name"], "hilum", "3.19.8");
    assert!(driver["semanticVersion"].is_string(), "3.19.12");
    assert!(each(run, "invocations")[0]["executionSuccessful"].is_boolean(), "3.20.14");
    let rules = each(driver, "rules");
    let mut ids = BTreeSet::new();
    for rule in rules {
        assert!(ids.insert(rule["id"].as_str().expect("3.49.3: id")), "3.19.23: rules are unique");
        is_message(&rule["shortDescription"]);
        is_message(&rule["fullDescription"]);
        is_message(&rule["help"]);
        assert!(rule["help"]["text"].as_str().is_some_and(|t| t.contains("## Remedy")));
        level(&rule["defaultConfiguration"]["level"]);
    }
    let mut prints = BTreeSet::new();
    for result in each(run, "results") {
        let index = result["ruleIndex"].as_u64().expect("3.27.6: ruleIndex") as usize;
        assert_eq!(rules[index]["id"], result["ruleId"], "3.27.5, 3.27.6");
        level(&result["level"]);
        is_message(&result["message"]);
        assert_eq!(each(result, "locations").len(), 1, "3.27.12");
        is_place(&result["locations"][0], name, text);
        let mut related = BTreeSet::new();
        for place in each(result, "relatedLocations") {
            assert!(related.insert(place["id"].as_u64().expect("3.28.2: id")), "3.28.2: unique");
            is_message(&place["message"]);
            is_place(place, name, text);
        }
        for fix in each(result, "fixes") {
            for change in each(fix, "artifactChanges") {
                assert_eq!(change["artifactLocation"]["uri"], name, "3.56.2");
                for part in each(change, "replacements") {
                    assert!(part["deletedRegion"]["startLine"].is_u64(), "3.57.3");
                    assert!(part["insertedContent"]["text"].is_string(), "3.57.4");
                }
            }
        }
        for answer in each(result, "suppressions") {
            assert_eq!(answer["kind"], "inSource", "3.35.2");
            assert!(answer["justification"].is_string(), "3.35.5");
        }
        let print = &result["partialFingerprints"]["ruleAndLine/v1"];
        assert!(prints.insert(print.as_str().expect("3.27.17")), "3.27.17: each is another");
    }
}

fn level(value: &Value) {
    assert!(["none", "note", "warning", "error"].contains(&value.as_str().expect("3.27.10")));
}

#[test]
fn the_log_is_as_the_standard_has_it() {
    let log = sarif("keys/ä lane.key", FAULTY, &["--all"]);
    is_log(&log, "keys/%C3%A4%20lane.key", FAULTY);
    let results = each(&log["runs"][0], "results");
    let of = |id: &str| results.iter().filter(|r| r["ruleId"] == id).collect::<Vec<_>>();
    assert_eq!(of("label-twice").len(), 1);
    // `blaü` stands in columns 24 to 27 of its line; the end is one past it.
    let near = of("near-word");
    let region = &near[0]["locations"][0]["physicalLocation"]["region"];
    assert_eq!(
        (&region["startColumn"], &region["endColumn"]),
        (&24.into(), &28.into()),
        "{region}"
    );
    assert!(!each(near[0], "fixes").is_empty());
    assert!(!each(of("label-twice")[0], "suppressions").is_empty(), "answered, so suppressed");
}

#[test]
fn notes_are_left_out_unless_they_are_asked_for() {
    let log = sarif("a.key", FAULTY, &[]);
    is_log(&log, "a.key", FAULTY);
    let results = each(&log["runs"][0], "results");
    assert!(!results.is_empty() && results.iter().all(|r| r["level"] != "note"));
}

#[test]
fn fingerprints_stay_where_lines_move() {
    let prints = |text: &str| {
        let log = sarif("a.key", text, &["--all"]);
        let prints = each(&log["runs"][0], "results")
            .iter()
            .map(|r| r["partialFingerprints"]["ruleAndLine/v1"].as_str().map(str::to_string));
        prints.collect::<BTreeSet<_>>()
    };
    let moved = FAULTY.replace("\ncharacters\n", "\n\n# a remark\n\n\ncharacters\n");
    assert_eq!(prints(FAULTY), prints(&moved));
    assert_ne!(prints(FAULTY), prints(&FAULTY.replace("blaü", "rott")));
}

#[test]
fn what_could_not_be_read_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = hilum(folder.path(), &["check", "--sarif", "none.key"], "");
    assert_eq!(ran.status, 2);
    let log: Value = serde_json::from_str(&ran.out).expect("JSON");
    let invocation = &each(&log["runs"][0], "invocations")[0];
    assert_eq!(invocation["executionSuccessful"], false);
    is_message(&each(invocation, "toolExecutionNotifications")[0]["message"]);
}
