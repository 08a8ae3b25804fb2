//! The ledger on a real disk: appending, merging, hand edits, numbers.

use std::path::Path;
use std::sync::Arc;

use hilum::notebook::disk::ThisDisk;
use hilum::notebook::ledger::{Ledger, LedgerError};
use hilum::notebook::number::{Citation, Number};
use hilum::notebook::record::{
    Body, Correction, Determination, Gathering, Note, Part, Record, Written,
};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold, typed};
use hilum::notebook::value::Value;
use proptest::prelude::*;

pub const WHO: &str = "A. K. Ashdown";

pub fn at(second: u32) -> Written {
    let (h, m, s) = (6 + second / 3600, second / 60 % 60, second % 60);
    Written::read(&format!("2026-05-02T{h:02}:{m:02}:{s:02}+03:00")).unwrap()
}

pub fn cite(number: u64) -> Citation {
    Citation::new(WHO, Number::plain(number))
}

pub fn gathering(number: u64, second: u32) -> Record {
    let mut g = Gathering::new(hilum::notebook::date::When::read("2026-05-02").unwrap());
    g.place = Some(format!("terrace {number} below the spring"));
    Record::of(cite(number), Some(at(second)), Body::Gathering(g))
}

pub fn named(number: u64, name: &str, date: &str, second: u32) -> Record {
    let mut det = Determination::of(name);
    det.by = vec!["M. Holt".into()];
    det.date = Some(hilum::notebook::date::When::read(date).unwrap());
    Record::of(cite(number), Some(at(second)), Body::Determination(det))
}

pub fn note(number: u64, text: &str, second: u32) -> Record {
    Record::of(cite(number), Some(at(second)), Body::Note(Note::new(text.into())))
}

pub fn begin(folder: &Path) -> Ledger {
    let settings = Settings::new("Oren valley reference collection".into());
    Ledger::begin(folder, Arc::new(ThisDisk), &settings).unwrap()
}

pub fn open(folder: &Path) -> Ledger {
    Ledger::open(folder, Arc::new(ThisDisk)).unwrap()
}

pub fn specimen(ledger: &Ledger, number: u64) -> Specimen {
    let mut faults = Vec::new();
    ledger.catalogue().specimen(&cite(number).key(), &mut faults).unwrap().unwrap()
}

#[test]
fn a_notebook_is_begun_once_and_kept_in_plain_text() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("oren");
    let mut ledger = begin(&path);
    ledger.append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    let text = std::fs::read_to_string(path.join("records/a-k-ashdown-2026.yaml")).unwrap();
    assert_eq!(
        text.lines().filter(|l| !l.starts_with("id:")).collect::<Vec<_>>(),
        [
            "---",
            "gathering: 1",
            "collector: A. K. Ashdown",
            "written: 2026-05-02T06:00:00+03:00",
            "date: 2026-05-02",
            "place: terrace 1 below the spring",
            "..."
        ]
    );
    let again = Ledger::begin(&path, Arc::new(ThisDisk), &Settings::new("x".into()));
    assert!(matches!(again, Err(LedgerError::IsANotebook(_))));
    let none = Ledger::open(folder.path(), Arc::new(ThisDisk));
    assert!(matches!(none, Err(LedgerError::NotANotebook(_))));
}

#[test]
fn later_names_are_added_above_and_corrections_leave_the_record() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    let first = named(7, "Papaver cf. rhoeas L.", "2026-05-02", 1);
    let second = named(7, "Papaver dubium L.", "2026-11-03", 2);
    // an old slip entered late does not become the current name
    let old = named(7, "Papaver sp.", "1990-07", 3);
    let mut conf = Determination::of("Papaver dubium L.");
    conf.confirms = Some(second.id.as_str().into());
    conf.by = vec!["T. Oren".into()];
    conf.date = Some(hilum::notebook::date::When::read("2027-01-09").unwrap());
    let conf = Record::of(cite(7), Some(at(4)), Body::Determination(conf));
    ledger
        .append(&[gathering(7, 0), first.clone(), second.clone(), old, conf], WHO, &at(0))
        .unwrap();
    let s = specimen(&ledger, 7);
    let names: Vec<&str> = s.determinations.iter().map(|d| d.body.name.as_str()).collect();
    assert_eq!(
        names,
        ["Papaver dubium L.", "Papaver dubium L.", "Papaver cf. rhoeas L.", "Papaver sp."]
    );
    let current = s.current().unwrap();
    assert_eq!(current.named.id, second.id);
    assert_eq!(current.latest.body.by, ["T. Oren"]);
    assert_eq!(s.confirmations(current.named).count(), 1);
    assert_eq!(s.determinations[2].body.qualifier.as_deref(), Some("cf. rhoeas"));

    // a correction of the place, a second one that wins, and one withdrawn
    let g = gathering(7, 0);
    let set = |place: &str, second| {
        let mut c = Correction::new();
        c.set.insert("place".into(), Value::text(place));
        c.set.insert("with".into(), typed("M. Holt | T. Oren"));
        Record::correcting(g.id.clone(), Some(at(second)), c)
    };
    let (a, b, wrong) = (set("terrace 8", 10), set("terrace 9", 11), set("nowhere", 12));
    let mut undo = Correction::new();
    undo.withdraw = true;
    let undo = Record::correcting(wrong.id.clone(), Some(at(13)), undo);
    ledger.append(&[b, a, wrong, undo], WHO, &at(0)).unwrap();
    let s = specimen(&ledger, 7);
    assert_eq!(s.gathering().unwrap().place.as_deref(), Some("terrace 9"));
    assert_eq!(s.gathering().unwrap().with, ["M. Holt", "T. Oren"]);
    assert_eq!(s.gatherings[0].corrected_by.len(), 2);
    assert_eq!(s.corrections.len(), 4);
    let line = &ledger.catalogue().summaries().unwrap()[0];
    assert_eq!(line.place.as_deref(), Some("terrace 9"));
    assert_eq!((line.name.as_deref(), line.confirmed), (Some("Papaver dubium L."), true));
    let file =
        std::fs::read_to_string(folder.path().join("records/a-k-ashdown-2026.yaml")).unwrap();
    assert!(file.contains("place: terrace 7 below the spring"), "what was written stays");
    assert_eq!(ledger.faults().unwrap(), []);
}

#[test]
fn the_next_number_the_gaps_and_the_repeats() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    assert_eq!(ledger.catalogue().next_number(WHO, "").unwrap().to_string(), "1");
    let mut records: Vec<Record> =
        [1, 2, 5, 6, 9].iter().map(|n| gathering(*n, *n as u32)).collect();
    records.push(gathering(6, 100));
    let other = |who: &str, number: &str| {
        let g = Gathering::new(hilum::notebook::date::When::read("2026-05-02").unwrap());
        Record::of(Citation::new(who, Number::read(number).unwrap()), None, Body::Gathering(g))
    };
    records.extend([
        other("A.K. Ashdown", "9a"),
        other("M. Holt", "OR-17"),
        other(WHO, "s.n. 2026-05-02"),
        other("M. Holt", "s.n. 1999"),
    ]);
    ledger.append(&records, WHO, &at(0)).unwrap();
    let catalogue = ledger.catalogue();
    let series = catalogue.numbering().unwrap();
    assert_eq!(series.len(), 3, "{series:#?}");
    assert_eq!((series[0].collector.as_str(), series[0].count, series[0].unnumbered), (WHO, 5, 1));
    assert_eq!(series[0].gaps, [(3, 4), (7, 8)]);
    assert_eq!(series[0].missing(), 4);
    assert_eq!(series[0].repeats[0].number.to_string(), "6");
    assert_eq!(series[1].next().to_string(), "OR-18");
    assert_eq!((series[2].prefix.as_str(), series[2].unnumbered), ("", 1));
    assert_eq!(catalogue.next_number("Ashdown, A.K.", "").unwrap().to_string(), "10");
    assert_eq!(catalogue.next_number("T. Oren", "TO ").unwrap().to_string(), "TO 1");
    assert_eq!(catalogue.next_unnumbered(WHO, "2026-05-02").to_string(), "s.n. 2026-05-02 b");
    let faults = ledger.faults().unwrap();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].finding.rule, "number-repeated");
}

#[test]
fn what_is_there_already_is_not_written_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    let records = [gathering(1, 0), note(1, "x", 1)];
    assert_eq!(ledger.append(&records, WHO, &at(0)).unwrap().ids.len(), 2);
    let more = [gathering(1, 0), note(1, "x", 1), note(1, "x", 2), note(1, "x", 2)];
    let done = ledger.append(&more, WHO, &at(0)).unwrap();
    assert_eq!((done.ids.len(), done.already), (1, 3));
    assert_eq!(specimen(&ledger, 1).notes.len(), 2);
}

#[test]
fn a_hand_edit_is_seen_though_the_index_knew_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    ledger.append(&[gathering(1, 0), note(1, "the flask leaked", 1)], WHO, &at(0)).unwrap();
    drop(ledger);
    let path = folder.path().join("records/a-k-ashdown-2026.yaml");
    let text = std::fs::read_to_string(&path).unwrap();
    // same length, in the middle
    std::fs::write(&path, text.replace("terrace 1", "terrace 2")).unwrap();
    let ledger = open(folder.path());
    assert_eq!(
        specimen(&ledger, 1).gathering().unwrap().place.as_deref(),
        Some("terrace 2 below the spring")
    );
    let place = ledger.catalogue().summaries().unwrap()[0].place.clone();
    assert_eq!(place.as_deref(), Some("terrace 2 below the spring"));
    drop(ledger);
    std::fs::write(&path, text.replace("date: 2026-05-02", "date: someday") + "---\nnote: 1\n")
        .unwrap();
    let ledger = open(folder.path());
    let faults = ledger.faults().unwrap();
    let lines: Vec<_> = faults.iter().map(|f| (f.file.as_str(), f.line, f.finding.rule)).collect();
    let file = "records/a-k-ashdown-2026.yaml";
    assert_eq!(
        lines,
        [(file, 6, "field-unread"), (file, 10, "no-gathering"), (file, 16, "half-written")]
    );
    drop(ledger);
    // and again from the stored index
    assert_eq!(open(folder.path()).faults().unwrap(), faults);
    // deleting the index changes nothing
    std::fs::remove_file(folder.path().join("here/index")).unwrap();
    assert_eq!(open(folder.path()).faults().unwrap(), faults);
}

#[test]
fn a_half_written_tail_is_set_aside_and_kept() {
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    ledger.append(&[gathering(1, 0), note(1, "first", 1)], WHO, &at(0)).unwrap();
    drop(ledger);
    let path = folder.path().join("records/a-k-ashdown-2026.yaml");
    let whole = std::fs::read_to_string(&path).unwrap();
    let next = note(1, "second: never\nacknowledged", 2).document();
    let mut counted = 0;
    for cut in 1..next.len() {
        std::fs::write(&path, format!("{whole}{}", &next[..cut])).unwrap();
        let mut ledger = open(folder.path());
        let s = specimen(&ledger, 1);
        // Cut only before the end mark's newline the record is whole: its id fits its text.
        let is_whole = ["acknowledged", "acknowledged\n", "\n..."]
            .iter()
            .any(|end| next[..cut].ends_with(end));
        assert_eq!(s.notes.len(), if is_whole { 2 } else { 1 }, "{cut}: {:?}", &next[..cut]);
        let torn = ledger.faults().unwrap();
        ledger.append(&[note(1, "third", 3)], WHO, &at(0)).unwrap();
        assert_eq!(specimen(&ledger, 1).notes.len(), s.notes.len() + 1);
        drop(ledger);
        assert!(std::fs::read_to_string(&path).unwrap().starts_with(&whole));
        if !is_whole && &next[..cut] != "---\n" && &next[..cut] != "---" {
            counted += 1;
            assert!(torn.iter().any(|f| f.finding.rule == "half-written"), "{cut}");
            let kept = std::fs::read_dir(folder.path().join("aside"))
                .unwrap()
                .any(|f| std::fs::read_to_string(f.unwrap().path()).unwrap() == next[..cut]);
            assert!(kept, "{cut}");
        }
        let _ = std::fs::remove_dir_all(folder.path().join("aside"));
    }
    assert!(counted > 100);
}

#[test]
fn an_unfinished_merge_is_named() {
    let folder = tempfile::tempdir().unwrap();
    drop(begin(folder.path()));
    std::fs::write(
        folder.path().join("records/holt.yaml"),
        "---\ngathering: 1\ncollector: M. Holt\ndate: 2026\n...\n<<<<<<< HEAD\n---\nnote: 1\n=======\n",
    )
    .unwrap();
    let ledger = open(folder.path());
    let faults = ledger.faults().unwrap();
    assert!(
        faults.iter().any(|f| f.finding.rule == "merge-unfinished" && f.line == 6),
        "{faults:#?}"
    );
    assert_eq!(ledger.catalogue().len(), 1);
}

#[test]
fn a_folder_that_may_only_be_read_is_read() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    ledger.append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    drop(ledger);
    let _ = std::fs::remove_dir_all(folder.path().join("here"));
    // The superuser may write everywhere, so a file stands where the folder would be made.
    std::fs::write(folder.path().join("here"), "").unwrap();
    for dir in ["", "records"] {
        let mut p = std::fs::metadata(folder.path().join(dir)).unwrap().permissions();
        p.set_mode(0o555);
        std::fs::set_permissions(folder.path().join(dir), p).unwrap();
    }
    let mut ledger = open(folder.path());
    assert_eq!(specimen(&ledger, 1).gatherings.len(), 1);
    let e = ledger.append(&[note(1, "x", 5)], WHO, &at(0)).unwrap_err();
    assert!(matches!(e, LedgerError::Write { .. }), "{e}");
    assert!(e.to_string().starts_with("nothing was recorded"));
    drop(ledger);
    for dir in ["", "records"] {
        let mut p = std::fs::metadata(folder.path().join(dir)).unwrap().permissions();
        p.set_mode(0o755);
        std::fs::set_permissions(folder.path().join(dir), p).unwrap();
    }
    assert_eq!(specimen(&open(folder.path()), 1).notes.len(), 0);
}

/// Records of a few specimens with corrections among them.
pub fn records() -> impl Strategy<Value = Vec<Record>> {
    let one = (1..4_u64, 0..6_u8, 0..40_u32, 0..3_u8);
    prop::collection::vec(one, 1..14).prop_map(|rows| {
        let mut out: Vec<Record> = Vec::new();
        for (number, kind, second, variant) in rows {
            let target = out.get(second as usize % out.len().max(1)).map(|r| r.id.clone());
            out.push(match (kind, target) {
                (0, _) => gathering(number, second),
                (1, _) => named(
                    number,
                    ["Papaver sp.", "Rosa L.", "?"][variant as usize],
                    "2026-05-02",
                    second,
                ),
                (2, _) => {
                    let mut part = Part::new("sheet".into());
                    part.count = Some(variant.into());
                    Record::of(cite(number), Some(at(second)), Body::Part(part))
                }
                (3, Some(target)) => {
                    let mut c = Correction::new();
                    c.withdraw = true;
                    Record::correcting(target, Some(at(second)), c)
                }
                (4, Some(target)) => {
                    let mut c = Correction::new();
                    c.set.insert("place".into(), Value::text(format!("place {variant}")));
                    c.set.insert("name".into(), Value::text(format!("Rosa {variant}")));
                    Record::correcting(target, Some(at(second)), c)
                }
                _ => note(number, ["a", "b", "c"][variant as usize], second),
            });
        }
        out
    })
}

fn state(folder: &Path) -> String {
    state_of(&open(folder))
}

/// Every specimen's page and line.
pub fn state_of(ledger: &Ledger) -> String {
    let catalogue = ledger.catalogue();
    let mut out = Vec::new();
    for key in catalogue.keys() {
        out.extend(catalogue.specimen(key, &mut Vec::new()).unwrap());
    }
    let lines = catalogue.summaries().unwrap();
    serde_json::to_string_pretty(&(out, lines)).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Two people's ledgers, merged in any order and cut in any way, give the same state, from the
    /// files and from the index.
    #[test]
    fn any_order_of_merge_gives_the_same_state(
        records in records(),
        cuts in prop::collection::vec(0..3_usize, 14),
        order in prop::collection::vec(any::<u32>(), 14),
    ) {
        let a = tempfile::tempdir().unwrap();
        let mut ledger = begin(a.path());
        ledger.append(&records, WHO, &at(0)).unwrap();
        drop(ledger);

        let mut shuffled: Vec<(u32, usize, &Record)> =
            records.iter().enumerate().map(|(i, r)| (order[i], cuts[i], r)).collect();
        shuffled.sort_by_key(|s| s.0);
        let b = tempfile::tempdir().unwrap();
        let mut ledger = begin(b.path());
        for (i, (_, hand, record)) in shuffled.iter().enumerate() {
            let hand = ["ashdown", "holt", "oren"][*hand];
            ledger.append(&[(*record).clone()], hand, &at(0)).unwrap();
            if i % 3 == 0 {
                drop(ledger);
                ledger = open(b.path());
            }
        }
        drop(ledger);
        let whole = state(a.path());
        prop_assert_eq!(&state(b.path()), &whole);
        // one merged into the other: files side by side, every record there twice
        for file in std::fs::read_dir(b.path().join("records")).unwrap() {
            let file = file.unwrap();
            let name = format!("other-{}", file.file_name().to_string_lossy());
            std::fs::copy(file.path(), a.path().join("records").join(name)).unwrap();
        }
        prop_assert_eq!(&state(a.path()), &whole);
    }

    /// The line in the list says of every specimen what its page says.
    #[test]
    fn the_list_agrees_with_the_page(records in records()) {
        let a = tempfile::tempdir().unwrap();
        let mut ledger = begin(a.path());
        ledger.append(&records, WHO, &at(0)).unwrap();
        let catalogue = ledger.catalogue();
        for line in catalogue.summaries().unwrap() {
            let s = catalogue.specimen(&line.citation.key(), &mut Vec::new()).unwrap().unwrap();
            prop_assert_eq!(line.place.as_ref(), s.gathering().and_then(|g| g.place.as_ref()));
            prop_assert_eq!(line.name.as_ref(), s.current().map(|c| &c.named.body.name));
            prop_assert_eq!(line.determinations, s.determinations.len());
            prop_assert_eq!(line.parts.len(), s.parts.len());
            prop_assert_eq!(line.notes, s.notes.len());
        }
    }
}

#[test]
fn a_ring_of_corrections_ends() {
    let text = "correction: aaaa\nid: bbbb\nwithdraw: yes\n---\ncorrection: bbbb\nid: aaaa\nwithdraw: yes\n---\n\
                determination: 1\ncollector: X\nname: A\nid: cccc\nconfirms: dddd\n---\n\
                determination: 1\ncollector: X\nname: B\nid: dddd\nconfirms: cccc\n";
    let (records, faults) = super::records::read_all(text);
    assert_eq!(faults, []);
    let placed = records
        .into_iter()
        .map(|record| hilum::notebook::record::Placed { record, file: "x".into(), line: 1 })
        .collect();
    let specimens = fold(placed, &mut Vec::new());
    assert!(specimens[0].current().is_some());
}
