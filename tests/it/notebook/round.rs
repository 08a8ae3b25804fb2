//! Export and import of any gathering: what the standard's terms carry comes back as it was.
//!
//! What they carry in words only, so that it comes back as habitat, remarks or a column of its own:
//! substrate, habit, height, abundance, plants, what was noted fresh, permit, the parts with their
//! standing, the key and the route of a determination. What an occurrence's row does not carry:
//! earlier determinations (`identification.csv` of the archive has them) and observations
//! (`measurement.csv`), project, source, the moment of writing, ids, corrections, fields of one's
//! own, and all words of an altitude's or uncertainty's unit where coordinates are missing.

use std::io::Read;

use hilum::notebook::altitude::{Altitude, Uncertainty};
use hilum::notebook::coordinates::Coordinates;
use hilum::notebook::date::When;
use hilum::notebook::import::{ColumnMap, columns, read};
use hilum::notebook::number::{Citation, Number};
use hilum::notebook::record::{Body, Determination, Gathering, Note, Placed, Record};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold};
use hilum::publish::darwin_core::{archive, tables, withhold::Protected};
use hilum::text::finding::Severity;
use proptest::prelude::*;

/// A line of words with whatever a table could trip over; lists are parted at `|` and `;`.
fn words() -> impl Strategy<Value = String> {
    "[A-Za-zé\"',.:#&<>0-9°-][A-Za-zé\"',.:#&<>0-9° -]{0,18}[A-Za-zé\".)0-9]"
}

fn maybe<T: std::fmt::Debug>(of: impl Strategy<Value = T>) -> impl Strategy<Value = Option<T>> {
    prop::option::of(of)
}

fn gathering() -> impl Strategy<Value = Gathering> {
    let date = prop::sample::select(vec![
        "2026-05-02",
        "2026-05",
        "1999",
        "2007-11-13/15",
        "1900/1909",
        "2018-08-29T15:19",
    ]);
    let spot = prop::sample::select(vec![
        "33.50, 36.20",
        "33°30'44\"N 36°17'56\"E",
        "-0.5 -71.25",
        "36.29876E 33.51234S",
    ]);
    let texts = prop::collection::vec(maybe(words()), 6);
    let lists = prop::collection::vec(prop::collection::vec(words(), 0..3), 4);
    let radius = maybe(prop::sample::select(vec!["30 m", "0.5 km", "100 ft"]));
    let height = maybe(prop::sample::select(vec!["640 m", "ca. 640-660 m", "2100 ft", "-390"]));
    let datum = maybe(prop::sample::select(vec!["EPSG:4326", "a local one"]));
    (date, maybe(spot), texts, lists, radius, height, datum).prop_map(
        |(date, spot, mut texts, mut lists, radius, height, datum)| {
            let mut g = Gathering::new(When::read(date).unwrap());
            let mut text = || texts.pop().unwrap();
            g.date_as_written = text();
            g.place = text();
            g.country = text();
            g.province = text();
            g.habitat = text();
            g.establishment = text();
            let mut list = || lists.pop().unwrap();
            (g.with, g.stage, g.associated, g.photographs) = (list(), list(), list(), list());
            g.coordinates = spot.map(|s| Coordinates::read(s).unwrap());
            if g.coordinates.is_some() {
                g.datum = datum.map(str::to_string);
                g.uncertainty = radius.map(|r| Uncertainty::read(r).unwrap());
            }
            g.altitude = height.map(|h| Altitude::read(h).unwrap());
            g
        },
    )
}

fn determination() -> impl Strategy<Value = Determination> {
    let names = [
        "Papaver cf. rhoeas L.",
        "Quercus agrifolia cf. var. oxyadenia",
        "Mentha × smithiana R. A. Graham",
        "some grass, \"tall\"",
        "Papaver sp.",
    ];
    let by = prop::collection::vec(words(), 0..3);
    (prop::sample::select(names.to_vec()), by, maybe("20[0-9]{2}"), maybe("[A-Z][a-z]{3,9}aceae"))
        .prop_map(|(name, by, date, family)| {
            let mut det = Determination::of(name);
            det.by = by;
            det.date = date.map(|d| When::read(&d).unwrap());
            det.family = family;
            det
        })
}

fn folded(records: Vec<Record>) -> Vec<Specimen> {
    let placed = records.into_iter().map(|record| Placed { record, file: "t".into(), line: 1 });
    fold(placed.collect(), &mut Vec::new())
}

fn back(csv: &str) -> Vec<Specimen> {
    let map = ColumnMap::guess(&columns(csv.as_bytes()).unwrap().0);
    let out = read(csv.as_bytes(), "export.csv", &map).unwrap();
    // A stage may be any word: that it says nothing is a note.
    let faults = out.faults.iter().filter(|f| f.finding.severity > Severity::Note).count();
    assert_eq!((out.refused.len(), faults), (0, 0), "{:?}\n{csv}", out.faults);
    folded(out.records)
}

/// The occurrences in the bytes of an archive.
fn core(bytes: &[u8]) -> String {
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut out = String::new();
    zip.by_name("occurrence.csv").unwrap().read_to_string(&mut out).unwrap();
    out
}

fn same(before: &[Specimen], after: &[Specimen]) {
    assert_eq!(before.len(), after.len());
    for (a, b) in before.iter().zip(after) {
        assert_eq!(a.citation, b.citation);
        let (g, h) = (a.gathering().unwrap(), b.gathering().unwrap());
        // Of these words in another unit the figures come back, of the rest the words.
        let metres = |g: &Gathering| g.uncertainty.as_ref().map(|u| u.metres);
        assert_eq!(metres(g), metres(h));
        let mut h = h.clone();
        h.uncertainty = g.uncertainty.clone();
        h.source = None;
        h.other.clear();
        assert_eq!(*g, h);
        assert_eq!(a.determinations.len(), b.determinations.len());
        for (d, e) in a.determinations.iter().zip(&b.determinations) {
            let mut e = e.body.clone();
            e.qualifier = d.body.qualifier.clone();
            assert_eq!(d.body, e);
        }
        let notes = |s: &Specimen| s.notes.iter().map(|n| n.body.text.clone()).collect::<Vec<_>>();
        assert_eq!(notes(a), notes(b));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn what_the_terms_carry_comes_back(
        rows in prop::collection::vec((gathering(), maybe(determination()), maybe(words())), 1..5),
    ) {
        let mut records = Vec::new();
        for (i, (g, det, note)) in rows.into_iter().enumerate() {
            let number = Number::read(["OR-17", "1042", "7a", "2026/3", "12"][i]).unwrap();
            let of = |body| Record::of(Citation::new("Ashdown, A. K.", number.clone()), None, body);
            records.push(of(Body::Gathering(g)));
            records.extend(det.map(|d| of(Body::Determination(d))));
            records.extend(note.map(|n| of(Body::Note(Note::new(n)))));
        }
        let before = folded(records);
        let settings = Settings::new("Oren".into());
        let (mut all, _) = Protected::of(&settings);
        all.precise = true;
        let tables = tables(&before, &settings, &all);
        same(&before, &back(&tables.occurrences.csv(None)));
        let bytes = archive::write(&tables, &settings, "2026-11-25").unwrap();
        same(&before, &back(&core(&bytes)));
    }
}
