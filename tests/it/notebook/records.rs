//! Records as documents: what is written is read the same, what is unknown is kept.

use hilum::notebook::fault::Fault;
use hilum::notebook::record::{Body, Kind, Record, Subject};
use hilum::notebook::stream::chunks;
use hilum::notebook::value::{Fields, Value};
use hilum::notebook::yaml;
use proptest::prelude::*;

/// Reads every document of a text.
pub fn read_all(text: &str) -> (Vec<Record>, Vec<Fault>) {
    let mut records = Vec::new();
    let mut faults = Vec::new();
    for chunk in chunks(text.as_bytes(), 1) {
        let text = std::str::from_utf8(chunk.bytes).unwrap();
        match yaml::read(text) {
            Ok(Some(fields)) => {
                records.extend(Record::read(fields, "ledger.yaml", chunk.line, &mut faults));
            }
            Ok(None) => {}
            Err(e) => panic!("line {}: {}", chunk.line + e.line - 1, e.what),
        }
    }
    (records, faults)
}

const SEASON: &str = r#"# Written by hand on the bus.
gathering: 1042
collector: A. K. Ashdown
date: 2026-05-02
with: [M. Holt, T. Oren]
place: "upper Oren valley, 2 km north of Tell Sura: terrace below the spring"
coordinates: 33.50, 36.20
datum: EPSG:4326
uncertainty: 30 m
altitude: 640-660 m
fresh:
  petals: brick red, a black spot at the base
  sap: milky
moon: waxing
---
part: 1042
collector: A. K. Ashdown
what: seed packet
count: 2
individuals: 25
ripe: yes
---
observation: 1042
collector: A. K. Ashdown
condition: fresh
seen:
  - Petals red
  - says: Stamens numerous
    remark: more than 40
---
determination: 1042
collector: A. K. Ashdown
name: Papaver cf. rhoeas L.
by: A. K. Ashdown
date: 2026-05-02
key:
  title: Key to weeds of the barley terraces
  issue: 3, 2026-05-02
route: [1a, 2b]
---
note: 1042
collector: A. K. Ashdown
text: |-
  The flask leaked.
  Two seeds lost.
"#;

#[test]
fn a_hand_written_ledger_is_read_whole() {
    let (records, faults) = read_all(SEASON);
    assert_eq!(faults, []);
    let kinds: Vec<Kind> = records.iter().map(Record::kind).collect();
    assert_eq!(
        kinds,
        [Kind::Gathering, Kind::Part, Kind::Observation, Kind::Determination, Kind::Note]
    );
    let Body::Gathering(g) = &records[0].body else { panic!() };
    assert_eq!(g.with, ["M. Holt", "T. Oren"]);
    // to the last digit written
    let c = g.coordinates.as_ref().unwrap();
    assert_eq!((c.latitude.to_string(), c.longitude.to_string()), ("33.50".into(), "36.20".into()));
    assert_eq!(g.fresh["sap"], Value::text("milky"));
    assert_eq!(g.other["moon"], Value::text("waxing"));
    let Body::Note(n) = &records[4].body else { panic!() };
    assert_eq!(n.text, "The flask leaked.\nTwo seeds lost.");
}

#[test]
fn what_is_written_reads_the_same_and_unknown_fields_stay() {
    let (records, _) = read_all(SEASON);
    let text: String = records.iter().map(Record::document).collect();
    let (again, faults) = read_all(&text);
    assert_eq!(faults, []);
    assert_eq!(again, records);
    assert!(text.contains("moon: waxing"));
    assert_eq!(again.iter().map(Record::document).collect::<String>(), text);
}

#[test]
fn messages_name_the_line_and_the_remedy() {
    let (records, faults) = read_all(
        "gathering: 7\ncollector: A. K. Ashdown\ndate: 2/5/2026\n---\n# mind the gap\ngathering: 8\n\
         collector: A. K. Ashdown\ndate: 2026\nuncertainty: 0 m\n---\nplace: somewhere\n",
    );
    let lines: Vec<_> = faults.iter().map(|f| (f.line, f.finding.rule)).collect();
    assert_eq!(lines, [(3, "field-unread"), (9, "field-unread"), (11, "record-without-kind")]);
    assert!(faults.iter().all(|f| !f.finding.remedy.is_empty()));
    assert!(
        faults[0].to_string().starts_with("ledger.yaml:3: error: \"date\": \"2/5/2026\" may be")
    );
    // the second record is used, and what could not be understood stays in it
    assert_eq!(records.len(), 1);
    let Body::Gathering(g) = &records[0].body else { panic!() };
    assert_eq!(g.other["uncertainty"], Value::text("0 m"));
    assert!(records[0].document().contains("uncertainty: 0 m\n"));
}

#[test]
fn an_id_follows_from_what_was_written() {
    let (a, _) = read_all(SEASON);
    let (b, _) = read_all(SEASON);
    assert_eq!(a, b);
    assert_eq!(a[0].id, a[0].own_id());
    assert_eq!(a[0].id.as_str().len(), 12);
    let ids: std::collections::BTreeSet<_> = a.iter().map(|r| r.id.as_str()).collect();
    assert_eq!(ids.len(), a.len());
    assert!(matches!(&a[0].subject, Subject::Specimen(s) if s.to_string() == "A. K. Ashdown 1042"));
}

#[test]
fn what_could_stand_for_gigabytes_is_refused() {
    for (text, word) in [
        ("note: 1\ntext: &a x\n", "anchor"),
        ("note: 1\ntext: *a\n", "YAML"),
        ("note: 1\ntext: !!binary x\n", "tag"),
        ("note: 1\nnote: 2\n", "second time"),
        ("- a\n- b\n", "record"),
        ("note: [[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]\n", "in each other"),
        ("note: 'a\n", "YAML"),
    ] {
        let e = yaml::read(text).expect_err(text);
        assert!(e.what.contains(word), "{text}: {}", e.what);
        assert!(!e.remedy.is_empty());
    }
    assert_eq!(yaml::read("# only words\n").unwrap(), None);
    assert_eq!(yaml::read("---\n...\n").unwrap(), None);
}

/// Lines are counted as an editor counts them, though YAML ends one at a carriage return alone.
#[test]
fn lines_with_lone_carriage_returns_are_counted_as_in_the_file() {
    let (_, faults) = read_all("note: 1\r\rcollector: X\ntext: a\ndate: never\n");
    let lines: Vec<_> = faults.iter().map(|f| (f.line, f.finding.rule)).collect();
    assert_eq!(lines, [(3, "field-unread")]);
    let refusal = yaml::read("note: 1\r\n\r\rtext: [a\n").unwrap_err();
    assert!(refusal.line <= 3, "{refusal:?}");
}

fn value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        "\\PC{0,30}",
        "[-a-z0-9:#'\"\\[\\]{}&*!|>%@`?,. \\n\\t]{0,20}",
        prop::sample::select(vec![
            "null",
            "~",
            "yes",
            "33.50",
            "---",
            "...",
            "- x",
            "a: b",
            "x #y",
            "",
            "<<",
            "=",
            "\u{feff}x",
            "\r"
        ])
        .prop_map(str::to_string),
    ]
    .prop_map(Value::Text);
    leaf.prop_recursive(3, 12, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::List),
            prop::collection::vec(("\\PC{1,8}", inner), 0..4)
                .prop_map(|v| Value::Map(v.into_iter().collect())),
        ]
    })
}

proptest! {
    #[test]
    fn fields_survive_writing(fields in prop::collection::vec(("[a-z:# -]{1,9}", value()), 1..6)) {
        let fields: Fields = fields.into_iter().collect();
        let text = yaml::write(&fields);
        let parts = chunks(text.as_bytes(), 1);
        prop_assert_eq!(parts.len(), 1, "{}", text);
        prop_assert!(parts[0].ended);
        let read = yaml::read(&text);
        prop_assert!(read.is_ok(), "{}\n{:?}", text, read);
        let again: Fields =
            read.unwrap().unwrap().into_iter().map(|(k, f)| (k, f.value)).collect();
        prop_assert_eq!(again, fields, "{}", text);
    }

    #[test]
    fn no_text_panics_the_reader(text in "[-a-z0-9:#'\"\\[\\]{}&*!|>%@`?,. \\n\\t]{0,80}") {
        for chunk in chunks(text.as_bytes(), 1) {
            if let Ok(Some(fields)) = yaml::read(std::str::from_utf8(chunk.bytes).unwrap()) {
                let _ = Record::read(fields, "x", chunk.line, &mut Vec::new());
            }
        }
    }

    #[test]
    fn chunks_lose_no_byte(text in "(---|\\.\\.\\.|a: b|\\n|#x| ){0,40}") {
        let parts = chunks(text.as_bytes(), 1);
        let mut seen = text.as_bytes().to_vec();
        for c in parts.iter().rev() {
            prop_assert_eq!(&text.as_bytes()[c.start..c.end()], c.bytes);
            prop_assert_eq!(c.line, 1 + text[..c.start].matches('\n').count());
            seen.drain(c.start..c.end());
        }
        // what belongs to no document is blank
        prop_assert!(seen.trim_ascii().is_empty());
    }
}
