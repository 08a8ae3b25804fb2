//! A table of an existing notebook taken in: nothing dropped, what is not understood listed.

use hilum::notebook::import::{ColumnMap, NoTable, columns, guess, read, refused_table};
use hilum::notebook::record::{Body, Placed, Record};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold};
use hilum::notebook::value::Value;
use hilum::publish::darwin_core::{tables, withhold::Protected};

use crate::support::hilum;

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
    assert_eq!(e.line, 2);
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
                 1,A. Ashdown | M. Holt,second,nameless,2026,33.5,,Rosa,1999,T. Oren,box 3,new\n\
                 4,B. Weir,x2,y2,2026-05,,36.25,,2001,,,old,,more\n\
                 2,B. Weir,x2,y2,2026-05,,36.25,,2001,,,old\n\
                 3,B. Weir,x3,y3,someday,1,2,Iris,,Lund,,gone\n";
    let map = ColumnMap::read(
        "number: Nr\ncollector: C\ndate: Date\ncoordinates: [Lat, Long]\nname: Det\n\
         date determined: Det date\nwith: With\nstore: Store\n",
    )
    .unwrap();
    let out = read(table.as_bytes(), "t.csv", &map).unwrap();
    assert_eq!((out.rows, out.refused.len()), (4, 2));
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
    // What is left out stands behind a comment's sign, whatever it is called.
    for column in ["No,a\u{2028}b: [", "\"x\ny: z\",Date", "\"- a\r{\",\u{85}"] {
        let guess = guess(column.as_bytes()).unwrap();
        assert_eq!(ColumnMap::read(&guess.text()), Ok(guess.map.clone()), "{}", guess.text());
    }
}

/// A cell with the sign in it that stands unquoted pushes the cells behind it under wrong heads.
#[test]
fn a_shifted_row_is_handed_back() {
    let table = "Nr;Coll;Date;Parts;With;Remarks\n\
                 1;A. Ashdown;2026;sheet; seed packet;M. Holt;\n\
                 2;A. Ashdown;2026;\"sheet; seed packet\";M. Holt;dry\n";
    let map = ColumnMap::guess(&columns(table.as_bytes()).unwrap().0);
    let out = read(table.as_bytes(), "t.csv", &map).unwrap();
    assert_eq!((out.rows, out.refused.len()), (2, 1));
    let why = &out.refused[0].why;
    assert!(why.starts_with("row 2 has 7 cells, the heading 6: "), "{why}");
    // Two cells are made one again in what was handed back, and it is taken in.
    let back = refused_table(&out.columns, &out.refused);
    let mended = back.replace("sheet,seed packet", "sheet; seed packet");
    let again = read(mended.as_bytes(), "t-not-taken.csv", &map).unwrap();
    assert_eq!((again.refused.len(), again.unmapped.len()), (0, 0), "{mended}");
    let specimens = folded(again.records);
    assert_eq!(
        (specimens[0].parts.len(), &specimens[0].gathering().unwrap().with[0][..]),
        (2, "M. Holt")
    );
    assert!(specimens[0].gathering().unwrap().other.is_empty());
    // Where every row ends in the sign, none is shifted.
    let ended = "Nr;Coll;Date\n1;A. Ashdown;2026;\n2;A. Ashdown;2026;\n";
    let map = ColumnMap::guess(&columns(ended.as_bytes()).unwrap().0);
    assert_eq!(read(ended.as_bytes(), "t.csv", &map).unwrap().refused.len(), 0);
}

#[test]
fn a_number_of_another_gathering_is_refused() {
    let table = "No.,Coll.,Date,Locality,Det.,Parts\n\
                 2293,A. Ashdown,2026,lower field,Vicia ervilia,sheet\n\
                 2293,\"Ashdown, A.\",2026,churchyard,Neslia paniculata,seed packet\n";
    let map = ColumnMap::guess(&columns(table.as_bytes()).unwrap().0);
    let out = read(table.as_bytes(), "t.csv", &map).unwrap();
    assert_eq!(out.refused.len(), 1);
    let why = &out.refused[0].why;
    let said = "the number 2293 was given to another gathering (line 2); give it a suffix";
    assert!(why.starts_with(said), "{why}");
    assert_eq!(out.records.len(), 3, "its name and its part are handed back with it");
    // In a notebook: the same row again, from a table in another order, and another gathering.
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let write = |text: &str| std::fs::write(at.join("t.csv"), text).unwrap();
    let own = |arguments: &[&str]| hilum(at, &[&["notebook", "--in", "n"], arguments].concat(), "");
    assert_eq!(own(&["begin", "--collector", "A. Ashdown"]).status, 0);
    write("No.,Date,Locality\n2293,2026,lower field\n");
    assert_eq!(own(&["import", "--guess", "t.csv"]).status, 0);
    write("No.,Date,Locality\n2294,2026,ridge\n2293,2026,lower field\n");
    let ran = own(&["import", "t.csv"]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    assert!(ran.out.contains("1 record new, 1 there already"), "{}", ran.out);
    write("No.,Date,Locality\n2293,2026,churchyard\n");
    let ran = own(&["import", "t.csv"]);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("(records/"), "{}", ran.out);
    // Mended where it is kept, it is taken in by the table's map.
    let aside = at.join("n/aside/t-not-taken.csv");
    let text = std::fs::read_to_string(&aside).unwrap();
    std::fs::write(&aside, text.replacen("2293", "2293a", 1)).unwrap();
    let ran = own(&["import", "n/aside/t-not-taken.csv"]);
    assert!(ran.status == 0 && ran.out.contains("1 record new"), "{}{}", ran.out, ran.err);
    // What is being mended is not written over.
    own(&["import", "t.csv"]);
    assert!(at.join("n/aside/t-not-taken-2.csv").exists());
    assert!(std::fs::read_to_string(&aside).unwrap().contains("2293a"));
}

/// Two ledgers that gave one number to two plants: merge says so, and no label is printed.
#[test]
fn a_number_given_twice_by_a_merge_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let run = |arguments: &[&str]| hilum(at, arguments, "");
    for (name, place) in [("a", "lower field"), ("b", "churchyard")] {
        run(&["notebook", "--in", name, "begin", "--collector", "A. Ashdown"]);
        std::fs::write(at.join("t.csv"), format!("No.,Date,Locality\n7,2026,{place}\n")).unwrap();
        assert_eq!(run(&["notebook", "--in", name, "import", "--guess", "t.csv"]).status, 0);
    }
    let ran = run(&["notebook", "--in", "a", "merge", "b"]);
    assert_eq!(ran.status, 1);
    let said = "given twice now: A. Ashdown 7: `hilum notebook numbers` shows them";
    assert!(ran.out.contains(said), "{}", ran.out);
    assert_eq!(run(&["notebook", "--in", "a", "merge", "b"]).status, 0, "it is known by now");
    let ran = run(&["label", "--in", "a", "7", "--output", "l.html"]);
    assert_eq!((ran.status, at.join("l.html").exists()), (1, false));
    assert!(ran.err.contains("no label for A. Ashdown 7"), "{}", ran.err);
    let ran = run(&["label", "--in", "b", "7", "--pdf", "none/l.pdf"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("there is no folder none"), "{}", ran.err);
    let ran = run(&["label", "--in", "b", "7", "--output", "l.html"]);
    assert!(ran.status == 0 && ran.out.contains("Written: l.html"), "{}", ran.out);
    let ran = run(&["notebook", "--in", "a", "check"]);
    let out = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.contains("Names, parts and notes stand under both"), "{}", ran.out);
}

const GERMAN: &str = "\
Nr.;Sammler;Datum;Fundort;Breite;Länge;m ü. M.;Art;det.;Teile;Begleitpflanzen;Phänologie;Bemerkung;Mond
2290;I. Avila;3.V.2025;Südhang;33,512;36,298;640;Papaver cf. rhoeas L.;B. Müller;\"Herbarbeleg; 2 Samentüten\";Galium tricornutum;bl.;rot;voll
2291;I. Avila;4.V.2025;Feld;33,51;36,30;650 m;?;B. Müller;Holzklotz;;angeblich;;
";

/// A field book in German: what its columns are is read from their names and their cells.
#[test]
fn a_field_book_in_german_is_guessed() {
    let guess = guess(GERMAN.as_bytes()).unwrap();
    assert_eq!(guess.left_out, ["Mond"]);
    let text = guess.map.text();
    for line in ["date: Datum", "altitude: m ü. M.", "name: Art", "determined by: det."] {
        assert!(text.lines().any(|l| l == line), "{line}: {text}");
    }
    // The file says what else it may hold, and reads back.
    let file = guess.text();
    assert!(file.contains("Columns left out: Mond") && file.contains("habitat"), "{file}");
    assert_eq!(ColumnMap::read(&file).as_ref(), Ok(&guess.map), "{file}");
    let out = read(GERMAN.as_bytes(), "t.csv", &guess.map).unwrap();
    assert_eq!(out.refused, []);
    let told: Vec<_> = out.faults.iter().map(|f| (f.line, &f.finding.what[..])).collect();
    assert!(matches!(told[..], [(3, what)] if what.contains("\"angeblich\"")), "{told:?}");
    let specimens = folded(out.records);
    let g = specimens[0].gathering().unwrap();
    assert_eq!(g.coordinates.as_ref().unwrap().latitude.to_string(), "33.512");
    assert_eq!(g.stage, ["bl."]);
    let parts: Vec<_> =
        specimens[0].parts.iter().map(|p| (&p.body.what[..], p.body.count)).collect();
    assert_eq!(parts, [("sheet", None), ("seed packet", Some(2))]);
    assert_eq!(specimens[0].current().unwrap().named.body.by, ["B. Müller"]);
    // A question mark is no name; it is kept, and who wrote it.
    assert!(specimens[1].current().is_none());
    let other = &specimens[1].gathering().unwrap().other;
    assert_eq!(
        (&other["column Art"], &other["column det."]),
        (&Value::text("?"), &Value::text("B. Müller"))
    );
}

/// `det.` holds the name or who gave it: another column or the cells say which.
#[test]
fn a_column_of_names_is_told_from_one_of_people() {
    let field = |table: &str| {
        let map = guess(table.as_bytes()).unwrap().map;
        let at = map.targets().find(|(_, t)| t.columns[0] == "det.").map(|(f, _)| f.to_string());
        at.unwrap_or_default()
    };
    assert_eq!(field("Nr,det.\n1,Papaver rhoeas\n"), "name");
    assert_eq!(field("Nr,det.\n1,I. Avila\n2,B. Müller\n"), "determined by");
    assert_eq!(field("Nr,espèce,det.\n1,,\n"), "determined by");
    let datum = guess(b"Nr,Datum\n1,WGS84\n").unwrap().map.text();
    assert!(datum.contains("datum: Datum"), "{datum}");
}

/// A gathering of a day to come is told when it is taken in, and by check.
#[test]
fn a_date_to_come_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let own = |arguments: &[&str]| {
        hilum(folder.path(), &[&["notebook", "--in", "n"], arguments].concat(), "")
    };
    own(&["begin", "--collector", "A. Ashdown"]);
    std::fs::write(folder.path().join("t.csv"), "No.,Date\n1,2026\n2,9026-05-02\n").unwrap();
    for arguments in [&["import", "--guess", "t.csv"][..], &["check"]] {
        let ran = own(arguments);
        assert_eq!(ran.status, 1, "{}", ran.out);
        let said = "A. Ashdown 2 was gathered on 9026-05-02, which is still to come";
        let out = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(out.contains(said), "{}", ran.out);
        assert!(!ran.out.contains("Ashdown 1 "), "{}", ran.out);
    }
}

/// Of a twig only the wood was taken: petals are still to be seen on the shrub.
#[test]
fn what_a_part_cannot_show_is_asked_of_the_plant() {
    let folder = tempfile::tempdir().unwrap();
    let own = |arguments: &[&str]| {
        hilum(folder.path(), &[&["notebook", "--in", "n"], arguments].concat(), "")
    };
    own(&["begin", "--collector", "A. Ashdown"]);
    let table = "No.,Date,Name,Stage,Parts\n1,2026-05-02,Papaver,flowering,2 Holzproben\n\
                 2,2026-05-02,Papaver,flowering,sheet\n";
    std::fs::write(folder.path().join("t.csv"), table).unwrap();
    assert_eq!(own(&["import", "--guess", "t.csv"]).status, 0);
    let ran = own(&["leaving"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("field-weeds, field-weed-seeds"), "{}", ran.err);
    let ran = own(&["leaving", "field-weeds", "--date", "2026-05-02"]);
    let (wood, sheet) = ran.out.split_once("Ashdown 2 [sheet]").expect("both");
    assert!(wood.contains("A. Ashdown 1 [2 × wood block] - Papaver"), "{wood}");
    assert!(wood.contains("on the plant, while you are here:"), "{wood}");
    assert!(!wood.contains("note fresh") && !sheet.contains("on the plant"), "{}", ran.out);
}

#[test]
fn a_column_with_a_very_long_name_is_read_back() {
    let long = "Lat\u{14}".repeat(400);
    let table =
        format!("Number,Collector,Date,{long},{long}\n7,A. K. Ashdown,2026-05-02,one,two\n");
    let map = ColumnMap::guess(&columns(table.as_bytes()).unwrap().0);
    let out = read(table.as_bytes(), "t.csv", &map).unwrap();
    let text: String = out.records.iter().map(|r| r.document()).collect();
    let again =
        hilum::notebook::scan::read_documents(text.as_bytes(), "again.yaml", &mut Vec::new());
    let again: Vec<_> = again.into_iter().map(|p| p.record).collect();
    assert_eq!((again.len(), &again), (1, &out.records));
    assert!(text.contains(": one") && text.contains(": two"), "{text}");
}
