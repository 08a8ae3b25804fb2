//! Faults of wording planted in sound keys: each is found at its place, and nothing else is.

mod planted;
mod sheet;

use std::collections::BTreeSet;

use hilum::check::rules;

use crate::generate::Dice;

use planted::FAULTS;
use sheet::Sheet;

const SHEETS: u64 = 12;

#[test]
fn sound_keys_are_found_sound() {
    for seed in 0..SHEETS {
        let sheet = Sheet::sound(&mut Dice::new(seed), false);
        let text = sheet.text();
        let (_, report) = sheet.report(&text);
        let found: Vec<_> = report.findings.iter().map(|f| (f.rule, &f.what)).collect();
        assert!(found.is_empty(), "seed {seed}: {found:?}\n{text}");
    }
}

#[test]
fn every_planted_fault_is_found_at_its_place_and_nothing_else() {
    let (mut found, mut falsely) = (0, 0);
    let mut wrong = Vec::new();
    for fault in &FAULTS {
        for seed in 0..SHEETS {
            let mut dice = Dice::new(seed * 1000 + 7);
            let mut sheet = Sheet::sound(&mut dice, false);
            let place = (fault.plant)(&mut sheet, &mut dice);
            let text = sheet.text();
            let (key, report) = sheet.report(&text);
            let line = sheet.line(&text, place);
            let lines: Vec<usize> = report
                .findings
                .iter()
                .filter(|f| f.rule == fault.rule)
                .map(|f| key.source.line_column(f.span.start as usize).line)
                .collect();
            if lines.contains(&line) {
                found += 1;
            } else {
                wrong.push(format!("{} seed {seed}: line {line}, found at {lines:?}", fault.rule));
            }
            let more: Vec<_> = report
                .findings
                .iter()
                .filter(|f| f.rule != fault.rule && !fault.besides.contains(&f.rule))
                .map(|f| (f.rule, &f.what))
                .collect();
            falsely += more.len() + lines.iter().filter(|l| **l != line).count();
            if !more.is_empty() {
                wrong.push(format!("{} seed {seed}: falsely {more:?}", fault.rule));
            }
        }
    }
    let planted = FAULTS.len() * SHEETS as usize;
    println!("{planted} faults of {} kinds: {found} found, {falsely} false", FAULTS.len());
    assert!(
        wrong.is_empty(),
        "{} of them:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(25)].join("\n")
    );
    assert_eq!((found, falsely), (planted, 0));
}

/// What is not planted here has its own tests, or is found while the text is read.
#[test]
fn every_rule_of_style_is_planted() {
    let planted: BTreeSet<&str> = FAULTS.iter().map(|f| f.rule).collect();
    assert_eq!(planted.len(), FAULTS.len());
    let elsewhere = ["no-second-way", "three-leads"];
    let left: Vec<&str> = rules::ALL
        .iter()
        .filter(|r| r.style && !planted.contains(r.id) && !elsewhere.contains(&r.id))
        .map(|r| r.id)
        .collect();
    assert!(left.is_empty(), "{left:?}");
}
