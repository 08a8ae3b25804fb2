//! Manuscripts become keys: printed books with known counts, and small ones written for the
//! purpose, one for each layout and trap.

use std::path::Path;

use hilum::craft::adopt::input::Reading;
use hilum::craft::adopt::{Adopted, Kind, Options, Refusal, adopt};
use hilum::key::{Key, Outcome};
use hilum::text::finding::Severity;
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::tidy::{TidyOptions, tidy};

use crate::support::{checkout, shared};

fn adopted(path: &Path, options: &Options) -> Result<Adopted, Refusal> {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    adopt(&name, &std::fs::read(path).unwrap(), options)
}

/// A printed manuscript, where it is at hand.
fn printed(name: &str) -> Option<Adopted> {
    let path = shared(&format!("manuscripts/{name}.txt"))?;
    Some(adopted(&path, &Options::default()).unwrap_or_else(|e| panic!("{name}: {e}")))
}

fn key_of(adopted: &Adopted) -> Key {
    Key::read(Source::new("adopted", adopted.key_text.as_str()))
}

/// What is written is as the tidy writer leaves it.
fn is_tidy(name: &str, text: &str) {
    let again = tidy(&parse(Source::new(name, text)), &TidyOptions::default());
    assert_eq!(again, text, "{name} is not tidy");
}

/// Faults that are no mere notes: line, rule.
fn faults(adopted: &Adopted) -> Vec<(u32, &str)> {
    let open = adopted.report.faults.iter().filter(|f| f.severity > Severity::Note);
    open.map(|f| (f.line, f.rule.as_str())).collect()
}

/// What a manuscript is known to hold.
struct Known {
    layout: &'static str,
    keys: usize,
    couplets: usize,
    leads: usize,
    endpoints: usize,
    names: usize,
    depth: usize,
    polytomies: usize,
    faults: &'static [(u32, &'static str)],
}

fn holds(name: &str, known: &Known) {
    let Some(found) = printed(name) else { return };
    is_tidy(name, &found.key_text);
    let c = found.report.counts;
    assert_eq!(found.report.layout.name, known.layout, "{name}");
    assert_eq!(
        (c.keys, c.couplets, c.leads, c.endpoints, c.names, c.depth, c.polytomies),
        (
            known.keys,
            known.couplets,
            known.leads,
            known.endpoints,
            known.names,
            known.depth,
            known.polytomies
        ),
        "{name}: keys, couplets, leads, endpoints, names, depth, polytomies"
    );
    assert_eq!(faults(&found), known.faults, "{name}");
    assert_eq!(found.report.words.unaccounted, 0, "{name}");
    assert_eq!(found.report.questions, [], "{name}");
}

macro_rules! printed_keys {
    ($($name:ident($file:literal): $known:expr;)*) => {
        $(#[test] fn $name() { holds($file, &$known); })*
    };
}

printed_keys! {
    the_beeches_are_clean("gleason1918_fagaceae"): Known {
        layout: "number-letter", keys: 1, couplets: 13, leads: 27, endpoints: 15, names: 15, depth: 6, polytomies: 1, faults: &[],
    };
    the_willows_are_clean("gleason1918_salicaceae"): Known {
        layout: "number-letter", keys: 1, couplets: 19, leads: 45, endpoints: 27, names: 26, depth: 6, polytomies: 5, faults: &[],
    };
    the_lilies_lack_a_name("gleason1918_liliaceae"): Known {
        layout: "number-letter", keys: 1, couplets: 49, leads: 99, endpoints: 47, names: 48, depth: 12, polytomies: 1,
        faults: &[(260, "several-names"), (262, "lead-without-outcome")],
    };
    the_rushes_end_in_a_statement("gleason1918_juncaceae"): Known {
        layout: "number-letter", keys: 1, couplets: 3, leads: 6, endpoints: 3, names: 3, depth: 3, polytomies: 0,
        faults: &[(29, "couplet-with-one-lead")],
    };
    trees_by_doubled_letters_flush("otis1915_summer_genera"): Known {
        layout: "doubled-letters", keys: 1, couplets: 52, leads: 104, endpoints: 53, names: 42, depth: 14, polytomies: 0, faults: &[],
    };
    trees_by_doubled_letters_indented("otis1915_summer_genera_indented"): Known {
        layout: "doubled-letters", keys: 1, couplets: 52, leads: 104, endpoints: 53, names: 42, depth: 14, polytomies: 0, faults: &[],
    };
    a_german_key_with_a_wrong_back_reference("schmeil1922_veronica_de"): Known {
        layout: "number-dash", keys: 1, couplets: 29, leads: 58, endpoints: 30, names: 30, depth: 7, polytomies: 0,
        faults: &[(84, "back-reference-disagrees")],
    };
    four_keys_one_without_a_number("thonner1915_conifers_cycads_small"): Known {
        layout: "number-first", keys: 4, couplets: 10, leads: 20, endpoints: 14, names: 14, depth: 3, polytomies: 0, faults: &[],
    };
    first_couplets_without_a_number("atkinson1901_agarics"): Known {
        layout: "number-first", keys: 6, couplets: 55, leads: 115, endpoints: 66, names: 66, depth: 9, polytomies: 6,
        faults: &[(65, "couplet-with-one-lead")],
    };
    small_keys_within_prose("shaw1914_pinus_small_indented"): Known {
        layout: "indented", keys: 11, couplets: 30, leads: 56, endpoints: 37, names: 37, depth: 6, polytomies: 1,
        // What the extract cuts off, and headings of one lead in the print.
        faults: &[
            (152, "couplet-with-one-lead"),
            (239, "couplet-with-one-lead"),
            (240, "couplet-with-one-lead"),
            (241, "couplet-with-one-lead"),
            (279, "couplet-with-one-lead"),
        ],
    };
    letters_with_notes_between("riley1915_fly_larvae"): Known {
        layout: "doubled-letters", keys: 1, couplets: 7, leads: 13, endpoints: 7, names: 7, depth: 7, polytomies: 0,
        faults: &[(62, "couplet-with-one-lead")],
    };
}

#[test]
fn the_smallest_indented_key() {
    let Some(path) = shared("manuscripts/sargent1922_cupressus.txt") else { return };
    let options = Options { genus: Some("Cupressus".into()), ..Options::default() };
    let found = adopted(&path, &options).unwrap();
    let c = found.report.counts;
    assert_eq!((c.couplets, c.leads, c.endpoints, c.names, c.depth), (5, 10, 6, 6, 3));
    assert_eq!(faults(&found), []);
    // Where the tidy writer wraps a line is its own affair.
    let words = found.key_text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("cones puberulous, 1′—1½′ in diameter"), "{}", found.key_text);
    // Without the genus the question is put, and the guess from the file's name is not taken.
    let found = adopted(&path, &Options::default()).unwrap();
    assert_eq!(found.report.questions[0].answers, ["Cupressus"]);
    assert!(found.key_text.contains("C. macrocarpa"));
}

#[test]
fn a_synopsis_is_refused_with_the_reason() {
    let Some(path) = shared("manuscripts/ward1901_grasses_vegetative_synoptic.txt") else { return };
    let refusal = adopted(&path, &Options::default()).unwrap_err().to_string();
    assert!(refusal.contains("leads go nowhere"), "{refusal}");
}

/// A key as its graph: each couplet's leads by where they go, names by their first word.
fn graph(key: &Key) -> Vec<Vec<String>> {
    let goes = |outcome: &Outcome| match outcome {
        Outcome::Couplet(c) => format!("-> {}", key.couplet(*c).name()),
        Outcome::Taxa(taxa) => {
            taxa.iter().map(|t| key.taxon(*t).name.clone()).collect::<Vec<_>>().join(" or ")
        }
        other => format!("{other:?}"),
    };
    key.couplets.iter().map(|c| c.leads.iter().map(|l| goes(&l.outcome)).collect()).collect()
}

#[test]
fn flush_and_indented_are_one_key() {
    let (Some(flush), Some(indented)) =
        (printed("otis1915_summer_genera"), printed("otis1915_summer_genera_indented"))
    else {
        return;
    };
    assert_eq!(graph(&key_of(&flush)), graph(&key_of(&indented)));
    for found in [&flush, &indented] {
        assert!(found.report.repairs.iter().any(|r| r.what.contains("`ii;`")), "the slip is told");
    }
}

#[test]
fn each_fault_stands_at_the_manuscripts_own_line() {
    let Some(path) = shared("manuscripts/gleason1918_liliaceae.txt") else { return };
    let text = std::fs::read_to_string(&path).unwrap();
    let found = adopted(&path, &Options::default()).unwrap();
    let line = found.report.faults.iter().find(|f| f.rule == "lead-without-outcome").unwrap().line;
    let there = text.lines().nth(line as usize - 1).unwrap();
    assert!(there.starts_with("47b."), "line {line}: {there}");
}

/// Every small manuscript, its key and its report.
#[test]
fn small_manuscripts_of_every_layout() {
    let folder = checkout("tests/manuscripts");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    for path in files {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let told = match adopted(&path, &Options::default()) {
            Ok(found) => {
                assert_eq!(found.report.words.unaccounted, 0, "{name}");
                is_tidy(&name, &found.key_text);
                let mut out = found.key_text.clone();
                out.push_str(&format!(
                    "\n---- {} {:?}\n",
                    found.report.layout.name, found.report.counts
                ));
                for l in &found.report.left_out {
                    out.push_str(&format!("left out {} ({}): {}\n", l.line, l.why, l.text));
                }
                for r in &found.report.repairs {
                    out.push_str(&format!("{} {}: {}\n", r.kind, r.line, r.what));
                }
                for f in &found.report.faults {
                    out.push_str(&format!(
                        "{} {} {}: {}\n",
                        f.severity.word(),
                        f.line,
                        f.rule,
                        f.what
                    ));
                }
                for q in &found.report.questions {
                    out.push_str(&format!("question {}: {} {:?}\n", q.about, q.what, q.answers));
                }
                out
            }
            Err(refusal) => format!("refused: {refusal}\n"),
        };
        insta::with_settings!({prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("adopt__{}", name.replace('.', "_")), told);
        });
    }
}

#[test]
fn encodings_are_read_by_declaration() {
    let text = "Key\n\n1a. Blätter grün ..... Acer campestre\n1b. Blätter weiß ..... Salix alba\n";
    let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
    let told = adopt("k.txt", &latin, &Options::default()).unwrap_err().to_string();
    assert!(told.contains("line 3 is not UTF-8"), "{told}");
    for encoding in ["latin1", "iso-8859-1", "windows-1252"] {
        let reading = Reading { encoding: Some(encoding.into()), kind: None };
        let found = adopt("k.txt", &latin, &Options { reading, ..Options::default() }).unwrap();
        assert!(found.key_text.contains("Blätter weiß"), "{}", found.key_text);
    }
    // Where the two differ: curly quotes and the dash of Windows.
    let curly: Vec<u8> = b"Key\n\n1a. Leaves 2\x965 cm, \x93green\x94 ..... Acer campestre\n1b. Leaves white ..... Salix alba\n".to_vec();
    let reading = Reading { encoding: Some("windows-1252".into()), kind: None };
    let found = adopt("k.txt", &curly, &Options { reading, ..Options::default() }).unwrap();
    assert!(found.key_text.contains("Leaves 2–5 cm, “green”"), "{}", found.key_text);
    let marked = format!("\u{FEFF}{}", text.replace('\n', "\r\n"));
    let found = adopt("k.txt", marked.as_bytes(), &Options::default()).unwrap();
    assert!(found.key_text.contains("Blätter grün"), "{}", found.key_text);
}

#[test]
fn other_files_are_refused_with_the_remedy() {
    for (bytes, word) in [
        (&b"%PDF-1.7 ..."[..], "PDF"),
        (b"{\\rtf1 ...", "Rich Text"),
        (&[0xD0, 0xCF, 0x11, 0xE0, 1, 2], "old kind"),
        (b"a\0b\0c", "binary"),
        (b"  \n ", "empty"),
        (b"PK\x03\x04 not really", "Word document"),
    ] {
        let told = adopt("file", bytes, &Options::default()).unwrap_err().to_string();
        assert!(told.contains(word), "{told}");
    }
    let large = vec![b' '; (10 << 20) + 1];
    assert!(adopt("file", &large, &Options::default()).unwrap_err().to_string().contains("10 MiB"));
}

/// Every longer word of the small manuscripts is in the key or told as left out, whatever the
/// program's own count says.
#[test]
fn no_word_is_lost() {
    let only = |t: &str| t.chars().filter(|c| c.is_alphabetic()).collect::<String>().to_lowercase();
    for entry in std::fs::read_dir(checkout("tests/manuscripts")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "txt") {
            continue;
        }
        let Ok(found) = adopted(&path, &Options::default()) else { continue };
        let mut kept = only(&found.key_text);
        for left in &found.report.left_out {
            kept.push_str(&only(&left.text));
        }
        let text = std::fs::read_to_string(&path).unwrap();
        for word in text.split(|c: char| !c.is_alphabetic()).filter(|w| w.chars().count() > 3) {
            assert!(kept.contains(&only(word)), "{}: `{word}` is lost", path.display());
        }
    }
}

#[test]
fn a_layout_can_be_named() {
    let text = "Key\n\n1a. Leaves green ..... Acer campestre\n1b. Leaves white ..... Salix alba\n";
    let options = Options { layout: Some("indented".into()), ..Options::default() };
    let found = adopt("k.txt", text.as_bytes(), &options);
    assert!(found.is_err() || found.unwrap().report.layout.asked_for);
    let options = Options { layout: Some("sideways".into()), ..Options::default() };
    let told = adopt("k.txt", text.as_bytes(), &options).unwrap_err().to_string();
    assert!(told.contains("number-letter"), "the layouts are listed: {told}");
    assert_eq!(Kind::of("html"), Some(Kind::Html));
}

#[test]
fn labels_of_one_depth_are_no_part_of_an_indented_lead() {
    let text = "KEY TO THE TREES OF OREN\n\n1. Leaves opposite; leaf stalk 2-5 cm long\n   \
        Leaf blade pinnate ..... Fraxinus excelsior\n   Leaf blade lobed ..... Acer campestre\n\
        2. Leaves alternate; leaf stalk 1-2 cm long\n   Base oblique ..... Ulmus glabra\n   \
        Base equal ..... Quercus robur\n";
    let options = Options { layout: Some("indented".into()), ..Options::default() };
    let found = adopt("oren.txt", text.as_bytes(), &options).unwrap();
    assert!(found.key_text.contains("\n1a  Leaves opposite;"), "{}", found.key_text);
    assert!(found.key_text.contains("\n1b  Leaves alternate;"), "{}", found.key_text);
    assert_eq!(found.report.words.unaccounted, 0);
}

#[test]
fn two_leads_are_not_read_as_one_because_only_the_first_has_a_number() {
    // Depth and labels say different things, and no reading explains it all.
    let text = "Key to the Maples of Oren\n\n\
        1. Leaves lobed\n   \
           Lobes blunt .......................... Acer campestre\n   \
           Lobes pointed\n      \
              Stalk with milky juice ............ Acer platanoides\n      \
              Stalk without milky juice ......... Acer pseudoplatanus\n   \
           Leaves pinnate ....................... Acer negundo\n";
    match adopt("maples.txt", text.as_bytes(), &Options::default()) {
        Err(refusal) => assert!(refusal.to_string().contains("name the layout"), "{refusal}"),
        Ok(found) => {
            assert!(!found.key_text.contains("Leaves lobed Lobes blunt"), "{}", found.key_text);
        }
    }
}

#[test]
fn a_page_number_alone_in_the_middle_is_no_remark() {
    let text = "SCHLÜSSEL ZU DEN AHORNEN\n\n\
        1   Blätter gefiedert ................ Acer negundo\n\
        1'  Blätter gelappt .................. 2\n\n\
        2   Lappen stumpf .................... Acer campestre\n\
        2'  Lappen spitz ..................... 3\n\n\
        \u{20}                       17\n\
        3   Blattstiel mit Milchsaft ......... Acer platanoides\n\
        3'  Blattstiel ohne Milchsaft ........ Acer pseudoplatanus\n";
    let found = adopt("ahorne.txt", text.as_bytes(), &Options::default()).unwrap();
    assert!(!found.key_text.contains("17"), "{}", found.key_text);
    assert!(found.report.left_out.iter().any(|l| l.text == "17" && l.why == "a page number"));
}
