//! A slip of the pen in a ledger edited by hand: the line, and the field that was meant.

use hilum::notebook::record::{Kind, Record};
use hilum::text::finding::Severity;

use super::ledger::{begin, open};
use super::records::read_all;

#[test]
fn a_misspelt_field_is_told_with_its_line_and_the_nearest() {
    let (records, faults) = read_all(
        "gathering: 1\ncollector: A. K. Ashdown\ndate: 2026\ncordinates: 33.5, 36.2\nmoon: full\n\
         Habitat: fallow\n---\npart: 1\ncollector: A. K. Ashdown\nwhat: sheet\nsent_to: Oren\n",
    );
    let told: Vec<_> = faults.iter().map(|f| (f.line, f.finding.what.as_str())).collect();
    assert_eq!(
        told,
        [
            (4, "there is no field \"cordinates\"; did you mean \"coordinates\"?"),
            (6, "there is no field \"Habitat\"; did you mean \"habitat\"?"),
            (11, "there is no field \"sent_to\"; did you mean \"sent to\"?"),
        ]
    );
    assert!(faults.iter().all(|f| f.finding.severity == Severity::Note));
    // kept, all of them
    let text: String = records.iter().map(Record::document).collect();
    for kept in ["cordinates: 33.5, 36.2\n", "moon: full\n", "Habitat: fallow\n"] {
        assert!(text.contains(kept), "{kept}");
    }
}

#[test]
fn a_misspelt_field_that_is_required_is_told_where_it_stands() {
    for (text, line, word) in [
        ("gathering: 1\ncollector: X\nplace: ridge\ndata: 2026\n", 4, "\"data\""),
        ("gathering: 1\nplace: ridge\ncolector: X\ndate: 2026\n", 3, "\"colector\""),
        ("# a comment\ngatherin: 1\ncollector: X\ndate: 2026\n", 2, "\"gathering:\""),
        ("collector: X\nDetermination: 1\nname: Rosa\n", 2, "\"determination:\""),
        ("gathering: 1\ncollector: X\nplace: ridge\n", 1, "\"date: ...\""),
    ] {
        let (records, faults) = read_all(text);
        assert_eq!(records, [], "{text}");
        assert_eq!((faults.len(), faults[0].line), (1, line), "{text}{faults:#?}");
        assert!(faults[0].finding.remedy.contains(word), "{}", faults[0]);
    }
}

/// Every field of every kind with two letters changed round, and with one left out.
#[test]
fn the_nearest_field_of_every_slip_is_the_one_meant() {
    let mut told = 0;
    for (kind, word) in Kind::ALL {
        let start = match kind {
            Kind::Gathering => "date: 2026\n",
            Kind::Part => "what: sheet\n",
            Kind::Observation => "seen: Petals red\n",
            Kind::Determination => "name: Rosa\n",
            Kind::Note => "text: x\n",
            Kind::Correction => "withdraw: yes\n",
        };
        let collector = if kind == Kind::Correction { "" } else { "collector: X\n" };
        for field in kind.fields().iter().filter(|f| f.len() > 5 && f.is_ascii()) {
            let mut turned = field.as_bytes().to_vec();
            turned.swap(2, 3);
            let shorter = format!("{}{}", &field[..3], &field[4..]);
            for slip in [String::from_utf8(turned).unwrap(), shorter] {
                if kind.fields().contains(&slip.as_str()) || slip.contains("  ") {
                    continue;
                }
                let (_, faults) = read_all(&format!("{word}: 1\n{collector}{start}{slip}: x\n"));
                let meant = format!("\"{slip}\"; did you mean \"{field}\"?");
                let found = faults.iter().filter(|f| f.finding.what.contains(&meant)).count();
                // with what another field may be meant as well, the first is told
                let other = faults.iter().any(|f| f.finding.rule == "field-unknown");
                assert!(found == 1 || other && slip.len() < 6, "{slip}: {faults:?}");
                told += found;
            }
        }
    }
    assert!(told > 50, "{told}");
}

/// A correction that leaves a slip which stood there before says nothing of it.
#[test]
fn a_slip_is_told_once_where_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    drop(begin(folder.path()));
    let text = "gathering: 1\ncollector: X\nid: aaaaaaaaaaaa\ndate: 2026\nhabitats: fallow\n---\n\
                correction: aaaaaaaaaaaa\nset:\n  altitude: high\n  plase: ridge\n";
    std::fs::write(folder.path().join("records/x.yaml"), text).unwrap();
    let faults = open(folder.path()).faults().unwrap();
    let told: Vec<_> = faults.iter().map(|f| (f.line, f.finding.rule)).collect();
    assert_eq!(told, [(5, "field-unknown"), (7, "field-unknown"), (7, "field-unread")]);
}
