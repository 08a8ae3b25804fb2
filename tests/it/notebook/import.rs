//! A table of an existing notebook taken in: nothing dropped, what is not understood listed.

use hilum::notebook::import::{ColumnMap, NoTable, columns, read, refused_table};
use hilum::notebook::record::{Body, Placed, Record};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold};
use hilum::notebook::value::Value;
use hilum::publish::darwin_core::{tables, withhold::Protected};

const BOOK: &str = "\
No.;Coll.;Date;Locality;Lat;Long;Alt;Flower colour;Det.;Det. by;Parts;Moon
17;A. K. Ashdown | M. Holt;2.5.2026;\"lower field, \"\"north\"\"\";33.50;36.20;640 m;brick red;Papaver cf. rhoeas L.;M. Holt;sheet; seed packet;waxing
18;A. K. Ashdown;yesterday;terrace;;;;;;;;
;A. K. Ashdown;2026;no number;;;;;;;;
19;A. K. Ashdown;2026-05;ridge;somewhere;36.2;high;;Rosa;;;
s.n.;T. Oren;1987;old field;;;;;;;;full
";

fn folded(records: Vec<Record>) -> Vec<Specimen> {
    let placed = records.into_iter().map(|record| Placed { record, file: "t".into(), line: 1 });
    fold(placed.collect(), &mut Vec::new())
}

#[test]
fn a_field_book_is_taken_in_row_by_row() {
    // one cell holds the sign that parts the columns
    let book = BOOK.replace("sheet; seed packet", "\"sheet; seed packet\"");
    let (names, sign) = columns(book.as_bytes()).unwrap();
    assert_eq!((names.len(), sign), (12, b';'));
    let map = ColumnMap::guess(&names);
    insta::with_settings!({ snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("guessed-map", map.text());
    });
    assert_eq!(ColumnMap::read(&map.text()).unwrap(), map);
    let out = read(book.as_bytes(), "fieldbook.csv", &map).unwrap();
    assert_eq!((out.rows, out.refused.len()), (5, 2));
    assert_eq!(out.unmapped, ["Moon"]);
    assert_eq!((out.refused[0].line, out.refused[1].line), (3, 4));
    assert!(out.refused[0].why.contains("yesterday"));
    // what was not understood is listed by its row, and kept in the record
    let lines: Vec<_> = out.faults.iter().map(|f| (f.line, f.finding.what.clone())).collect();
    assert_eq!(lines.len(), 2, "{lines:?}");
    assert!(lines.iter().all(|(line, _)| *line == 5));
    let specimens = folded(out.records);
    assert_eq!(specimens.len(), 3);
    let poppy = &specimens[0];
    let g = poppy.gathering().unwrap();
    assert_eq!(g.with, ["M. Holt"]);
    assert_eq!(g.place.as_deref(), Some("lower field, \"north\""));
    assert_eq!(g.coordinates.as_ref().unwrap().latitude.to_string(), "33.50");
    assert_eq!(g.fresh["colour"], Value::text("brick red"));
    assert_eq!(g.other["column Moon"], Value::text("waxing"));
    assert_eq!(g.source.as_deref(), Some("fieldbook.csv line 2"));
    let parts: Vec<&str> = poppy.parts.iter().map(|p| p.body.what.as_str()).collect();
    assert_eq!(parts, ["sheet", "seed packet"]);
    assert_eq!(poppy.current().unwrap().named.body.by, ["M. Holt"]);
    let ridge = specimens[1].gathering().unwrap();
    assert_eq!(ridge.other["coordinates"], Value::text("somewhere, 36.2"));
    assert_eq!(ridge.other["altitude"], Value::text("high"));
    assert_eq!(specimens[2].citation.number.to_string(), "s.n. 1987 row 6");
    let back = refused_table(&out.columns, &out.refused);
    assert!(back.contains("18,A. K. Ashdown,yesterday,terrace"), "{back}");
}

#[test]
fn taking_it_in_twice_gives_the_same_records() {
    let map = ColumnMap::guess(&columns(BOOK.as_bytes()).unwrap().0);
    let once = read(BOOK.as_bytes(), "f.csv", &map).unwrap();
    let twice = read(BOOK.as_bytes(), "f.csv", &map).unwrap();
    assert_eq!(once.records, twice.records);
}

#[test]
fn tables_that_cannot_be_read_say_why() {
    let map = ColumnMap::read("number: Nr\ncollector: C\ndate: D\n").unwrap();
    let missing = read(b"A,B\n1,2\n", "t.csv", &map);
    assert!(matches!(missing, Err(NoTable::NoColumn(c, _)) if c == "Nr"));
    assert!(matches!(columns(b"a,b\nc,\xff\n"), Err(NoTable::NotUtf8(2))));
    assert!(matches!(columns(b""), Err(NoTable::Empty)));
    let e = ColumnMap::read("number: Nr\nweather: W\n").unwrap_err();
    assert!(e.what.contains("weather") && e.remedy.contains("habitat"));
    let fixed = ColumnMap::read("number: N\ndate: D\nfixed:\n  country: Orenia\n").unwrap();
    let fixed = fixed.with_collector("A. K. Ashdown");
    let out = read(b"N,D\n1,2026\n", "t.csv", &fixed).unwrap();
    let Body::Gathering(g) = &out.records[0].body else { panic!() };
    assert_eq!(g.country.as_deref(), Some("Orenia"));
}

/// Export and import give the same records: what the standard can hold comes back.
#[test]
fn what_is_exported_comes_back() {
    let (records, _) = super::records::read_all(include_str!("season.yaml"));
    let before = folded(records);
    let (mut open, _) = Protected::of(&Settings::new("x".into()));
    open.precise = true;
    let csv = tables(&before, &Settings::new("x".into()), &open).occurrences.csv(None);
    let map = ColumnMap::guess(&columns(csv.as_bytes()).unwrap().0);
    let out = read(csv.as_bytes(), "export.csv", &map).unwrap();
    assert_eq!((out.refused.len(), out.faults.len()), (0, 0), "{:?}", out.faults);
    let after = folded(out.records);
    assert_eq!(after.len(), before.len());
    let mut compared = 0;
    for a in &before {
        // what has no number gets the row's
        let Some(b) = after.iter().find(|b| b.key() == a.key()) else {
            assert!(a.citation.number.running.is_none());
            continue;
        };
        let (g, h) = (a.gathering().unwrap(), b.gathering().unwrap());
        assert_eq!((&g.date, &g.with, &g.place), (&h.date, &h.with, &h.place));
        assert_eq!(g.date_as_written, h.date_as_written);
        assert_eq!(g.coordinates, h.coordinates);
        assert_eq!(g.altitude, h.altitude);
        assert_eq!(
            g.uncertainty.as_ref().map(|u| u.metres),
            h.uncertainty.as_ref().map(|u| u.metres)
        );
        assert_eq!((&g.datum, &g.stage, &g.associated), (&h.datum, &h.stage, &h.associated));
        assert_eq!((&g.photographs, &g.establishment), (&h.photographs, &h.establishment));
        let (c, d) = (a.current().unwrap().named, b.current().unwrap().named);
        assert_eq!(
            (&c.body.name, &c.body.by, &c.body.date),
            (&d.body.name, &d.body.by, &d.body.date)
        );
        assert_eq!(a.notes.len(), b.notes.len());
        compared += 1;
    }
    assert_eq!(compared, 8);
}

/// Whatever cell of a table: it is in a record, or in a row handed back.
#[test]
fn no_cell_is_dropped() {
    let table = "Nr,C,C,,Date,Lat,Long,Det,Det date,With,Store,Moon\n\
                 1,A. Ashdown | M. Holt,second,nameless,2026,33.5,,Rosa,1999,T. Oren,box 3,new,beyond,,more\n\
                 2,B. Weir,x2,y2,2026-05,,36.25,,2001,,,old\n\
                 3,B. Weir,x3,y3,someday,1,2,Iris,,Lund,,gone\n";
    let map = ColumnMap::read(
        "number: Nr\ncollector: C\ndate: Date\ncoordinates: [Lat, Long]\nname: Det\n\
         date determined: Det date\nwith: With\nstore: Store\n",
    )
    .unwrap();
    let out = read(table.as_bytes(), "t.csv", &map).unwrap();
    assert_eq!((out.rows, out.refused.len()), (3, 1));
    let mut kept: String = out.records.iter().map(Record::document).collect();
    kept.push_str(&refused_table(&out.columns, &out.refused));
    for cell in table.lines().skip(1).flat_map(|row| row.split([',', '|'])) {
        let cell = cell.trim();
        assert!(kept.contains(cell), "\"{cell}\" is gone:\n{kept}");
    }
    let specimens = folded(out.records);
    let g = specimens[0].gathering().unwrap();
    assert_eq!(g.with, ["M. Holt", "T. Oren"]);
    assert_eq!(g.other["column Lat"], Value::text("33.5"));
    assert_eq!(g.other["column Store"], Value::text("box 3"), "a store without a part");
    assert_eq!(specimens[1].gathering().unwrap().other["column Det date"], Value::text("2001"));
}

/// A guessed map is the same when a person has kept it and it is read again.
#[test]
fn a_guessed_map_reads_back() {
    for column in ["coordinates", "verbatimCoordinates", "Lat,Long", "No.,Date: ", "a #b"] {
        let map = ColumnMap::guess(&columns(column.as_bytes()).unwrap().0);
        assert_eq!(ColumnMap::read(&map.text()), Ok(map), "{column}");
    }
}
