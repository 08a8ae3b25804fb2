//! Months of flowering and fruiting: what is read, what is not, and writing back.

use hilum::text::language::{self, Language};
use hilum::text::months::{self, FaultKind};
use proptest::prelude::*;

fn read(text: &str, code: &str) -> Vec<u8> {
    let reading = months::read(text, Language::of(code).unwrap());
    assert!(reading.faults.is_empty(), "{text}: {:?}", reading.faults);
    reading.months
}

#[test]
fn months_as_floras_write_them() {
    for (text, expected) in [
        ("Apr-Jun", &[4, 5, 6][..]),
        ("Apr–Jun", &[4, 5, 6]),
        ("April to June", &[4, 5, 6]),
        ("Apr.--Jun.", &[4, 5, 6]),
        ("IV-VI", &[4, 5, 6]),
        ("iv–vi", &[4, 5, 6]),
        ("4-6", &[4, 5, 6]),
        ("Nov-Feb", &[11, 12, 1, 2]),
        ("XI-II", &[11, 12, 1, 2]),
        ("Apr, Jun-Jul", &[4, 6, 7]),
        ("Jun-Jul, Apr", &[4, 6, 7]),
        ("Jan, Nov-Dec", &[11, 12, 1]),
        ("Mar and Sept", &[3, 9]),
        ("May", &[5]),
        ("X", &[10]),
        ("late March to mid-May", &[3, 4, 5]),
        ("(Mar-)Apr-Jun(-Jul)", &[3, 4, 5, 6, 7]),
        ("May, May", &[5]),
        ("all year", &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]),
        ("Oct-Sep", &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]),
    ] {
        assert_eq!(read(text, "en"), expected, "{text}");
    }
    // Schmeil & Fitschen 1922 print "6. 7."
    assert_eq!(read("6. 7.", "de"), [6, 7]);
    assert_eq!(read("März bis Mai", "de"), [3, 4, 5]);
    assert_eq!(read("Anfang Dez-Jän", "de"), [12, 1]);
    assert_eq!(read("avr. à juin, août", "fr"), [4, 5, 6, 8]);
}

#[test]
fn what_is_no_month_is_pointed_at() {
    use FaultKind::*;
    for (text, faults) in [
        ("", &[("", Nothing)][..]),
        ("  ", &[("  ", Nothing)]),
        ("spring", &[("spring", NotAMonth)]),
        ("Apr-Jum", &[("Jum", NotAMonth)]),
        ("Apr, Jum, Jly", &[("Jum", NotAMonth), ("Jly", NotAMonth)]),
        ("XIII", &[("XIII", NoSuchMonth)]),
        ("4-14", &[("14", NoSuchMonth)]),
        ("0", &[("0", NoSuchMonth)]),
        ("99999999999999999999999", &[("99999999999999999999999", NoSuchMonth)]),
        ("Apr-", &[("-", HalfARange)]),
        ("-Jun", &[("-", HalfARange)]),
        ("Apr-, Jun", &[("-", HalfARange)]),
        ("Iv", &[("Iv", NotAMonth)]),
        (", ()", &[(", ()", NotAMonth)]),
        ("Mayor", &[("Mayor", NotAMonth)]),
        ("🌱 Apr", &[("🌱", NotAMonth)]),
    ] {
        let reading = months::read(text, Language::english());
        let got: Vec<_> = reading.faults.iter().map(|f| (&text[f.span.clone()], f.kind)).collect();
        assert_eq!(got, faults, "{text:?}");
    }
}

#[test]
fn months_written() {
    let en = Language::english();
    for (given, written) in [
        (&[4, 5, 6][..], "Apr–Jun"),
        (&[11, 12, 1, 2], "Nov–Feb"),
        (&[1, 2, 11, 12], "Nov–Feb"),
        (&[4, 6, 7], "Apr, Jun–Jul"),
        (&[5], "May"),
        (&[], ""),
        (&[0, 13, 3], "Mar"),
        (&[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12], "Jan–Dec"),
    ] {
        assert_eq!(months::write(given, en), written);
    }
    assert_eq!(months::write(&[4, 5, 8], Language::of("fr").unwrap()), "avr–mai, août");
    assert_eq!(months::write(&[3, 10], Language::of("de").unwrap()), "Mär, Okt");
}

proptest! {
    /// The months come back in the sequence of the season, whatever the language.
    #[test]
    fn months_written_are_read_again(bits in 1_u16..4096) {
        let given: Vec<u8> = (1..=12).filter(|m| bits & (1 << (m - 1)) != 0).collect();
        for language in language::ALL {
            let written = months::write(&given, language);
            let reading = months::read(&written, language);
            prop_assert!(reading.faults.is_empty(), "{}", written);
            let mut sorted = reading.months.clone();
            sorted.sort_unstable();
            prop_assert_eq!(&sorted, &given, "{}", written);
            prop_assert_eq!(months::write(&reading.months, language), written);
        }
    }

    #[test]
    fn any_text_is_months_or_faults(text in ".{0,40}|[-–,. ()IVX0-9aprjun]{0,30}") {
        for language in language::ALL {
            let reading = months::read(&text, language);
            prop_assert!(!reading.faults.is_empty() || !reading.months.is_empty());
            for f in &reading.faults {
                prop_assert!(text.get(f.span.clone()).is_some());
            }
        }
    }
}
