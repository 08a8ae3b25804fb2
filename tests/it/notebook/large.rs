//! A lifetime's ledger: how long opening, finding and the gap report take.
//!
//! `HILUM_LARGE` sets the number of gatherings (each with three determinations); the figures are
//! printed, and of them only a ratio within the run is held to: an index that is no use would
//! break it. `cargo bench --bench ledger` gives the ratios to reading the bytes once.

use std::time::{Duration, Instant};

use hilum::notebook::date::When;
use hilum::notebook::record::{Body, Determination, Gathering, Record};

use super::ledger::{WHO, at, begin, cite, note, open};

fn size() -> u64 {
    std::env::var("HILUM_LARGE").ok().and_then(|n| n.parse().ok()).unwrap_or(2000)
}

fn season(from: u64, to: u64) -> Vec<Record> {
    let mut out = Vec::new();
    for n in from..to {
        let day = format!("{}-{:02}-{:02}", 1980 + n % 45, 1 + n % 12, 1 + n % 28);
        let mut g = Gathering::new(When::read(&day).unwrap());
        g.place = Some(format!("upper Oren valley, {} m north of the spring", n % 977));
        g.habitat = Some("fallow barley terrace on limestone".into());
        g.habit = Some("annual herb".into());
        out.push(Record::of(cite(n), Some(at(0)), Body::Gathering(g)));
        for (k, year) in [1990, 2005, 2020].into_iter().enumerate() {
            let mut det =
                Determination::of(format!("Genus{} species{} L.", n % 211, (n + k as u64) % 389));
            det.by = vec!["M. Holt".into()];
            det.date = Some(When::read(&format!("{year}-05")).unwrap());
            det.family = Some("Papaveraceae".into());
            out.push(Record::of(cite(n), Some(at(k as u32)), Body::Determination(det)));
        }
    }
    out
}

fn timed<T>(what: &str, f: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let out = f();
    let took = start.elapsed();
    eprintln!("  {what:<44} {:>9.1} ms", took.as_secs_f64() * 1e3);
    (out, took)
}

#[test]
fn a_lifetimes_ledger_opens_in_a_moment() {
    let n = size();
    let folder = tempfile::tempdir().unwrap();
    let mut ledger = begin(folder.path());
    eprintln!("{n} gatherings, {} determinations", 3 * n);
    let step = 10_000;
    for from in (1..=n).step_by(step) {
        // one number in a thousand is missing
        let to = (from + step as u64).min(n + 1);
        let records = season(from, to);
        let records: Vec<Record> = records
            .into_iter()
            .filter(|r| r.specimen().and_then(|s| s.number.running).is_none_or(|n| n % 1000 != 500))
            .collect();
        // a file for every ten thousand, as a life's years give
        ledger.append(&records, &format!("{WHO} {}", from / step as u64), &at(0)).unwrap();
    }
    timed("storing the index", || drop(ledger));
    let bytes: u64 = std::fs::read_dir(folder.path().join("records"))
        .unwrap()
        .map(|f| f.unwrap().metadata().unwrap().len())
        .sum();
    let index = std::fs::metadata(folder.path().join("here/index")).unwrap().len();
    eprintln!("  ledger {} bytes, index {index} bytes", bytes);

    std::fs::remove_file(folder.path().join("here/index")).unwrap();
    let (ledger, reading) = timed("opening without an index", || open(folder.path()));
    timed("storing the index", || drop(ledger));
    let (ledger, opening) = timed("opening", || open(folder.path()));
    let (catalogue, grouping) = timed("grouping by specimen", || ledger.catalogue());
    let last = cite(n - 1).key();
    let (found, finding) = timed("finding a number with its history", || {
        catalogue.specimen(&last, &mut Vec::new()).unwrap().unwrap()
    });
    assert_eq!(found.determinations.len(), 3);
    let (series, gaps) = timed("the report of gaps and repeats", || catalogue.numbering().unwrap());
    assert_eq!(series[0].missing(), (n + 500) / 1000);
    let (lines, listing) = timed("a line for every specimen", || catalogue.summaries().unwrap());
    assert_eq!(lines.len() as u64, n - series[0].missing());
    drop(catalogue);
    let mut ledger = ledger;
    timed("appending a note", || ledger.append(&[note(1, "x", 77)], WHO, &at(0)).unwrap());
    timed("storing what changed", || drop(ledger));
    let (ledger, again) = timed("opening again", || open(folder.path()));
    timed("everything that is wrong", || ledger.faults().unwrap());
    let all = [opening, grouping, finding, gaps, listing, again];
    assert!(all.iter().all(|step| *step < reading), "{all:?} {reading:?}");
    assert!(2 * opening < reading, "{opening:?} {reading:?}");
}
