//! Values in flora notation: every example of the sources, and properties of reading and writing.
//!
//! Beside each row stands where its example was read. FoC: *Flora of China* guidelines, section 11
//! (1994), and *Flora of Nepal*, section 12. MFC: *Moss Flora of China* guidelines 11.1. Printed:
//! met in printed keys of 1901-1922. Format: the description of the key format.

use hilum::text::amount::{Amount, Extent, Limit, Range, Unit};
use hilum::text::frequency::Frequency;
use hilum::text::language::{self, Language};
use hilum::text::notation::{self, FaultKind, Reading, Tail};

pub fn en() -> &'static Language {
    Language::english()
}

pub fn of(code: &str) -> &'static Language {
    Language::of(code).unwrap()
}

/// An amount in short: `3..5`, `>3..`, `..<5`, `5`, extremes in braces, `~` for about.
fn show(amount: &Amount) -> String {
    let range = |r: &Range| {
        if r.low == r.high
            && let Some(Limit { value, open: false }) = r.low
        {
            return value.to_string();
        }
        let end = |l: Option<Limit>, sign: &str| {
            l.map_or(String::new(), |l| format!("{}{}", if l.open { sign } else { "" }, l.value))
        };
        format!("{}..{}", end(r.low, ">"), end(r.high, "<"))
    };
    let extent = |e: &Extent| {
        let mut out = String::from(if e.about { "~" } else { "" });
        out += &range(&e.usual);
        if e.extreme != e.usual {
            out += &format!(" {{{}}}", range(&e.extreme));
        }
        if e.frequency != Frequency::Stated {
            out += &format!(" {:?}", e.frequency);
        }
        out
    };
    amount.extents.iter().map(extent).collect::<Vec<_>>().join(" | ")
}

pub fn show_reading(reading: &Reading, text: &str) -> String {
    let measure = |amount: &Amount, unit: Option<Unit>| match unit {
        Some(unit) => format!("{} {}", show(amount), unit.sign()),
        None => show(amount),
    };
    let mut out = measure(&reading.amount, reading.unit);
    if let Some((amount, unit)) = &reading.second {
        out += &format!(" × {}", measure(amount, *unit));
    }
    if reading.to_many {
        out += " many";
    }
    for fault in &reading.faults {
        out += &format!(" !{:?}@{:?}", fault.kind, &text[fault.span.clone()]);
    }
    out + " / " + &text[reading.len..]
}

fn read(text: &str, language: &Language) -> String {
    match notation::read(text, language) {
        Some(reading) => show_reading(&reading, text),
        None => "none".to_string(),
    }
}

/// Rows of text and `amount / rest`, all checked before the test fails.
pub fn check(rows: &[(&str, &str)], read: impl Fn(&str) -> String) {
    let wrong: Vec<String> = rows
        .iter()
        .filter_map(|(text, expected)| {
            let got = read(text);
            (got.trim_end() != expected.trim_end())
                .then(|| format!("{text:?}\n  expected {expected}\n  got      {got}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn examples_of_the_guidelines() {
    check(
        &[
            ("1.2-2 mm", "1.2..2 mm / "),                    // FoC, anthers
            ("5-10 um in diam.", "5..10 µm /  in diam."),    // FoC, pollen
            ("ca. 10 m tall", "~10 m /  tall"),              // FoC, trees
            ("to 2 mm", "..2 mm / "),                        // FoC, ovary
            ("10", "10 / "),                                 // FoC, filaments
            ("ca. 3 mm", "~3 mm / "),                        // FoC, filaments
            ("ca. 5 mm in diam.", "~5 mm /  in diam."),      // FoC, stem
            ("3–5 cm", "3..5 cm / "),                        // FoC, leaf blade
            ("3--5 cm", "3..5 cm / "),                       // FoC, as typed
            ("3–5-lobed", "3..5 / -lobed"),                  // FoC, style
            ("3–5(–7) cm", "3..5 {3..7} cm / "),             // FoC, petiole
            ("5 or 10", "5 | 10 / "),                        // FoC, stamens
            ("4 or 5", "4 | 5 / "),                          // FoC, petals
            ("5(or 10)", "5 | 10 Rarely / "),                // FoC, stamens
            ("(3 or)4-lobed", "3 Rarely | 4 / -lobed"),      // FoC, style
            ("5.0 mm x 2.5 mm", "5.0 mm × 2.5 mm / "),       // MFC, stem leaves
            ("2-5(-10) mm long", "2..5 {2..10} mm /  long"), // MFC
            ("(2-)3-5(-7) mm", "3..5 {2..7} mm / "),         // FoC, sources 4.3
            ("3-5 x 1-2 cm", "3..5 cm × 1..2 cm / "),        // from memory, sources 4.3
            ("(2)3-5(7)", "3..5 {2..7} / "),                 // Stace, from memory
            ("5-10", "5..10 / "),                            // sources 8.7
            ("±8", "~8 / "),                                 // FoC section 24
            ("2 × 3", "2 × 3 / "),                           // FoC section 24
            ("0.1 dm", "0.1 dm / "),                         // Jepson, dm is used
        ],
        |t| read(t, en()),
    );
}

#[test]
fn words_met_in_printed_keys() {
    check(
        &[
            ("5 cm. long or less", "5 cm /  long or less"),
            ("not over 3 cm", "..3 cm / "),
            ("not exceeding 3 cm", "..3 cm / "),
            ("seldom over 5 cm", "..5 | >5.. Rarely cm / "),
            ("rarely exceeding 5 cm", "..5 | >5.. Rarely cm / "),
            ("less than 7 cm. long", "..<7 cm /  long"),
            ("more than 12", ">12.. / "),
            ("longer than 4 mm", ">4.. mm / "),
            ("wider than 4 mm", ">4.. mm / "),
            ("shorter than 4 mm", "..<4 mm / "),
            ("at least 3", "3.. / "),
            ("up to 5 cm", "..5 cm / "),
            ("about 10", "~10 / "),
            ("5 or more", "5.. / "),
            ("5 and over", "5.. / "),
            ("1/8 inch or less", "..0.125 in / "),
            ("2 to 3", "2..3 / "),
            ("1-1/2 - 2 inches", "1.5..2 in / "),
            ("1½ to 2½", "1.5..2.5 / "),
            ("2′—5′", "2..5 ft !Prime@\"2\" !Prime@\"5\" / "),
            ("10°—12°", "10..12 ° / "),
            ("3- to 5-seriate", "3..5 / -seriate"),
            ("4-many", "4.. many / "),
            ("8-10 times", "8..10 /  times"),
            ("1-1/2 times as long as", "1.5 /  times as long as"),
            ("1/2-1-1/4 inches long", "0.5..1.25 in /  long"),
            ("(6-12 dm. high", "none"),
            ("less than one-third the width", "..<0.333333333333333333333333 /  the width"),
            ("shorter than 5 cm. --19.", "..<5 cm / . --19."),
            ("5 mm --19.", "5 mm /  --19."),
            ("not more than 8 times as long", "..8 /  times as long"),
            ("6-12 dm. high; flowers", "6..12 dm /  high; flowers"),
            ("6-8 inches long, not", "6..8 in /  long, not"),
            ("4 (1-2 dm. high)", "4 /  (1-2 dm. high)"),
        ],
        |t| read(t, en()),
    );
    // Schmeil & Fitschen 1922
    check(
        &[
            ("mindestens 1 cm lang", "1.. cm /  lang"),
            ("9-13samig", "9..13 / samig"),
            ("5-10 cm. Sandfelder", "5..10 cm / . Sandfelder"),
        ],
        |t| read(t, of("de")),
    );
}

#[test]
fn one_length_of_several_figures() {
    check(
        &[
            ("3-5, rarely 9 cm long", "3..5 | 9 Rarely cm /  long"), // Format, rule 9
            ("3-5(-7), rarely 9 cm long", "3..5 {3..7} | 9 Rarely cm /  long"),
            ("3-5 cm, rarely 9", "3..5 | 9 Rarely cm / "),
            ("3-6 × 1-2 cm", "3..6 cm × 1..2 cm / "),
            ("3-6 cm × 10-20 mm", "3..6 cm × 10..20 mm / "),
            ("3-6 cm × 2", "3..6 cm × 2 cm / "),
            ("5 mm to 2 cm", "5..20 mm / "),
            ("5 mm-2 cm", "5..20 mm / "),
            ("1 in or 3 cm", "2.54 | 3 cm / "),
            ("1 ft to 2 m", "0.3048..2 m / "),
            ("1 ft or 3 in", "12 | 3 in / "),
            ("5(-7) cm", "5 {5..7} cm / "),
            ("3-5 mm (rarely -7 mm)", "3..5 {3..7} mm / "),
            ("5 or more cm", "5.. cm / "),
            ("5 cm or more", "5.. cm / "),
            ("8 mm or less", "..8 mm / "),
            ("50-60%", "50..60 % / "),
            ("50 per cent", "50 % / "),
            ("3-5µm", "3..5 µm / "),
            ("3-5 μm", "3..5 µm / "),
            ("7 mu", "7 µm / "),
            ("3\u{a0}cm", "3 cm / "),
            (".5 mm", "0.5 mm / "),
            ("0.5-1.2(-2) mm", "0.5..1.2 {0.5..2} mm / "),
            ("5 cms", "5 /  cms"),
            ("5 cm²", "5 /  cm²"),
        ],
        |t| read(t, en()),
    );
}

#[test]
fn limits_extremes_and_alternatives() {
    check(
        &[
            ("3-5 or more lobes", "3.. /  lobes"),
            ("4 or 5 stamens", "4 | 5 /  stamens"),
            ("3, 4 or 5 stamens", "3 | 4 | 5 /  stamens"),
            ("3, 4, or 5", "3 | 4 | 5 / "),
            ("3, 4 stamens", "3 / , 4 stamens"),
            ("usually 5, rarely 4 or 6", "5 Usually | 4 Rarely | 6 Rarely / "), // Format, rule 16
            ("usually 5, or 6", "5 Usually | 6 / "),
            ("5 or rarely 9", "5 | 9 Rarely / "),
            ("5 (or 10)", "5 | 10 Rarely / "),
            ("5(or 10 or 12)", "5 | 10 Rarely | 12 Rarely / "),
            ("5 (rarely 6)", "5 | 6 Rarely / "),
            ("5 (rarely 6 in shade)", "5 /  (rarely 6 in shade)"),
            ("5 (rarely 3-many seeded)", "5 /  (rarely 3-many seeded)"),
            ("5 (see plate 3)", "5 /  (see plate 3)"),
            ("5 (6)", "5 /  (6)"),
            ("4(5)", "4 {4..5} / "),
            ("3-5(6-7)", "3..5 | 6..7 Rarely / "),
            ("3-5 (-7)", "3..5 {3..7} / "),
            ("3-5(to 7)", "3..5 {3..7} / "),
            ("3–5(sometimes to 7)", "3..5 | 5..7 Sometimes / "),
            ("5(or more)", "5 {5..} / "),
            ("to 2(-3) m tall", "..2 {..3} m /  tall"),
            ("(2-)more than 3", ">3.. {2..} / "),
            ("up to 3-5 m", "..5 m / "),
            ("up to about 5 m", "~..5 m / "),
            ("3 to about 5 m", "~3..5 m / "),
            ("more than 3 and less than 5 mm", ">3..<5 mm / "),
            ("more than 3 but not over 5 mm", ">3..5 mm / "),
            ("from 3 to 5", "3..5 / "),
            ("from 3", "3.. / "),
            ("between 3 and 5 mm", "3..5 mm / "),
            ("3-5 cm, rarely to 9 cm", "3..5 | 5..9 Rarely cm / "),
            ("rarely to 5 m", "..5 m / "),
            ("usually up to 5 m", "..5 Usually m / "),
            ("3 or more than 7", "3 | >7.. / "),
            ("less than 5", "..<5 / "),
            ("< 5", "..<5 / "),
            ("≤5", "..5 / "),
            ("three to five", "3..5 / "),
            ("two- or three-lobed", "2 | 3 / -lobed"),
            ("Two or three", "2 | 3 / "),
            ("one-flowered", "1 / -flowered"),
            ("3- or 5-lobed", "3 | 5 / -lobed"),
            ("1 1/2", "1.5 / "),
            ("1/2-3/4", "0.5..0.75 / "),
            ("0-1/2", "0..0.5 / "),
            ("1-3/2", "1..1.5 / "),
            ("⅓", "0.333333333333333333333333 / "),
            ("3−5", "3..5 / "),
            ("3 — 5", "3..5 / "),
        ],
        |t| read(t, en()),
    );
}

#[test]
fn what_is_no_amount() {
    for text in [
        "",
        " ",
        "-",
        "(",
        "many",
        "numerous",
        "usually many",
        "red",
        "to red",
        "up to",
        "about",
        "rarely",
        "5/6/7",
        "3a",
        "3.5.2",
        "1,2,3",
        "3-5-7",
        "5th",
        "5′6″",
        "(many)",
        "or 5",
        "(see 5) 6",
        "3-5[-7]",
        "longer than petals",
        "50‰",
        "(2-)up to 5",
        "x 5",
        "° 5",
    ] {
        assert_eq!(read(text, en()), "none", "{text:?}");
    }
}

/// The word `in` is a preposition more often than a unit.
#[test]
fn in_is_inches_only_after_a_measure() {
    check(
        &[
            ("3 in a whorl", "3 /  in a whorl"),
            ("3 in whorls", "3 /  in whorls"),
            ("3 in", "3 in / "),
            ("3 in. long", "3 in /  long"),
            ("3-4 in long", "3..4 in /  long"),
            ("3 in to 5 in wide", "3..5 in /  wide"),
            ("3 in in diameter", "3 in /  in diameter"),
            ("3 in or less", "..3 in / "),
            ("3 in; petals", "3 in / ; petals"),
        ],
        |t| read(t, en()),
    );
    let text = "3-5 cm";
    let reading = notation::read_count(text, en()).unwrap();
    assert_eq!(show_reading(&reading, text), "3..5 /  cm");
}

#[test]
fn stops_after_units_part_statements_only_before_a_capital() {
    check(
        &[
            ("5 cm. Petals red", "5 cm / . Petals red"),
            ("5 cm.", "5 cm / ."),
            ("5 cm. 3 petals", "5 cm / . 3 petals"),
            ("5 cm. long", "5 cm /  long"),
            ("5 cm.-10 cm. long", "5..10 cm /  long"),
            ("5 cm., rarely 7 cm. long", "5 | 7 Rarely cm /  long"),
        ],
        |t| read(t, en()),
    );
}

#[test]
fn faults_are_pointed_at() {
    check(
        &[
            ("5-3 mm", "5..3 mm !LowAboveHigh@\"5-3\" / "),
            ("(4-)3-5", "3..5 {4..5} !ExtremeInside@\"4-)3-5\" / "),
            ("3-5(-4)", "3..5 {3..4} !ExtremeInside@\"3-5(-4\" / "),
            ("3,5 cm", "3.5 cm !Comma@\"3,5\" / "),
            ("3-5,5 cm", "3..5.5 cm !Comma@\"5,5\" / "),
            ("3 mm to 5 %", "3..5 mm !UnitMismatch@\"3 mm to 5\" / "),
            ("1/0", "0 !ZeroDenominator@\"1/0\" / "),
        ],
        |t| read(t, en()),
    );
    let nines = |n: usize| "9".repeat(n);
    assert!(!notation::read(&nines(27), en()).unwrap().is_spoilt());
    for text in
        [nines(28), nines(10_000), format!("0.{}", nines(28)), format!("{} m or 1 mm", nines(27))]
    {
        let reading = notation::read(&text, en()).unwrap();
        assert_eq!(reading.faults[0].kind, FaultKind::TooLong, "{text}");
        assert!(reading.is_spoilt());
    }
    assert!(!notation::read("2′", en()).unwrap().is_spoilt());
}

#[test]
fn german_and_french() {
    check(
        &[
            ("bis 5 cm", "..5 cm / "),
            ("3 bis 5 cm", "3..5 cm / "),
            ("nicht über 3 cm", "..3 cm / "),
            ("meist 5, selten 4 oder 6", "5 Usually | 4 Rarely | 6 Rarely / "),
            ("3-5, selten bis 9 cm", "3..5 | 5..9 Rarely cm / "),
            ("selten über 5 cm", "..5 | >5.. Rarely cm / "),
            ("von 3 bis 5 Zoll", "3..5 in / "),
            ("zwischen 3 und 5 mm", "3..5 mm / "),
            ("zwei bis fünf", "2..5 / "),
            ("ca. 3,5 cm", "~3.5 cm !Comma@\"3,5\" / "),
            ("5(oder 10)", "5 | 10 Rarely / "),
            ("3 in Quirlen", "3 /  in Quirlen"),
        ],
        |t| read(t, of("de")),
    );
    check(
        &[
            ("jusqu'à 5 cm", "..5 cm / "),
            ("jusqu’à 5 cm", "..5 cm / "),
            ("3 à 5 cm", "3..5 cm / "),
            ("de 3 à 5 cm", "3..5 cm / "),
            ("de 5 cm", "none"),
            ("1–2 ou plus de 3", "1..2 | >3.. / "),
            ("5 ou plus de ces", "5.. /  de ces"),
            ("moins de 5 mm", "..<5 mm / "),
            ("5 mm ou plus", "5.. mm / "),
            ("généralement 5, rarement 4 ou 6", "5 Usually | 4 Rarely | 6 Rarely / "),
            ("entre 3 et 5 pouces", "3..5 in / "),
        ],
        |t| read(t, of("fr")),
    );
}

#[test]
fn a_tail_after_the_fixed_words() {
    let reading = notation::read("5 cm. long or less", en()).unwrap();
    let (tail, len) = notation::read_tail(" or less; petals", en()).unwrap();
    assert_eq!((tail, len), (Tail::OrLess, " or less".len()));
    assert_eq!(show(&tail.applied(reading.amount)), "..5");
    assert_eq!(notation::read_tail("or red", en()), None);
}

/// A language can write every frequency, or what was read in one could not be written in it.
#[test]
fn every_language_has_every_frequency() {
    for language in language::ALL {
        for row in hilum::text::frequency::TABLE {
            let found = language.frequency.iter().any(|(_, f)| *f == row.frequency);
            assert!(
                found || row.frequency == Frequency::Stated,
                "{} lacks {:?}",
                language.code,
                row.frequency
            );
        }
    }
}

#[test]
fn written_as_floras_write() {
    for (text, unit, written) in [
        ("(2-)3-5(-7) mm", Unit::Millimetre, "(2–)3–5(–7) mm"),
        ("(2)3-5(7)", Unit::Count, "(2–)3–5(–7)"),
        ("5 (rarely 10)", Unit::Count, "5(or 10)"),
        ("(3 or)4", Unit::Count, "(3 or)4"),
        ("not over 5 cm", Unit::Centimetre, "up to 5 cm"),
        ("over 12", Unit::Count, "more than 12"),
        ("about 8", Unit::Count, "ca. 8"),
        ("usually 5, seldom 4 or 6", Unit::Count, "usually 5, rarely 4 or 6"),
        ("1/3", Unit::Count, "1/3"),
        ("1 2/3 - 2", Unit::Count, "1 2/3–2"),
        ("rarely exceeding 5 m", Unit::Metre, "up to 5, rarely more than 5 m"),
        ("3-5(or more)", Unit::Count, "3–5(or more)"),
        ("45°", Unit::Degree, "45°"),
        ("3.0 mm", Unit::Millimetre, "3.0 mm"),
    ] {
        let reading = notation::read(text, en()).unwrap();
        assert_eq!(notation::write(&reading.amount, unit, en()), written);
    }
    let german = notation::read("selten über 5 cm", of("de")).unwrap();
    assert_eq!(
        notation::write(&german.amount, Unit::Centimetre, of("de")),
        "bis 5, selten mehr als 5 cm"
    );
}

/// What is far away does not matter: of thousands of figures, parentheses or alternatives no more
/// is read than an amount can have, and a reading that tried every way would never end.
#[test]
fn long_inputs_end() {
    for piece in
        ["1 or ", "(", "(1 or ", "1-", "1 1 ", "3, ", "1(", "½", "rarely ", "up to ", "– ", "1 × "]
    {
        let text = piece.repeat(20_000);
        for language in language::ALL {
            let short = &piece.repeat(500);
            assert_eq!(notation::read(&text, language), notation::read(short, language));
            let ratio = |text| notation::read_ratio(text, "length", language);
            assert_eq!(ratio(&text), ratio(short));
        }
    }
}

#[test]
fn tenths_add_up() {
    let value =
        |text| notation::read(text, en()).unwrap().amount.extents[0].usual.low.unwrap().value;
    assert_eq!(value("0.1") + value("0.2"), value("0.3"));
    let mm = |text| {
        let r = notation::read(text, en()).unwrap();
        r.amount.scaled(r.unit.unwrap().factor(Unit::Millimetre).unwrap()).unwrap()
    };
    assert_eq!(mm("3 cm"), mm("30 mm"));
    assert_eq!(mm("1 in"), mm("25.4 mm"));
    assert_eq!(mm("1½ in"), mm("38.1 mm"));
    assert_eq!(mm("1 ft"), mm("304.8 mm"));
}
