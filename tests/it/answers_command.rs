//! `sift`, `tell` and `batch` as a person, a script or another program meets them.

use std::path::Path;

use serde_json::Value;

use crate::support::{Ran, hilum};

const KEY: &str = "\
Key to four weeds of the terraces
  place      Oren valley (invented)

characters

petal colour: Petals _
  states    red, orange, blue, white
  part      flower
  pressed   red looks purple or red; blue looks blue or white

sap: Sap _
  states    clear, milky
  part      stem
  pressed   cannot be seen

blade: Leaf blade _ long
  measure   mm
  part      leaf
  pressed   0.80 to 1.00

key

1a  Sap milky ............................ 2
1b  Sap clear ............................ 3
2a  Petals red ........................... Papaver rhoeas
2b  Petals orange ........................ Papaver dubium
3a  Petals blue .......................... Centaurea cyanus
3b  Petals white ......................... Stellaria media

taxa

Papaver rhoeas L.
  Petals red, rarely white; sap milky; leaf blade 30-150 mm long.
  caution   Poisonous if eaten.

Papaver dubium L.
  Petals orange; sap milky; leaf blade 40-160 mm long.

Centaurea cyanus L.
  Petals blue; sap clear; leaf blade 30-100 mm long.

Stellaria media (L.) Vill.
  Petals white; sap clear; leaf blade 5-20 mm long.
";

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("four.key"), KEY).expect("written");
    folder
}

fn run(folder: &Path, arguments: &[&str], input: &str) -> Ran {
    hilum(folder, arguments, input)
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn sift_settles_a_name_and_says_its_cautions() {
    let folder = folder();
    let ran = run(folder.path(), &["sift", "four.key", "petals red", "sap milky"], "");
    assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
    insta::assert_snapshot!("sift_settled", ran.out);
    assert!(ran.out.contains("Poisonous if eaten"), "a caution comes with its name");
    assert!(ran.out.contains("only proves what a plant is not"));
}

#[test]
fn sift_is_open_where_much_is_left_and_contradictory_where_nothing_fits() {
    let folder = folder();
    let open = run(folder.path(), &["sift", "field-weeds", "leaves alternate"], "");
    assert_eq!(open.status, 1, "{}", open.out);
    assert!(open.out.contains("open"), "{}", open.out);
    let torn = run(
        folder.path(),
        &["sift", "four.key", "petals white", "sap milky", "leaf blade 10 mm long", "--json"],
        "",
    );
    assert_eq!(torn.status, 1);
    let said = json(&torn.out);
    assert_eq!(said["agreement"]["by_misfits"][0]["count"], 0);
    let sum: f64 = said["ranking"]["names"]
        .as_array()
        .expect("names")
        .iter()
        .map(|n| n["probability"].as_f64().expect("a probability"))
        .sum::<f64>()
        + said["ranking"]["none_of_these"].as_f64().expect("a probability")
        + said["ranking"]["others"].as_f64().expect("a probability");
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
}

#[test]
fn sift_corrects_for_the_press_and_says_so() {
    let folder = folder();
    let fresh = run(folder.path(), &["sift", "four.key", "petals white", "--json"], "");
    let pressed =
        run(folder.path(), &["sift", "four.key", "petals white", "--pressed", "--json"], "");
    let agreeing = |ran: &Ran| json(&ran.out)["agreement"]["by_misfits"][0]["count"].clone();
    // Papaver rhoeas may be white; pressed, a blue petal may look white as well.
    assert_eq!((agreeing(&fresh), agreeing(&pressed)), (2.into(), 3.into()));
    let said = run(folder.path(), &["sift", "four.key", "petals white", "--pressed"], "");
    assert!(said.out.contains("corrected"), "{}", said.out);
}

#[test]
fn sift_reads_a_file_of_observations_in_both_forms() {
    let folder = folder();
    let yaml = "- petals red\n- observation: leaf blade 34 mm long\n  condition: pressed\n";
    let csv = "observation,condition\npetals red,\nleaf blade 34 mm long,pressed\n";
    std::fs::write(folder.path().join("o.yaml"), yaml).expect("written");
    std::fs::write(folder.path().join("o.csv"), csv).expect("written");
    let of = |file: &str| {
        let ran = run(folder.path(), &["sift", "four.key", "--observations", file, "--json"], "");
        assert_eq!(ran.status, 0, "{file}: {}{}", ran.out, ran.err);
        let said = json(&ran.out);
        assert_eq!(said["observations"][1]["condition"], "pressed");
        said["verdict"].clone()
    };
    assert_eq!(of("o.yaml"), of("o.csv"));
}

#[test]
fn what_cannot_be_read_is_an_error_with_what_was_probably_meant() {
    let folder = folder();
    let ran = run(folder.path(), &["sift", "four.key", "petals rde"], "");
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("petals rde") && ran.err.contains("red"), "{}", ran.err);
    let ran = run(folder.path(), &["sift", "four.key", "leaf blade 50 long"], "");
    assert!(ran.status == 2 && ran.err.contains("mm"), "{}", ran.err);
}

#[test]
fn before_pressing_lists_what_the_press_takes() {
    let folder = folder();
    let ran = run(folder.path(), &["sift", "four.key", "--before-pressing"], "");
    assert!(ran.out.contains("Sap …: clear, milky - cannot be seen pressed"), "{}", ran.out);
}

#[test]
fn tell_gives_an_account_what_parts_two_and_what_no_other_shares() {
    let folder = folder();
    let one = run(folder.path(), &["tell", "four.key", "Papaver rhoeas"], "");
    assert_eq!(one.status, 0, "{}", one.err);
    insta::assert_snapshot!("tell_one", one.out);
    let two = run(folder.path(), &["tell", "four.key", "Papaver rhoeas", "Papaver dubium"], "");
    insta::assert_snapshot!("tell_two", two.out);
    let blind = run(
        folder.path(),
        &["tell", "four.key", "Papaver rhoeas", "P. dubium", "--without", "flower"],
        "",
    );
    assert!(blind.status == 2 || blind.out.contains("Nothing in their accounts"), "{}", blind.out);
    let none = run(folder.path(), &["tell", "four.key", "Rosa canina"], "");
    assert_eq!(none.status, 2);
}

#[test]
fn batch_keeps_the_order_and_carries_bad_rows_through() {
    let folder = folder();
    let input = "\
{\"id\":\"1\",\"observations\":[\"petals red\",\"sap milky\"]}
{\"id\":\"2\",\"observations\":[\"petals rde\"]}
not JSON at all
{\"id\":\"4\",\"observations\":[\"petals blue\",\"sap clear\"],\"month\":13}
{\"id\":\"5\",\"observations\":[\"petals blue\",\"sap clear\"]}
";
    let ran = run(folder.path(), &["batch", "four.key"], input);
    assert_eq!(ran.status, 1, "{}", ran.err);
    let rows: Vec<Value> = ran.out.lines().map(json).collect();
    assert_eq!(rows.len(), 5, "no line is dropped");
    for (i, row) in rows.iter().enumerate() {
        assert_eq!(row["line"], i as u64 + 1);
    }
    assert_eq!(rows[0]["names"][0]["taxon"], "Papaver rhoeas");
    assert!(rows[1]["error"].as_str().expect("an error").contains("petals rde"));
    assert!(
        rows[2]["error"].is_string()
            && rows[2].get("names").is_none_or(|n| n == &Value::Array(vec![]))
    );
    assert!(rows[3]["error"].as_str().expect("an error").contains("no month 13"));
    assert_eq!(rows[4]["names"][0]["taxon"], "Centaurea cyanus");
}

#[test]
fn batch_reads_and_writes_tables_and_gives_the_same_names() {
    let folder = folder();
    let csv = "id,observations,condition\n7,petals red; sap milky,\n8,petals white; leaf blade 9 mm long,pressed\n";
    std::fs::write(folder.path().join("season.csv"), csv).expect("written");
    let ran = run(folder.path(), &["batch", "four.key", "season.csv", "--to", "csv"], "");
    assert_eq!(ran.status, 0, "{}{}", ran.out, ran.err);
    insta::assert_snapshot!("batch_table", ran.out);
    let jsonl = "{\"id\":7,\"observations\":[\"petals red\",\"sap milky\"]}\n{\"id\":8,\"observations\":[\"petals white\",\"leaf blade 9 mm long\"],\"condition\":\"pressed\"}\n";
    let rows = run(folder.path(), &["batch", "four.key"], jsonl).out;
    for (row, name) in rows.lines().map(json).zip(["Papaver rhoeas", "Stellaria media"]) {
        assert_eq!(row["names"][0]["taxon"], name);
        assert!(ran.out.contains(name));
    }
}

#[test]
fn a_batch_is_the_same_whatever_the_number_of_threads() {
    let folder = folder();
    let input: String = (0..500)
        .map(|i| {
            let colour = ["red", "orange", "blue", "white"][i % 4];
            format!(
                "{{\"id\":{i},\"observations\":[\"petals {colour}\",\"leaf blade {} mm long\"]}}\n",
                i + 3
            )
        })
        .collect();
    let of = |threads: &str| {
        use std::io::Write;
        use std::process::{Command, Stdio};
        let mut child = Command::new(env!("CARGO_BIN_EXE_hilum"))
            .args(["batch", "four.key"])
            .current_dir(folder.path())
            .env("RAYON_NUM_THREADS", threads)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut pipe = child.stdin.take().expect("a pipe");
        let text = input.clone();
        let writer = std::thread::spawn(move || pipe.write_all(text.as_bytes()));
        let done = child.wait_with_output().expect("the program ends");
        writer.join().expect("a thread").expect("all is taken");
        done.stdout
    };
    assert_eq!(of("1"), of("4"));
}

#[test]
fn with_colour_no_terminal_code_is_shown_as_text() {
    let folder = folder();
    for arguments in [
        &["sift", "field-weeds", "petals red", "--plan", "--colour", "always"][..],
        &["tell", "field-weeds", "Papaver rhoeas", "--colour", "always"],
        &["tell", "field-weeds", "Papaver rhoeas", "Papaver dubium", "--colour", "always"],
        &["check", "four.key", "--all", "--colour", "always"],
    ] {
        let ran = run(folder.path(), arguments, "");
        assert!(!ran.out.contains("u{1B}"), "{}", ran.out);
    }
    // And in a session.
    let input = "petals red\nnext\nmissing\nranking\naccount Papaver rhoeas\n";
    let ran = run(
        folder.path(),
        &["determine", "field-weeds", "--no-record", "--colour", "always"],
        input,
    );
    assert!(!ran.out.contains("u{1B}"), "{}", ran.out);
}
