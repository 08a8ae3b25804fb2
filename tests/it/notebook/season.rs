//! A season acted through at the command line, as someone new would: from the first gathering to
//! labels and archive.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The program in a folder, on a given day, answered from a pipe.
struct Camp<'a> {
    folder: &'a Path,
    /// Seconds since 1970.
    clock: std::cell::Cell<i64>,
}

/// 2 May 2026, 15:00 UTC.
const EVENING: i64 = 1_777_734_000;

impl Camp<'_> {
    fn run(&self, args: &[&str], input: &str) -> Output {
        self.clock.set(self.clock.get() + 60);
        let mut child = Command::new(env!("CARGO_BIN_EXE_hilum"))
            .args(args)
            .current_dir(self.folder)
            .env("HILUM_NOTEBOOK", self.folder.join("oren"))
            .env("HILUM_STATE", self.folder.join("state"))
            .env("SOURCE_DATE_EPOCH", self.clock.get().to_string())
            .env("NO_COLOR", "1")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        child.wait_with_output().unwrap()
    }

    /// Runs what has to go well, and returns what it printed.
    fn well(&self, args: &[&str]) -> String {
        self.asked(args, "")
    }

    fn asked(&self, args: &[&str], input: &str) -> String {
        let out = self.run(args, input);
        let (said, told) = (text(&out.stdout), text(&out.stderr));
        assert!(out.status.success(), "{args:?}\n{said}\n{told}");
        format!("{said}{told}")
    }

    /// Runs what finds something to look at (exit status 1).
    fn finds(&self, args: &[&str]) -> String {
        let out = self.run(args, "");
        assert_eq!(out.status.code(), Some(1), "{args:?}\n{}", text(&out.stderr));
        text(&out.stdout)
    }

    /// Runs what cannot be done, and returns why.
    fn fails(&self, args: &[&str]) -> String {
        let out = self.run(args, "");
        assert_eq!(out.status.code(), Some(2), "{args:?}\n{}", text(&out.stdout));
        text(&out.stderr)
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

pub const KEY: &str = "\
Key to the poppies of the terraces
  issue  1, 2026-01-01

characters

petal colour: Petals _
  states  red, orange
  part    flower
  pressed  red looks purple or red

sap: Sap _
  states  clear, milky
  part    stem
  pressed  cannot be seen

capsule: Capsule _ as wide
  states  as long, twice as long
  part    fruit

key

1a  Petals red ...................... 2
1b  Petals orange ................... Papaver dubium
2a  Capsule as long as wide ......... Papaver rhoeas
2b  Capsule twice as long as wide ... Papaver strigosum

taxa

Papaver rhoeas L.
  family  Papaveraceae
  Petals red; sap milky; capsule as long as wide.
Papaver strigosum (Boenn.) Schur
  family  Papaveraceae
  Petals red; sap clear; capsule twice as long as wide.
Papaver dubium L.
  family  Papaveraceae
  Petals orange; sap milky; capsule twice as long as wide.
";

#[test]
fn a_season_from_the_first_gathering_to_the_archive() {
    let folder = tempfile::tempdir().unwrap();
    let camp = Camp { folder: folder.path(), clock: EVENING.into() };
    std::fs::write(folder.path().join("poppies.key"), KEY).unwrap();

    // before anything: kind words about what is missing
    assert!(
        camp.fails(&["notebook", "list"]).contains("cannot be read")
            || camp.fails(&["notebook", "list"]).contains("no notebook")
    );
    let said = camp.well(&[
        "notebook",
        "begin",
        "--collector",
        "A. K. Ashdown",
        "--called",
        "Oren valley reference collection",
        "--country",
        "Orenia",
        "--institution",
        "OREN",
    ]);
    assert!(!said.contains("one plant in twenty"), "that is said where a gathering is begun");

    // at the roadside: questions, most of them left out
    let said = camp.asked(
        &["notebook", "gather", "--ask"],
        "\n\nupper Oren valley, terrace below the spring\n33.50, 36.20\n30 m\n640 m\n\n\n\nbrick red\n\nmilky\nflowering\n200\n\n\nsheet; 2 seed packets\nThe flask leaked.\n",
    );
    assert!(said.contains("Recorded: A. K. Ashdown 1"), "{said}");
    assert!(said.contains("one plant in twenty"), "restraint is spoken of");
    let said = camp.well(&[
        "notebook",
        "gather",
        "--place",
        "ridge",
        "--stage",
        "flowering",
        "--plants",
        "12",
        "--set",
        "fresh scent=none",
    ]);
    assert!(said.contains("A. K. Ashdown 2") && said.contains("none is to be taken"), "{said}");
    assert!(!said.contains("no more than one plant"), "but only once a day");
    let why = camp.fails(&["notebook", "gather", "1"]);
    assert!(why.contains("is there already"), "{why}");
    let why = camp.fails(&["notebook", "gather", "--coordinates", "over there"]);
    assert!(why.contains("no pair of coordinates"), "{why}");

    // what is seen; and before leaving the site
    camp.well(&[
        "notebook",
        "see",
        "1",
        "Petals red",
        "--condition",
        "fresh",
        "--key",
        "poppies.key",
    ]);
    let work = camp.finds(&["notebook", "leaving", "poppies.key"]);
    assert!(work.contains("fruit: capsule"), "{work}");
    assert!(work.contains("2 of 2 gatherings of that day not settled"), "{work}");

    // at camp: the session begins with what is known and appends what comes
    let said = camp.asked(&["determine", "poppies.key", "--specimen", "1"], "a\na\nquit\n");
    assert!(said.contains("2 observations known from the notebook"), "{said}");
    assert!(said.contains("Recorded: A. K. Ashdown 1, Papaver rhoeas L."), "{said}");
    let page = camp.well(&["notebook", "show", "1"]);
    for words in [
        "Papaver rhoeas L. (holds now): det. A. K. Ashdown, 2 May 2026",
        "Key to the poppies of the terraces, issue 1, 2026-01-01",
        "route: 1a, 2a",
        "Capsule as long as wide (lead 2a)",
        "fresh sap: milky",
        "2 × seed packet",
        "The flask leaked.",
    ] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    // a name by the key's reckoning, without a session
    camp.well(&[
        "notebook",
        "see",
        "2",
        "Petals orange; sap milky",
        "--condition",
        "fresh",
        "--key",
        "poppies.key",
    ]);
    let said = camp.well(&["notebook", "name", "2", "--key", "poppies.key"]);
    assert!(said.contains("Papaver sp. - short list"), "an honest short list: {said}");

    // weeks later: a specialist confirms, another changes, a slip is corrected
    camp.clock.set(EVENING + 180 * 86_400);
    camp.well(&["notebook", "confirm", "1", "--by", "M. Holt"]);
    camp.well(&[
        "notebook",
        "name",
        "2",
        "Papaver cf. dubium L.",
        "--by",
        "T. Oren",
        "--remarks",
        "anthers not seen",
    ]);
    camp.well(&["notebook", "correct", "2", "--set", "place=upper ridge"]);
    let why = camp.fails(&["notebook", "correct", "2", "--set", "date=someday"]);
    assert!(why.contains("no date"), "{why}");
    camp.well(&["notebook", "part", "2", "wood block", "--store", "box 4", "--status", "missing"]);
    let list = camp.well(&["notebook", "list", "--state", "doubtful"]);
    assert!(
        list.contains("Papaver cf. dubium L.")
            && list.contains("upper ridge")
            && list.contains("1 of 2"),
        "{list}"
    );
    let list = camp.well(&["notebook", "list", "--place", "spring"]);
    assert!(list.contains("Papaver rhoeas L. (conf.)"), "{list}");

    // a new issue of the key: what does it touch?
    let new = KEY.replace("issue  1, 2026-01-01", "issue  2, 2026-10-01").replace(
        "2a  Capsule as long as wide ......... Papaver rhoeas",
        "2a  Capsule as long as wide ......... Papaver argemone",
    );
    std::fs::write(folder.path().join("new.key"), new).unwrap();
    let work = camp.finds(&["notebook", "again", "new.key"]);
    assert!(work.contains("changed at 2a: now Papaver argemone"), "{work}");
    assert!(work.contains("1 named with an older issue: 0 the same, 1 to look at"), "{work}");

    // the collection
    let held = camp.finds(&["notebook", "collection", "--key", "poppies.key"]);
    assert!(held.contains("missing: A. K. Ashdown 2 wood block, was in box 4"), "{held}");
    assert!(held.lines().any(|l| l.starts_with("Papaver rhoeas L.") && l.split_whitespace().nth(3) == Some("1")), "{held}");
    std::fs::write(folder.path().join("list.txt"), "Papaver rhoeas L.\nPapaver dubium Mill.\n")
        .unwrap();
    let names = camp.finds(&["notebook", "names", "--list", "list.txt"]);
    assert!(names.contains("other authors: Papaver dubium Mill."), "{names}");
    camp.well(&["notebook", "gather", "5", "--date", "2026-05-03"]);
    let numbers = camp.finds(&["notebook", "numbers"]);
    assert!(
        numbers.contains("next:    6") && numbers.contains("missing: 3-4 (2 numbers)"),
        "{numbers}"
    );

    // paper and exchange
    let said = camp.well(&["label", "1-5", "--output", "labels.html", "--roman", "--code"]);
    assert!(said.contains("6 labels for 3 specimens"), "{said}");
    let html = std::fs::read_to_string(folder.path().join("labels.html")).unwrap();
    assert!(html.contains("2.V.2026") && html.contains("conf. M. Holt, 29.X.2026"));
    camp.well(&["label", "1", "--layout", "slip", "--output", "-"]);
    let said = camp.well(&[
        "notebook",
        "export",
        "--archive",
        "season.zip",
        "--csv",
        "season.csv",
        "--records",
        "all.yaml",
    ]);
    assert!(said.contains("3 specimens, 4 determinations"), "{said}");
    let csv = std::fs::read_to_string(folder.path().join("season.csv")).unwrap();
    assert!(csv.contains("cf. dubium") && csv.contains("Papaver dubium L."));

    // without a browser it says what it looked for
    let out = Command::new(env!("CARGO_BIN_EXE_hilum"))
        .args(["label", "1", "--pdf", "labels.pdf"])
        .current_dir(folder.path())
        .env("HILUM_NOTEBOOK", folder.path().join("oren"))
        .env("PATH", "")
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("looked for chromium"), "{}", text(&out.stderr));

    // another's notebook takes all of it in, once
    camp.well(&["notebook", "--in", "other", "begin", "--collector", "M. Holt"]);
    let said = camp.well(&["notebook", "--in", "other", "merge", "all.yaml"]);
    assert!(said.ends_with("taken in; there already: 0\n"), "{said}");
    let said = camp.well(&["notebook", "--in", "other", "merge", "oren"]);
    assert!(said.starts_with("0 records taken in"), "{said}");
    let state = |place: &str, number: &str| {
        let json = camp.well(&["notebook", "--in", place, "--json", "show", number]);
        serde_json::from_str::<serde_json::Value>(&json).unwrap()
    };
    for number in ["Ashdown 1", "Ashdown 2", "Ashdown 5"] {
        assert_eq!(state("oren", number), state("other", number));
    }
    assert!(camp.well(&["notebook", "check"]).ends_with("0 to look at\n"));

    // a table of an older field book
    std::fs::write(
        folder.path().join("old.csv"),
        "Nr,Date,Locality,Det\n901,1999-05,lower field,Rosa sp.\nx,1999,y,\n",
    )
    .unwrap();
    assert!(camp.finds(&["notebook", "import", "old.csv"]).contains("number: Nr"));
    let said = camp.finds(&["notebook", "import", "old.csv"]);
    assert!(said.contains("old.csv:3: not taken in") && said.contains("2 records new"), "{said}");
    assert!(
        camp.finds(&["notebook", "import", "old.csv"]).contains("0 records new, 2 there already")
    );
    assert!(camp.well(&["notebook", "show", "901"]).contains("lower field"));
}

#[test]
fn what_is_written_wrong_is_refused_and_what_was_seen_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("poppies.key"), KEY).unwrap();
    let camp = Camp { folder: folder.path(), clock: EVENING.into() };
    camp.well(&["notebook", "begin", "--collector", "A. K. Ashdown"]);

    // a field that a gathering does not have
    let why = camp.fails(&["notebook", "gather", "--set", "plase=the lower field"]);
    assert!(why.contains("no field \"plase\"; did you mean \"place\"?"), "{why}");
    let said = camp.well(&["--json", "notebook", "gather", "--set", "fresh scent=of honey"]);
    // A line of caution stands before the answer, on the other stream.
    let json: serde_json::Value =
        serde_json::from_str(&said[..=said.rfind('}').unwrap()]).expect("JSON");
    assert_eq!(json["recorded"].as_array().unwrap().len(), 1, "{said}");
    let why = camp.fails(&["notebook", "correct", "1", "--set", "plase=the lower field"]);
    assert!(why.contains("did you mean \"place\"?") && !why.contains("until then"), "{why}");
    let why = camp.fails(&["notebook", "correct", "1", "--set", "date=yesterday"]);
    assert!(why.contains("nothing was recorded"), "{why}");
    let said = camp.well(&["--json", "notebook", "note", "1", "under the old wall"]);
    let json: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    assert_eq!((json["format"].as_u64(), json["recorded"].as_array().unwrap().len()), (Some(1), 1));

    // left in the middle: what was seen is kept, a lead of the open route too, each in the
    // condition in which it was looked at
    let out = camp.run(
        &["determine", "poppies.key", "--specimen", "1", "--condition", "fresh"],
        "sap milky\na\npressed\nquit\n",
    );
    let said = text(&out.stdout);
    assert!(said.contains("what was seen") && said.contains("notebook name 1"), "{said}");
    let page = camp.well(&["notebook", "show", "1"]);
    let seen = |state: &str| {
        let at = page.find(&format!("{state}, ")).map(|i| &page[i..]).unwrap_or("");
        at.lines().next().unwrap_or("").to_string()
    };
    assert!(seen("fresh").contains("sap milky") && seen("fresh").contains("Petals red"), "{page}");
    assert!(!page.contains("Papaver"), "no name was given: {page}");

    // ended with what the observations say: the name is recorded with its ranking
    let out = camp.run(
        &["determine", "poppies.key", "--specimen", "1", "--condition", "fresh"],
        "capsule as long as wide\nfinish\nquit\n",
    );
    let said = text(&out.stdout);
    assert!(said.contains("Recorded: A. K. Ashdown 1, Papaver"), "{said}");
    let page = camp.well(&["notebook", "show", "1"]);
    assert!(page.contains("Papaver") && page.contains("(holds now)"), "{page}");

    // asked on after `finish`, the session is open again and no name is recorded
    camp.well(&["notebook", "gather", "--place", "ridge"]);
    let out = camp.run(
        &["determine", "poppies.key", "--specimen", "2", "--condition", "fresh"],
        "petals orange\nfinish\nsap milky\nquit\n",
    );
    assert!(text(&out.stdout).contains("no name from this session"), "{}", text(&out.stdout));
}
