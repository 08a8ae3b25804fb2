//! Comparisons as ratios: what is read, what is not, and writing back.

use hilum::text::amount::Amount;
use hilum::text::language::Language;
use hilum::text::notation;

use super::notation::{check, en, of, show_reading};

fn ratio(text: &str, dimension: &str, language: &Language) -> String {
    match notation::read_ratio(text, dimension, language) {
        Some(reading) => show_reading(&reading, text),
        None => "none".to_string(),
    }
}

#[test]
fn ratios() {
    check(
        &[
            ("longer than petals", ">1.. /  petals"),
            ("shorter than petals", "..<1 /  petals"),
            ("as long as petals", "1 /  petals"),
            ("about as long as", "~1 / "),
            ("half as long as", "0.5 / "),
            ("about half as long as petals", "~0.5 /  petals"),
            ("one-half as long as", "0.5 / "),
            ("two-thirds as long as", "0.666666666666666666666667 / "),
            ("1/2 as long as", "0.5 / "),
            ("twice as long as", "2 / "),
            ("up to twice as long as wide", "..2 /  wide"), // Format
            ("more than twice as long as", ">2.. / "),
            ("2-3 times as long as", "2..3 / "),
            ("(1.5-)2-3(-4) times as long as", "2..3 {1.5..4} / "),
            ("2-3× as long as", "2..3 / "),
            ("2 x as long as", "2 / "),
            ("1-1/2 times as long as", "1.5 / "), // Printed
            ("1-1/2 - 2 times as long as they", "1.5..2 /  they"), // Printed, Otis 1915
            ("8-10 times as long as", "8..10 / "), // Printed
            ("two to three times as long as", "2..3 / "),
            ("half to as long as", "0.5..1 / "),
            ("as long as to twice as long as", "1..2 / "),
            ("as long as or longer than petals", "1 | >1.. /  petals"),
            ("shorter than, rarely as long as", "..<1 | 1 Rarely / "),
            ("usually longer than", ">1.. Usually / "),
            ("rarely longer than", "..1 | >1.. Rarely / "),
            ("usually half or as long as", "0.5 Usually | 1 Usually / "),
            ("usually half as long as or as long as", "0.5 Usually | 1 Usually / "),
            ("rarely exceeding twice as long as", "..2 | >2.. Rarely / "),
            ("not longer than", "..1 / "),
            ("not shorter than", "1.. / "),
            ("not as long as", "..<1 / "),
            ("equalling petals", "1 /  petals"),
            ("as long as or much longer than", "1 /  or much longer than"),
            ("much longer than petals", "none"),
            ("half as long again as", "none"),
            ("3 as long as", "none"),
            ("2 mm longer than", "none"),
            ("as wide as", "none"),
            ("red", "none"),
            ("", "none"),
            ("2-3 times longer than", "2..3 !TimesLonger@\"2-3 times longer than\" / "),
        ],
        |t| ratio(t, "length", en()),
    );
    assert_eq!(ratio("wider than", "width", en()), ">1.. / ");
    assert_eq!(ratio("as many as", "number", en()), "1 / ");
    assert_eq!(ratio("more than", "number", en()), ">1.. / ");
    assert_eq!(ratio("longer than", "weight", en()), "none");
    check(
        &[
            ("länger als", ">1.. / "),
            ("so lang wie", "1 / "),
            ("halb so lang wie", "0.5 / "),
            ("bis doppelt so lang wie", "..2 / "),
            ("2-3mal so lang wie", "2..3 / "),
            ("2mal so lang als der Kelch", "2 /  der Kelch"), // Schmeil & Fitschen 1922
            ("2-3-mal so lang wie", "2..3 / "),
            ("etwa anderthalbmal so lang wie", "~1.5 / "),
        ],
        |t| ratio(t, "length", of("de")),
    );
    check(
        &[
            ("plus longs que", ">1.. / "),
            ("aussi longs que", "1 / "),
            ("2-3 fois plus longs que", "2..3 / "),
            ("deux fois plus longs que", "2 / "),
            ("deux fois plus courts que", "none"),
        ],
        |t| ratio(t, "length", of("fr")),
    );
}

#[test]
fn ratios_written() {
    for text in ["as long as", "longer than", "shorter than", "2–3 times as long as"] {
        let reading = notation::read_ratio(text, "length", en()).unwrap();
        let written = notation::write_ratio(&reading.amount, "length", en());
        assert_eq!(written.as_deref(), Some(text));
    }
    assert_eq!(notation::write_ratio(&Amount::default(), "weight", en()), None);
}
