//! What holds for every amount and every text: writing and reading again changes nothing, nothing
//! panics, units convert exactly.

use hilum::text::amount::{Amount, Extent, Limit, Range, Unit};
use hilum::text::frequency::Frequency;
use hilum::text::language::{self, Language};
use hilum::text::notation;
use proptest::prelude::*;
use rust_decimal::Decimal;

use super::notation::en;

fn figure() -> impl Strategy<Value = Decimal> {
    prop_oneof![
        (0_i64..40).prop_map(Decimal::from),
        (0_i64..5000, 0_u32..4).prop_map(|(n, s)| Decimal::new(n, s)),
        (0_u128..=999_999_999_999_999_999_999_999_999, 0_u32..=27)
            .prop_map(|(n, s)| Decimal::from_i128_with_scale(n as i128, s)),
    ]
}

fn frequency() -> impl Strategy<Value = Frequency> {
    let words: Vec<Frequency> =
        hilum::text::frequency::TABLE.iter().map(|row| row.frequency).collect();
    prop_oneof![Just(Frequency::Stated), Just(Frequency::Rarely), prop::sample::select(words)]
}

/// Any extent that has a limit, with its extremes outside its usual range.
fn extent() -> impl Strategy<Value = Extent> {
    let four = prop::collection::btree_set(figure(), 4)
        .prop_map(|set| set.into_iter().collect::<Vec<_>>());
    (four, 0..12_u8, any::<[bool; 4]>(), 0..4_u8, 0..4_u8, any::<bool>(), frequency()).prop_map(
        |(v, shape, open, below, above, about, frequency)| {
            let limit = |value, open| Some(Limit { value, open });
            let usual = match shape {
                0 => Range { low: limit(v[1], open[1]), high: None },
                1 => Range { low: None, high: limit(v[2], open[2]) },
                2 => Range { low: limit(v[1], open[1]), high: limit(v[2], open[2]) },
                3..7 => Range::exactly(v[1]),
                _ => Range::between(v[1], v[2]),
            };
            let extreme = Range {
                low: match (usual.low, below) {
                    (None, _) | (_, 0) => None,
                    (_, 1) => limit(v[0], open[0]),
                    (low, _) => low,
                },
                high: match (usual.high, above) {
                    (None, _) | (_, 0) => None,
                    (_, 1) => limit(v[3], open[3]),
                    (high, _) => high,
                },
            };
            Extent { usual, extreme, about, frequency }
        },
    )
}

fn amount() -> impl Strategy<Value = Amount> {
    prop::collection::vec(extent(), 1..6).prop_map(|extents| Amount { extents }).prop_filter(
        "an exception beyond an open limit does not stand first",
        |amount| {
            let first = amount.extents[0];
            let open = first.usual.low.is_some_and(|l| l.open) && first.usual.high.is_none()
                || first.usual.high.is_some_and(|l| l.open) && first.usual.low.is_none();
            let exception =
                first.frequency.is_exception() || first.frequency == Frequency::Sometimes;
            !(open && exception)
        },
    )
}

fn unit() -> impl Strategy<Value = Unit> {
    use Unit::*;
    prop::sample::select(vec![
        Count, Micrometre, Millimetre, Centimetre, Decimetre, Metre, Inch, Foot, Degree, Percent,
    ])
}

fn language() -> impl Strategy<Value = &'static Language> {
    prop::sample::select(language::ALL.to_vec())
}

/// Pieces of notation in any order, with or without blanks.
fn jumble() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "(",
        ")",
        "-",
        "–",
        "--",
        "—",
        "−",
        ",",
        ".",
        ";",
        "3",
        "5",
        "0",
        "12",
        "1/2",
        "½",
        "1½",
        "7.5",
        "3,5",
        "/",
        "×",
        "x",
        "±",
        "ca. ",
        "about ",
        "or ",
        " or",
        "to ",
        "and ",
        "but ",
        "rarely ",
        "usually ",
        "up to ",
        "more than ",
        "less than ",
        "at least ",
        "or more",
        "or less",
        "many",
        "three ",
        "from ",
        "between ",
        "mm",
        " cm",
        "m",
        "µm",
        " in",
        "in. ",
        "ft",
        "°",
        "%",
        "′",
        "″",
        " ",
        "\u{a0}",
        "\n",
        "as long as",
        "longer than ",
        "times ",
        "twice ",
        "half ",
        "not ",
        "<",
        ">",
        "lobed",
        "é",
        "\u{301}",
        "🌱",
        "bis ",
        "oder ",
        "jusqu’à ",
    ]);
    prop::collection::vec(pieces, 0..24).prop_map(|v| v.concat())
}

/// What holds for whatever is read.
fn sound(text: &str, language: &Language) -> Result<(), TestCaseError> {
    for read in [notation::read, notation::read_count] {
        let Some(r) = read(text, language) else { continue };
        prop_assert!(r.len <= text.len() && text.is_char_boundary(r.len));
        prop_assert!(r.len > 0 && !r.amount.extents.is_empty());
        for fault in &r.faults {
            prop_assert!(fault.span.end <= r.len && text.get(fault.span.clone()).is_some());
        }
        // What it took is an amount alone, and the same one (a full stop may then end it).
        let alone = read(&text[..r.len], language);
        if let Some(alone) = &alone {
            prop_assert!(alone.len >= r.len.saturating_sub(1), "{:?} {:?}", r, alone);
        }
        prop_assert!(alone.is_some());
        // Nothing that is not reported is out of order, and what is read can be written.
        if !r.is_spoilt() {
            for e in &r.amount.extents {
                prop_assert!(!e.usual.is_void() && e.extreme.covers(&e.usual));
            }
            let unit = r.unit.unwrap_or(Unit::Count);
            let written = notation::write(&r.amount, unit, language);
            let again = if unit == Unit::Count {
                notation::read_count(&written, language)
            } else {
                notation::read(&written, language)
            };
            prop_assert_eq!(again.map(|a| a.amount), Some(r.amount), "{}", written);
        }
    }
    for dimension in ["length", "width"] {
        if let Some(r) = notation::read_ratio(text, dimension, language) {
            prop_assert!(r.len <= text.len() && text.is_char_boundary(r.len) && r.len > 0);
            if !r.is_spoilt() {
                let written = notation::write_ratio(&r.amount, dimension, language).unwrap();
                let again = notation::read_ratio(&written, dimension, language);
                prop_assert_eq!(again.map(|a| a.amount), Some(r.amount), "{}", written);
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn writing_and_reading_again_changes_nothing(
        amount in amount(), unit in unit(), language in language()
    ) {
        let written = notation::write(&amount, unit, language);
        let reading = notation::read(&written, language);
        prop_assert!(reading.is_some(), "{}", written);
        let reading = reading.unwrap();
        prop_assert_eq!(&reading.amount, &amount, "{}", written);
        prop_assert_eq!(reading.unit.unwrap_or(Unit::Count), unit, "{}", written);
        prop_assert_eq!(reading.len, written.len(), "{}", written);
        prop_assert!(!reading.is_spoilt(), "{} {:?}", written, reading.faults);
    }

    #[test]
    fn a_ratio_written_is_read_again(amount in amount(), language in language()) {
        for dimension in language.compare.dimensions {
            let written = notation::write_ratio(&amount, dimension.name, language).unwrap();
            let reading = notation::read_ratio(&written, dimension.name, language);
            prop_assert!(reading.is_some(), "{}", written);
            let reading = reading.unwrap();
            prop_assert_eq!(&reading.amount, &amount, "{}", written);
            prop_assert_eq!(reading.len, written.len(), "{}", written);
        }
    }

    #[test]
    fn any_text_is_read_soundly(text in ".{0,60}", language in language()) {
        sound(&text, language)?;
    }

    #[test]
    fn any_notation_is_read_soundly(text in jumble(), language in language()) {
        sound(&text, language)?;
    }

    /// To a smaller unit and back is exact, and so is what is read in mixed units.
    #[test]
    fn units_convert_exactly(n in 0_i64..1_000_000_000, places in 0_u32..6) {
        use Unit::*;
        let value = Decimal::new(n, places);
        let pairs = [
            (Metre, Micrometre), (Metre, Millimetre), (Decimetre, Millimetre),
            (Centimetre, Millimetre), (Millimetre, Micrometre), (Inch, Millimetre),
            (Inch, Centimetre), (Foot, Inch), (Foot, Millimetre), (Foot, Metre),
        ];
        for (from, to) in pairs {
            let there = Range::exactly(value).scaled(from.factor(to).unwrap()).unwrap();
            let back = there.low.unwrap().value / from.factor(to).unwrap();
            prop_assert_eq!(back, value);
            let text = format!("{value} {} or 0 {}", from.sign(), to.sign());
            let reading = notation::read(&text, en()).unwrap();
            prop_assert_eq!(reading.unit, Some(to));
            prop_assert_eq!(reading.amount.extents[0].usual, there);
        }
    }
}
