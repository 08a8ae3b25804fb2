//! `check --report`: the page for an editor.

use std::fmt::Write;
use std::path::Path;

use crate::grown;
use crate::support::{Ran, hilum};

/// A key with a fault of many kinds, and text that would break a page that is not careful.
const HOSTILE: &str = "\
Key to <script>alert(1)</script> & \u{202E}weeds
  place     \"here\" <b>and</b> there
  intended  drying-not-said: <i>a reason</i>

characters

petals: Petals _
  states    red, blue, white

key

1a  Petals blu; <img src=x onerror=alert(2)> ........ 2
1b  Petals red or white\u{7} ........................ Papaver rhoeas
1a  Petals white .................................... 7

2a  Petals blue; Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichenfarbenlehrbuchverlagsanstaltsdirektorenstellvertretersgattin . Viola arvensis
2b  Petals red ...................................... Papaver dubium

taxa

Papaver rhoeas L.
  Petals red, rarely white.

Papaver dubium L.
  Petals red or white.
";

fn report(folder: &Path, name: &str, text: &str) -> (Ran, String) {
    std::fs::write(folder.join(name), text).expect("written");
    let ran = hilum(folder, &["check", "--report", "out.html", "--force", name], "");
    (ran, std::fs::read_to_string(folder.join("out.html")).expect("a report"))
}

/// A grown key of 300 couplets with some faults planted.
pub fn faulty_grown() -> String {
    let text = grown::key(300);
    let mut out = String::new();
    for (i, line) in text.lines().enumerate() {
        match i {
            150 => out.push_str(&line.replace("mm long", "cm long")),
            230 => out.push_str(&line.replace(" ..... ", " . ")),
            310 => out.push_str(&line.replacen('a', "b", 1)),
            400 => out.push_str(&line.replacen("7", "8", 1)),
            _ => out.push_str(line),
        }
        out.push('\n');
    }
    out
}

#[test]
fn nothing_in_a_key_becomes_markup() {
    let folder = tempfile::tempdir().expect("a folder");
    let (ran, page) = report(folder.path(), "a.key", HOSTILE);
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(!page.contains("<script") && !page.contains("<img") && !page.contains("<i>a reason"));
    assert!(page.contains("&lt;script&gt;") && page.contains("\\u{202E}"));
    assert!(!page.contains(['\u{202E}', '\u{7}']));
    assert!(!page.contains("http"), "nothing is fetched from elsewhere");
}

#[test]
fn a_report_holds_every_open_error_and_warning_and_what_is_answered() {
    let folder = tempfile::tempdir().expect("a folder");
    let (_, page) = report(folder.path(), "a.key", HOSTILE);
    let ran = hilum(folder.path(), &["check", "--json", "a.key"], "");
    let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let findings = json["files"][0]["findings"].as_array().expect("findings");
    let open = findings.iter().filter(|f| f["intended"].is_null() && f["severity"] != "note");
    assert_eq!(page.matches("<article").count(), open.count());
    let answered = findings.iter().filter(|f| !f["intended"].is_null()).count();
    assert!(answered > 0);
    assert_eq!(page.matches("&lt;i&gt;a reason&lt;/i&gt;").count(), answered);
    // Errors come before warnings.
    let last_error = page.rfind("finding error").expect("an error");
    assert!(page.find("finding warning").is_none_or(|w| w > last_error));
    for heading in ["To mend", "Where the plants", "How good the key is", "Answered in the text"] {
        assert!(page.contains(heading), "{heading}");
    }
}

#[test]
fn the_same_key_gives_the_same_page() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(
        report(folder.path(), "a.key", HOSTILE).1,
        report(folder.path(), "a.key", HOSTILE).1
    );
}

#[test]
fn only_a_report_is_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    std::fs::write(at("a.key"), HOSTILE).expect("written");
    std::fs::write(at("mine.html"), "<html>my own page</html>").expect("written");
    let ran = hilum(folder.path(), &["check", "--report", "mine.html", "a.key"], "");
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("--force"), "{}", ran.err);
    assert_eq!(
        std::fs::read_to_string(at("mine.html")).expect("there"),
        "<html>my own page</html>"
    );
    // A key is not lost by a slip of the command line.
    assert_eq!(hilum(folder.path(), &["check", "--report", "a.key", "a.key"], "").status, 2);
    let force = ["check", "--report", "mine.html", "--force", "a.key"];
    assert_eq!(hilum(folder.path(), &force, "").status, 1);
    let again = hilum(folder.path(), &["check", "--report", "mine.html", "a.key"], "");
    assert_eq!(again.status, 1, "{}", again.err);
    assert!(again.out.contains("mine.html"));
}

#[test]
fn the_square_is_drawn_for_hundreds_of_taxa() {
    let folder = tempfile::tempdir().expect("a folder");
    let (_, page) = report(folder.path(), "grown.key", &faulty_grown());
    assert!(page.contains("<figure>") && page.contains("role=\"img\""));
    assert!(page.len() < 600_000, "{} bytes", page.len());
}

/// Writes pages for `tests/outside/report.sh`, which shows them to a browser.
#[test]
fn what_the_browser_is_shown() {
    let Some(folder) = std::env::var_os("HILUM_OUTSIDE").map(std::path::PathBuf::from) else {
        return;
    };
    let grown = faulty_grown();
    let mut crowded = String::from(HOSTILE);
    for i in 3..60 {
        let _ = write!(crowded, "\n{i}a  Petals rde ..... {}\n{i}a  Petals red . 99\n", i + 1);
    }
    for (name, text) in [
        ("field-weeds", include_str!("../../keys/field-weeds.key")),
        ("hostile", HOSTILE),
        ("crowded", crowded.as_str()),
        ("grown", grown.as_str()),
    ] {
        let (_, page) = report(&folder, &format!("{name}.key"), text);
        std::fs::write(folder.join(format!("report-{name}.html")), page).expect("written");
    }
}
