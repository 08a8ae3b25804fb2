//! Darwin Core: the standard's own examples, the archive, and what is withheld.

use std::collections::BTreeMap;
use std::io::Read;

use hilum::notebook::record::Placed;
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold};
use hilum::publish::darwin_core::withhold::Protected;
use hilum::publish::darwin_core::{Tables, archive, tables, urn};

use crate::notebook::read_all;

/// An invented season: partial dates, doubt, a history, parts, a protected plant.
const SEASON: &str = include_str!("notebook/season.yaml");

fn season() -> Vec<Specimen> {
    let (records, faults) = read_all(SEASON);
    assert_eq!(faults, []);
    let placed = records.into_iter().map(|record| Placed { record, file: "s".into(), line: 1 });
    fold(placed.collect(), &mut Vec::new())
}

fn settings() -> Settings {
    let mut s = Settings::new("Oren valley reference collection".into());
    s.institution = Some("OREN".into());
    s.contact = vec!["A. K. Ashdown".into()];
    s.country = Some("Orenia".into());
    s.country_code = Some("ZZ".into());
    s.licence = Some("https://creativecommons.org/licenses/by/4.0/".into());
    s.protected = vec!["Iris haynei Baker".into()];
    s
}

fn exported() -> Tables {
    let settings = settings();
    let (protected, unread) = Protected::of(&settings);
    assert_eq!(unread, []);
    tables(&season(), &settings, &protected)
}

fn row(tables: &Tables, number: &str) -> BTreeMap<String, String> {
    let found = tables.occurrences.rows().find(|(_, r)| r["recordNumber"] == number);
    let (_, row) = found.unwrap_or_else(|| panic!("no {number}"));
    row.iter().map(|(k, v)| (k.to_string(), v.clone())).collect()
}

/// Qualifier decomposition: the two examples of the term list (2026-05-26) [READ].
#[test]
fn doubt_stands_in_its_own_term() {
    let t = exported();
    for (number, phrase) in
        [("1043", "aff. agrifolia var. oxyadenia"), ("1044", "cf. var. oxyadenia")]
    {
        let row = row(&t, number);
        assert_eq!(row["identificationQualifier"], phrase);
        assert_eq!(row["genus"], "Quercus");
        assert_eq!(row["specificEpithet"], "agrifolia");
        assert_eq!(row["infraspecificEpithet"], "oxyadenia");
        assert_eq!(row["verbatimTaxonRank"], "var.");
        assert_eq!(row["taxonRank"], "variety");
        assert_eq!(row["scientificName"], "Quercus agrifolia var. oxyadenia");
    }
    // the herbarium guideline's example [READ]
    let s = row(&t, "1045");
    assert_eq!(s["infraspecificEpithet"], "expansus");
    assert_eq!(s["scientificNameAuthorship"], "(Boiss. & Heldr.) Hayek");
    assert_eq!(s["taxonRank"], "variety");
    for (_, row) in t.occurrences.rows().chain(t.identifications.rows()) {
        if let Some(name) = row.get("scientificName") {
            for doubt in ["cf.", "aff.", "?", "sp."] {
                assert!(!name.contains(doubt), "{name}");
            }
        }
    }
}

#[test]
fn the_current_name_stands_in_core_and_history_oldest_first() {
    let t = exported();
    let core = row(&t, "1042");
    assert_eq!(core["scientificName"], "Papaver dubium L.");
    assert_eq!(core["previousIdentifications"], "Papaver cf. rhoeas L.");
    assert_eq!(core["identificationVerificationStatus"], "verified by T. Oren");
    assert!(
        core["identificationReferences"]
            .starts_with("Key to weeds of the barley terraces, issue 3")
    );
    let history: Vec<_> = t
        .identifications
        .rows()
        .filter(|(id, _)| *id == core["occurrenceID"])
        .map(|r| r.1)
        .collect();
    let names: Vec<_> = history.iter().map(|r| r["verbatimIdentification"].as_str()).collect();
    assert_eq!(names, ["Papaver cf. rhoeas L.", "Papaver dubium L.", "Papaver dubium L."]);
    assert!(history.iter().any(|r| r["identificationID"] == core["identificationID"]));
    assert_eq!(history[2]["identificationVerificationStatus"], "confirmation");
}

#[test]
fn dates_and_places_as_the_standard_has_them() {
    let t = exported();
    let r = row(&t, "1042");
    assert_eq!(r["eventDate"], "2026-05-02");
    // month and day without leading zeros (herbarium guideline) [READ]
    assert_eq!((r["year"].as_str(), r["month"].as_str(), r["day"].as_str()), ("2026", "5", "2"));
    assert_eq!((r["decimalLatitude"].as_str(), r["decimalLongitude"].as_str()), ("33.50", "36.20"));
    assert_eq!(r["geodeticDatum"], "EPSG:4326");
    assert_eq!(r["recordedBy"], "A. K. Ashdown | M. Holt | T. Oren");
    assert_eq!(r["preparations"], "sheet (pressed) | 2 × seed packet");
    assert_eq!(r["disposition"], "in collection");
    assert_eq!((r["country"].as_str(), r["countryCode"].as_str()), ("Orenia", "ZZ"));
    assert_eq!(
        (r["type"].as_str(), r["basisOfRecord"].as_str()),
        ("PhysicalObject", "PreservedSpecimen")
    );
    assert_eq!(r["occurrenceStatus"], "detected");
    let r = row(&t, "1043");
    assert_eq!((r["eventDate"].as_str(), r["year"].as_str()), ("2026-05", "2026"));
    assert!(!r.contains_key("day") && !r.contains_key("coordinateUncertaintyInMeters"));
    assert_eq!(r["geodeticDatum"], "not recorded");
    let r = row(&t, "1044");
    assert_eq!((r["eventDate"].as_str(), r.get("month")), ("2007-11-13/2007-11-15", None));
    assert_eq!(r["minimumElevationInMeters"], "640");
}

#[test]
fn what_was_seen_is_measured_one_row_each() {
    let t = exported();
    let id = row(&t, "1042")["occurrenceID"].clone();
    let rows: Vec<_> = t.measurements.rows().filter(|(i, _)| *i == id).map(|r| r.1).collect();
    let pairs: Vec<_> = rows
        .iter()
        .map(|r| (r["measurementType"].as_str(), r["measurementValue"].as_str()))
        .collect();
    assert_eq!(
        pairs,
        [
            ("petals", "brick red, a black spot at the base"),
            ("sap", "milky"),
            ("observation", "Petals red"),
            ("blade length", "34")
        ]
    );
    assert_eq!(rows[3]["measurementUnit"], "mm");
    assert_eq!(rows[3]["measurementMethod"], "seen pressed");
}

#[test]
fn places_of_protected_plants_are_withheld_and_said_to_be() {
    let t = exported();
    let r = row(&t, "1046");
    assert_eq!((r["decimalLatitude"].as_str(), r["decimalLongitude"].as_str()), ("33.5", "36.3"));
    assert_eq!(r["coordinateUncertaintyInMeters"], "7882");
    assert_eq!(r["dataGeneralizations"], "coordinates rounded to a tenth of a degree");
    assert!(r["informationWithheld"].ends_with("available on request from A. K. Ashdown"));
    for gone in [
        "locality",
        "verbatimCoordinates",
        "minimumElevationInMeters",
        "associatedMedia",
        "fieldNotes",
    ] {
        assert!(!r.contains_key(gone), "{gone}");
        assert!(r["informationWithheld"].contains(gone), "{gone}");
    }
    let all = t.occurrences.csv(None) + &t.identifications.csv(None) + &t.measurements.csv(None);
    for secret in ["behind the third terrace", "33.4801", "36.3112", "712", "IMG_0042"] {
        assert!(!all.contains(secret), "{secret}");
    }
    assert!(t.told.iter().any(|t| t.what.contains("withheld")));
    // and for the keeper, precisely
    let settings = settings();
    let (mut protected, _) = Protected::of(&settings);
    protected.precise = true;
    let t = tables(&season(), &settings, &protected);
    assert_eq!(row(&t, "1046")["decimalLatitude"], "33.4801");
    assert!(!row(&t, "1046").contains_key("informationWithheld"));
}

/// Simple Darwin Core, section 5 [READ]: no repeated names, no class names.
#[test]
fn a_simple_csv_keeps_the_rules() {
    let t = exported();
    let text = t.occurrences.csv(None);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head: Vec<String> = reader.headers().unwrap().iter().map(str::to_string).collect();
    let mut once = head.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), head.len());
    for class in [
        "Occurrence",
        "Organism",
        "MaterialEntity",
        "MaterialSample",
        "Event",
        "Location",
        "Identification",
        "Taxon",
        "MeasurementOrFact",
    ] {
        assert!(!head.contains(&class.to_string()));
    }
    assert_eq!(reader.records().count(), t.occurrences.len());
    assert!(
        t.occurrences
            .rows()
            .all(|(_, r)| r.get("coordinateUncertaintyInMeters").is_none_or(|u| u != "0"))
    );
}

fn unzip(bytes: &[u8]) -> BTreeMap<String, String> {
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    (0..zip.len())
        .map(|i| {
            let mut file = zip.by_index(i).unwrap();
            let mut text = String::new();
            file.read_to_string(&mut text).unwrap();
            (file.name().unwrap().to_string(), text)
        })
        .collect()
}

#[test]
fn the_archive_is_the_same_every_time_and_its_columns_are_named() {
    let t = exported();
    let bytes = archive::write(&t, &settings(), "2026-11-25").unwrap();
    assert_eq!(bytes, archive::write(&exported(), &settings(), "2026-11-25").unwrap());
    let files = unzip(&bytes);
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        ["eml.xml", "identification.csv", "measurement.csv", "meta.xml", "occurrence.csv"]
    );
    let meta = &files["meta.xml"];
    assert_eq!(meta.matches("<core ").count(), 1);
    assert_eq!(meta.matches("<extension ").count(), 2);
    let core_ids: Vec<&str> =
        files["occurrence.csv"].lines().skip(1).filter_map(|l| l.split(',').next()).collect();
    let mut once = core_ids.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), core_ids.len(), "core ids are unique");
    for line in files["identification.csv"].lines().skip(1) {
        assert!(core_ids.contains(&line.split(',').next().unwrap()), "{line}");
    }
    insta::assert_snapshot!("meta.xml", meta);
    insta::assert_snapshot!("occurrence.csv", files["occurrence.csv"]);
}

#[test]
fn identifiers_are_uuids_of_version_8() {
    let specimen = &season()[0];
    let urn = urn(&specimen.gatherings[0].id);
    let uuid = urn.strip_prefix("urn:uuid:").unwrap();
    let parts: Vec<&str> = uuid.split('-').collect();
    let lengths: Vec<usize> = parts.iter().map(|p| p.len()).collect();
    assert_eq!(lengths, [8, 4, 4, 4, 12]);
    assert!(parts[2].starts_with('8') && "89ab".contains(&parts[3][..1]));
}

/// For the readers outside (tests/outside): writes the archive and the names where they look.
#[test]
fn what_the_outside_readers_read() {
    let Some(folder) = std::env::var_os("HILUM_OUTSIDE") else { return };
    let folder = std::path::Path::new(&folder);
    let bytes = archive::write(&exported(), &settings(), "2026-11-25").unwrap();
    std::fs::write(folder.join("season.zip"), bytes).unwrap();
    std::fs::write(folder.join("simple.csv"), exported().occurrences.csv(None)).unwrap();
    std::fs::write(folder.join("names.json"), crate::names::for_the_second_reader()).unwrap();
}
