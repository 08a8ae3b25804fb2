//! Dates, coordinates, altitudes and numbers as collectors write them.

use hilum::notebook::altitude::{Altitude, NoHeight, Uncertainty};
use hilum::notebook::coordinates::{Coordinates, NoPlace};
use hilum::notebook::date::{NoDate, When};
use hilum::notebook::number::{Citation, Number};
use proptest::prelude::*;

fn iso(text: &str) -> String {
    When::read(text).unwrap_or_else(|e| panic!("{e}")).to_string()
}

/// eventDate's and verbatimEventDate's own examples (Darwin Core list of terms 2026-05-26) [READ].
#[test]
fn dates_of_the_standard() {
    for text in [
        "1963-03-08T14:07-06:00",
        "2009-02-20T08:40Z",
        "2018-08-29T15:19",
        "1809-02-12",
        "1906-06",
        "1971",
        "2007-03-01T13:00:00Z/2008-05-11T15:30:00Z",
        "1900/1909",
    ] {
        assert_eq!(iso(text), text);
    }
    assert_eq!(iso("2007-11-13/15"), "2007-11-13/2007-11-15");
    assert_eq!(iso("17IV1934"), "1934-04-17");
    assert_eq!(iso("1999-03-XX"), "1999-03");
}

#[test]
fn dates_as_written_in_field_books() {
    // 27 April 2009 and 27.IV.2009: the two styles recommended for labels (BRIT) [READ]
    for text in [
        "27 April 2009",
        "27.IV.2009",
        "27. April 2009",
        "27 avril 2009",
        "April 27, 2009",
        "27.4.2009",
        "27/4/2009",
        "27 apr 2009",
    ] {
        assert_eq!(iso(text), "2009-04-27", "{text}");
    }
    assert_eq!(iso("V.2026"), "2026-05");
    assert_eq!(iso("März 2026"), "2026-03");
    let when = When::read("2009-04-27").unwrap();
    assert_eq!(when.in_words(), "27 April 2009");
    assert_eq!(when.in_roman(), "27.IV.2009");
    assert_eq!(When::read("2007-11-13/15").unwrap().in_words(), "13–15 November 2007");
    assert_eq!(When::read("2026-05").unwrap().in_roman(), "V.2026");
}

#[test]
fn dates_that_are_refused() {
    assert!(matches!(When::read("2/5/2026"), Err(NoDate::Ambiguous(_))));
    assert!(matches!(When::read("2026-05-04/2026-05-02"), Err(NoDate::Backwards(_))));
    for text in [
        "2026-02-30",
        "05-02",
        "2026-13",
        "yesterday",
        "",
        "T14:07",
        "2026-05T14:07",
        "2026-05-02T25:00",
        "12",
        "32.1.2026",
    ] {
        assert!(When::read(text).is_err(), "{text}");
    }
}

fn degrees(text: &str) -> (String, String) {
    let c = Coordinates::read(text).unwrap_or_else(|e| panic!("{e}"));
    (c.latitude.to_string(), c.longitude.to_string())
}

/// Expected values [CALC]: degrees + minutes/60 + seconds/3600, rounded half to even one place
/// beyond a second of arc.
#[test]
fn coordinates_in_every_usual_form() {
    for (text, lat, lon) in [
        ("33.51234, 36.29876", "33.51234", "36.29876"),
        ("33.50 36.20", "33.50", "36.20"),
        ("-41.0983423, -71.1", "-41.0983423", "-71.1"),
        ("33.51234 N, 36.29876 E", "33.51234", "36.29876"),
        ("36.29876E 33.51234S", "-33.51234", "36.29876"),
        ("33°30'44\"N 36°17'56\"E", "33.51222", "36.29889"),
        ("33° 30′ 44.4″ N, 36° 17′ 55.5″ W", "33.512333", "-36.29875"),
        ("N 33 30 44 E 36 17 56", "33.51222", "36.29889"),
        ("33°30.74'N 36°17.93'E", "33.512333", "36.298833"),
        ("33 30 44, 36 17 56", "33.51222", "36.29889"),
    ] {
        assert_eq!(degrees(text), (lat.to_string(), lon.to_string()), "{text}");
    }
}

#[test]
fn coordinates_that_are_refused() {
    assert!(matches!(Coordinates::read("91, 0"), Err(NoPlace::Latitude(_))));
    assert!(matches!(Coordinates::read("0, 181"), Err(NoPlace::Longitude(_))));
    assert!(matches!(Coordinates::read("33°61'N 36°E"), Err(NoPlace::Sixty(_))));
    assert!(matches!(Coordinates::read("33 N 36 N"), Err(NoPlace::SameAxis(_))));
    for text in
        ["", "33", "33.5 N", "near the spring", "1, 2, 3", "33.5° 30' N, 36 E", "-33 S, 36 E"]
    {
        assert!(Coordinates::read(text).is_err(), "{text}");
    }
}

#[test]
fn altitudes_and_uncertainty() {
    let metres = |t: &str| {
        let a = Altitude::read(t).unwrap_or_else(|e| panic!("{e}"));
        (a.lowest.to_string(), a.highest.to_string())
    };
    assert_eq!(metres("640"), ("640".into(), "640".into()));
    assert_eq!(metres("ca. 640-660 m"), ("640".into(), "660".into()));
    assert_eq!(metres("640 to 660 m a.s.l."), ("640".into(), "660".into()));
    assert_eq!(metres("-390 m"), ("-390".into(), "-390".into()));
    // 1 ft = 0.3048 m exactly (international foot, 1959), in whole metres
    assert_eq!(metres("2100 ft"), ("640".into(), "640".into()));
    assert!(matches!(Altitude::read("660-640 m"), Err(NoHeight::Backwards(_))));
    assert!(Altitude::read("high").is_err());
    let radius = |t: &str| Uncertainty::read(t).map(|u| u.metres.to_string());
    assert_eq!(radius("30 m"), Ok("30".into()));
    assert_eq!(radius("0.5 km"), Ok("500".into()));
    // "zero is not a valid value" (Darwin Core coordinateUncertaintyInMeters) [READ]
    assert_eq!(radius("0"), Err(NoHeight::Zero));
    assert_eq!(radius("0.00 km"), Err(NoHeight::Zero));
    assert!(radius("-5").is_err());
}

#[test]
fn numbers_with_prefixes_suffixes_and_none() {
    let parts = |t: &str| {
        let n = Number::read(t).unwrap_or_else(|| panic!("{t}"));
        (n.prefix.clone(), n.running, n.suffix.clone(), n.to_string())
    };
    let row = |p: &str, n: Option<u64>, s: &str, t: &str| (p.into(), n, s.into(), t.to_string());
    assert_eq!(parts("1042"), row("", Some(1042), "", "1042"));
    // recordNumber's own example (Darwin Core) [READ]
    assert_eq!(parts("OPP 7101"), row("OPP ", Some(7101), "", "OPP 7101"));
    assert_eq!(parts("1042a"), row("", Some(1042), "a", "1042a"));
    assert_eq!(parts("1042/2"), row("", Some(1042), "/2", "1042/2"));
    assert_eq!(parts("2026/17"), row("2026/", Some(17), "", "2026/17"));
    assert_eq!(parts("s.n. 2026-05-02"), row("", None, "2026-05-02", "s.n. 2026-05-02"));
    for text in ["", "abc", "\u{7}1", "99999999999999999999999"] {
        assert!(Number::read(text).is_none(), "{text}");
    }
}

#[test]
fn one_collector_written_in_three_ways() {
    let key = |who: &str| Citation::new(who, Number::plain(7)).key();
    assert_eq!(key("A. K. Ashdown"), key("A.K. Ashdown"));
    assert_eq!(key("Ashdown, A. K."), key("A.K. Ashdown"));
    assert_ne!(key("B. Ashdown"), key("A.K. Ashdown"));
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,40}") {
        let _ = When::read(&text);
        let _ = Coordinates::read(&text);
        let _ = Altitude::read(&text);
        let _ = Uncertainty::read(&text);
        let _ = Number::read(&text);
    }

    #[test]
    fn figures_and_marks_do_not_panic(text in "[-0-9 .,°'\"NSEWT/:XIVZ+ ]{0,40}") {
        if let Ok(w) = When::read(&text) {
            let written = w.to_string();
            prop_assert_eq!(When::read(&written).map(|w| w.to_string()), Ok(written));
        }
        if let Ok(c) = Coordinates::read(&text) {
            prop_assert!(c.latitude.abs() <= 90.into() && c.longitude.abs() <= 180.into());
        }
        let _ = Altitude::read(&text);
        let _ = Uncertainty::read(&text);
        if let Some(n) = Number::read(&text) {
            let again = Number::read(&n.to_string());
            prop_assert_eq!(again, Some(n));
        }
    }
}

/// A number is the same when it is written and read again, whatever zeros stand before it.
#[test]
fn a_number_with_zeros_stays_the_same() {
    for text in ["007", "A-007", "2026/007", "02026/17", "002107-03", "0", "00", "0-2026/1", "2026"]
    {
        let number = Number::read(text).unwrap();
        assert_eq!(Number::read(&number.to_string()), Some(number), "{text}");
    }
    assert_eq!(Number::read("007"), Some(Number::plain(7)));
}

proptest! {
    #[test]
    fn any_number_reads_back(text in "[0A/ .-]{0,3}(0{0,2}2107|0{0,2}1800|[0-9]{1,5})[-/ .]{0,2}[0-9a ]{0,5}") {
        if let Some(number) = Number::read(&text) {
            prop_assert_eq!(Number::read(&number.to_string()), Some(number), "{}", text);
        }
    }
}
