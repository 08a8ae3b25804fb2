//! Labels and slips: what stands on them, and that nothing ever stands beside them.

use hilum::notebook::date::When;
use hilum::notebook::number::{Citation, Number};
use hilum::notebook::record::{Body, Determination, Gathering, Part, Placed, Record};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::{Specimen, fold};
use hilum::notebook::value::Value;
use hilum::publish::label::layouts::{ALL, Kind, find};
use hilum::publish::label::{Label, Months, Options, Paper, labels, page};
use proptest::prelude::*;

fn specimens(records: Vec<Record>) -> Vec<Specimen> {
    let placed = records.into_iter().map(|record| Placed { record, file: "s".into(), line: 1 });
    fold(placed.collect(), &mut Vec::new())
}

fn season() -> Vec<Specimen> {
    specimens(crate::notebook::read_all(include_str!("notebook/season.yaml")).0)
}

fn options() -> Options {
    let mut settings = Settings::new("Oren valley reference collection".into());
    settings.institution = Some("OREN".into());
    settings.country = Some("Orenia".into());
    Options::of(&settings)
}

fn poppy() -> Specimen {
    season().into_iter().find(|s| s.citation.number.to_string() == "1042").unwrap()
}

#[test]
fn a_herbarium_label_says_what_the_trade_wants() {
    let out = labels(&poppy(), find("100x70").unwrap(), &options());
    assert_eq!(out.len(), 1);
    insta::assert_snapshot!("label-100x70", out[0].text.join("\n"));
    let mut roman = options();
    roman.months = Months::Roman;
    let text = labels(&poppy(), find("5x3in").unwrap(), &roman)[0].text.join("\n");
    assert!(text.contains("2.V.2026") && text.contains("det. M. Holt, 3.XI.2026"), "{text}");
}

#[test]
fn of_several_sheets_each_says_which_it_is_for() {
    let layout = find("100x70").unwrap();
    let all = |sheets: u32| {
        let mut specimen = poppy();
        let sheet = specimen.parts.iter_mut().find(|k| k.body.what == "sheet").unwrap();
        sheet.body.count = Some(sheets);
        labels(&specimen, layout, &options())
    };
    let out = all(2);
    assert_eq!(out.len(), 2);
    for (label, said) in out.iter().zip(["Sheet 1 of 2", "Sheet 2 of 2"]) {
        assert!(label.text.iter().any(|line| line == said), "{:?}", label.text);
    }
    assert!(!all(1)[0].text.iter().any(|line| line.starts_with("Sheet ")), "one says nothing");
}

#[test]
fn latin_is_italic_and_doubt_is_not() {
    let iris = season().into_iter().find(|s| s.citation.number.to_string() == "1046").unwrap();
    let svg = &labels(&iris, find("100x70").unwrap(), &options())[0].svg;
    let italic = |w: &str| svg.contains(&format!("<tspan font-style=\"italic\">{w}</tspan>"));
    assert!(italic("Iris") && italic("haynei") && !italic("cf.") && !italic("Baker"), "{svg}");
}

#[test]
fn slips_and_part_labels_carry_the_same_number() {
    let slips = labels(&poppy(), find("slip").unwrap(), &options());
    assert_eq!(slips.len(), 2, "the determination and its confirmation");
    assert!(slips[0].text.iter().any(|l| l == "det. M. Holt, 3 November 2026"));
    assert!(slips[1].text.iter().any(|l| l == "conf. T. Oren, 9 January 2027"));
    let parts = labels(&poppy(), find("part").unwrap(), &options());
    assert_eq!(parts.len(), 2, "one for each packet");
    assert_eq!(parts[1].text[0], "seed packet 2 of 2");
    for label in slips.iter().chain(&parts) {
        assert_eq!(label.text.last().map(String::as_str), Some("A. K. Ashdown 1042"));
    }
}

#[test]
fn a_code_is_drawn_where_it_was_asked_for() {
    let mut with = options();
    with.code = true;
    assert!(labels(&poppy(), find("100x70").unwrap(), &with)[0].svg.contains("class=\"code\""));
    assert!(!labels(&poppy(), find("100x70").unwrap(), &options())[0].svg.contains("code"));
}

/// The attributes of every line of a label: x, y, size, width in points.
fn lines(label: &Label) -> Vec<[f64; 4]> {
    let number = |line: &str, name: &str| {
        let at = line.find(&format!(" {name}=\"")).map(|i| i + name.len() + 3);
        at.and_then(|i| line[i..].split('"').next()).and_then(|n| n.parse::<f64>().ok())
    };
    label
        .svg
        .lines()
        .filter(|l| l.starts_with("<text"))
        .map(|l| {
            [
                number(l, "x").unwrap(),
                number(l, "y").unwrap(),
                number(l, "font-size").unwrap(),
                number(l, "textLength").unwrap_or(0.0),
            ]
        })
        .collect()
}

fn stays_inside(label: &Label) -> Result<(), TestCaseError> {
    let points = 72.0 / 25.4;
    let (width, height) = (label.size.0 * points, label.size.1 * points);
    let mut below = 0.0;
    for [x, y, size, wide] in lines(label) {
        prop_assert!(x >= 1.0 && x + wide <= width - 1.0, "x {x} + {wide} of {width}");
        prop_assert!(y - size * 0.9 >= 1.0 && y + size * 0.25 <= height - 1.0, "y {y} of {height}");
        prop_assert!(y > below, "lines do not stand on each other");
        below = y;
    }
    Ok(())
}

fn long_specimen(texts: &[String], person: &str, number: u64) -> Specimen {
    let t = |i: usize| texts.get(i % texts.len().max(1)).cloned();
    let mut g = Gathering::new(When::read("2026-05-02").unwrap());
    (g.place, g.habitat, g.remarks) = (t(0), t(1), t(2));
    g.with = texts.to_vec();
    if let Some(v) = t(3) {
        g.fresh.insert("petals".into(), Value::text(v));
    }
    let cite = || Citation::new(person, Number::plain(number));
    let mut det = Determination::of(t(4).unwrap_or_default());
    det.remarks = t(5);
    let mut part = Part::new("seed packet".into());
    part.remarks = t(6);
    let records = vec![
        Record::of(cite(), None, Body::Gathering(g)),
        Record::of(cite(), None, Body::Determination(det)),
        Record::of(cite(), None, Body::Part(part)),
    ];
    specimens(records).remove(0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// Whatever is written, it stays on the label; and every word of it is there.
    #[test]
    fn nothing_runs_off_a_label_and_nothing_is_left_out(
        texts in prop::collection::vec("[a-zA-Zäéø ,.;()°0-9<&-]{0,300}", 1..8),
        person in "[A-Z][a-z. ]{0,80}",
        number in any::<u64>(),
        code in any::<bool>(),
    ) {
        let specimen = long_specimen(&texts, &person, number);
        let options = Options { code, ..options() };
        for layout in ALL {
            let out = labels(&specimen, layout, &options);
            prop_assert!(!out.is_empty());
            for label in &out {
                stays_inside(label)?;
                prop_assert!(label.letters >= layout.letters.1);
                let last = label.text.last().cloned().unwrap_or_default();
                let digits = number.to_string();
                prop_assert!(last.contains(&digits) || digits.contains(&last), "{last}");
            }
            if layout.piece == Kind::Sheet {
                // What stands above the foot, label after label, is the whole text.
                let mut all = String::new();
                for (i, label) in out.iter().enumerate() {
                    let count = format!("{} of {}", i + 1, out.len());
                    let above = label.text.iter().take_while(|l| out.len() == 1 || **l != count);
                    all.extend(above.flat_map(|l| l.chars()).filter(|c| !c.is_whitespace()));
                }
                let place = specimen.gathering().and_then(|g| g.place.clone()).unwrap_or_default();
                let wanted: String = place.chars().filter(|c| !c.is_whitespace()).collect();
                prop_assert!(all.contains(&wanted), "{wanted} in {all}");
            }
        }
    }
}

#[test]
fn a_long_text_shrinks_and_a_longer_one_runs_on() {
    let texts = |n: usize| vec!["on a stony slope among low shrubs ".repeat(n)];
    let size = |n| {
        labels(&long_specimen(&texts(n), "A. K. Ashdown", 7), find("100x70").unwrap(), &options())
    };
    let short = size(1);
    assert_eq!((short.len(), short[0].letters), (1, 10.0));
    let shrunk = size(3);
    assert_eq!(shrunk.len(), 1);
    assert!(shrunk[0].letters < 10.0 && shrunk[0].letters >= 6.5);
    let on = size(20);
    assert!(on.len() > 1);
    let count = format!("1 of {}", on.len());
    assert!(on[0].text.contains(&count), "{:?}", on[0].text);
    assert!(on.iter().all(|l| l.text.last().unwrap() == "A. K. Ashdown 7"));
}

#[test]
fn markup_in_a_note_stays_text() {
    let texts = vec!["<script>alert(1)</script> & \"x\"".to_string()];
    let out =
        labels(&long_specimen(&texts, "A. K. Ashdown", 7), find("5x3in").unwrap(), &options());
    let html = page("a <title>", &out, Paper::A4);
    assert!(!html.contains("<script") && html.contains("&lt;script&gt;"));
    assert!(html.contains("<title>a &lt;title&gt;</title>"));
    assert!(
        !html.contains("http://")
            || html.matches("http://").count()
                == html.matches("http://www.w3.org/2000/svg").count()
    );
}

/// For the browser outside (tests/outside): every layout, from short to far too long.
#[test]
fn what_the_browser_is_shown() {
    let Some(folder) = std::env::var_os("HILUM_OUTSIDE") else { return };
    let folder = std::path::Path::new(&folder);
    let mut with = options();
    with.code = true;
    let words = "on a stony slope among low shrubs of Sarcopoterium, below the third terrace; ";
    let long: Vec<Specimen> = [2, 6, 30]
        .iter()
        .map(|n| {
            long_specimen(
                &[words.repeat(*n), "Papaver rhoeas var. longissimum".into()],
                "Wilhelmina Maria Ashdown-Featherstonehaugh",
                104_200,
            )
        })
        .chain([long_specimen(
            &[
                "W".repeat(400),
                "שדה שעורה מתחת למעיין".into(),
                "梯田上的大麦田".into(),
                "ячменное поле".into(),
            ],
            "A. K. Ashdown",
            9,
        )])
        .collect();
    for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
        let mut all: Vec<Label> = Vec::new();
        for layout in ALL {
            for specimen in season().iter().chain(&long) {
                all.extend(labels(specimen, layout, &with));
            }
        }
        std::fs::write(folder.join(format!("labels-{name}.html")), page("Labels", &all, paper))
            .unwrap();
    }
}
