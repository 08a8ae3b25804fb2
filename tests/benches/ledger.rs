//! A lifetime's ledger against reading its bytes once in the same run.
//!
//! Run with `cargo bench --bench ledger`; the number of gatherings, each with three determinations,
//! may be given (`-- 100000`). First with a file for every ten thousand gatherings, as the years
//! give, then with everything in one file. Of what can be done again the least time of several is
//! printed, with its ratio to reading all bytes of the ledger from the disk's cache.

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use hilum::notebook::date::When;
use hilum::notebook::disk::ThisDisk;
use hilum::notebook::ledger::Ledger;
use hilum::notebook::number::{Citation, Number};
use hilum::notebook::record::{Body, Determination, Gathering, Note, Record, Written};
use hilum::notebook::settings::Settings;

const WHO: &str = "A. K. Ashdown";

fn at(millis: u64) -> Written {
    let moment = format!("2026-05-02T06:00:{:02}.{:03}Z", millis / 1000 % 60, millis % 1000);
    Written::read(&moment).unwrap_or_else(|e| panic!("{e}"))
}

fn day(text: &str) -> When {
    When::read(text).unwrap_or_else(|e| panic!("{e}"))
}

fn season(from: u64, to: u64) -> Vec<Record> {
    let mut out = Vec::new();
    for n in from..to {
        let of = |body| Record::of(Citation::new(WHO, Number::plain(n)), Some(at(n)), body);
        let date = format!("{}-{:02}-{:02}", 1980 + n % 45, 1 + n % 12, 1 + n % 28);
        let mut g = Gathering::new(day(&date));
        g.place = Some(format!("upper Oren valley, {} m north of the spring", n % 977));
        g.habitat = Some("fallow barley terrace on limestone".into());
        g.habit = Some("annual herb".into());
        out.push(of(Body::Gathering(g)));
        for (k, year) in [1990, 2005, 2020].into_iter().enumerate() {
            let name = format!("Genus{} species{} L.", n % 211, (n + k as u64) % 389);
            let mut det = Determination::of(name);
            det.by = vec!["M. Holt".into()];
            det.date = Some(day(&format!("{year}-05")));
            det.family = Some("Papaveraceae".into());
            out.push(of(Body::Determination(det)));
        }
    }
    out
}

fn once<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let out = black_box(work());
    (out, start.elapsed())
}

/// The least of the times of several runs: what the machine's other work disturbs least.
fn least<T>(runs: usize, mut work: impl FnMut() -> T) -> Duration {
    (0..runs).map(|_| once(&mut work).1).min().unwrap_or_default()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let list = std::fs::read_dir(folder.join("records")).unwrap_or_else(|e| panic!("{e}"));
    list.filter_map(|f| f.ok().map(|f| f.path())).collect()
}

fn open(folder: &Path) -> Ledger {
    Ledger::open(folder, Arc::new(ThisDisk)).unwrap_or_else(|e| panic!("{e}"))
}

fn measure(gatherings: u64, in_one_file: bool) {
    let folder = tempfile::tempdir().unwrap_or_else(|e| panic!("{e}"));
    let path = folder.path();
    let mut ledger = Ledger::begin(path, Arc::new(ThisDisk), &Settings::new("Oren".into()))
        .unwrap_or_else(|e| panic!("{e}"));
    let append = |ledger: &mut Ledger, records: &[Record], hand: &str| {
        ledger.append(records, hand, &at(0)).unwrap_or_else(|e| panic!("{e}"))
    };
    for from in (1..=gatherings).step_by(10_000) {
        let hand = if in_one_file { WHO.into() } else { format!("{WHO} {from}") };
        append(&mut ledger, &season(from, (from + 10_000).min(gatherings + 1)), &hand);
    }
    drop(ledger);
    let all = files(path);
    let reading = least(5, || {
        let len = |f: &PathBuf| std::fs::read(f).map_or(0, |bytes| bytes.len());
        all.iter().map(len).sum::<usize>()
    });
    let size = |f: &PathBuf| std::fs::metadata(f).map_or(0, |m| m.len());
    let index = path.join("here/index");
    println!(
        "{gatherings} gatherings, {} determinations, {} files of {:.1} MB in all, index {:.1} MB; \
         reading all bytes once {:.1} ms",
        3 * gatherings,
        all.len(),
        all.iter().map(size).sum::<u64>() as f64 / 1e6,
        size(&index) as f64 / 1e6,
        reading.as_secs_f64() * 1e3,
    );
    let say = |what: &str, time: Duration| {
        let ratio = time.as_secs_f64() / reading.as_secs_f64();
        println!("  {what:<58} {:>9.2} ms  {ratio:>8.3}", time.as_secs_f64() * 1e3);
    };
    let rebuild = least(3, || {
        let _ = std::fs::remove_file(&index);
        std::mem::forget(open(path));
    });
    say("opening without an index", rebuild);
    let ledger = open(path);
    say("storing the index", once(|| drop(ledger)).1);
    say("opening with the index", least(5, || drop(open(path))));
    let mut ledger = open(path);
    say("grouping by specimen", least(5, || ledger.catalogue().len()));
    let catalogue = ledger.catalogue();
    let number = Citation::new(WHO, Number::plain(gatherings / 2)).key();
    say(
        "finding a number with its history",
        least(5, || catalogue.specimen(&number, &mut Vec::new()).map(|s| s.is_some())),
    );
    say("the report of gaps and repeats", least(5, || catalogue.numbering().map(|s| s.len())));
    say("a line for every specimen", least(3, || catalogue.summaries().map(|s| s.len())));
    say("everything that is wrong", least(3, || ledger.faults().map(|f| f.len())));
    drop(catalogue);
    let note = |n: u64| {
        let body = Body::Note(Note::new(format!("seen again {n}")));
        Record::of(Citation::new(WHO, Number::plain(1)), Some(at(n)), body)
    };
    let mut n = 0;
    let appending = least(5, || {
        n += 1;
        append(&mut ledger, &[note(n)], WHO)
    });
    say("appending a note (synced)", appending);
    say("storing what changed", once(|| drop(ledger)).1);
    say("opening after that", least(3, || drop(open(path))));

    // another program appends, or a person edits the middle of the largest file
    let largest = all.iter().max_by_key(|f| size(f)).unwrap_or(&all[0]);
    let text = std::fs::read_to_string(largest).unwrap_or_default();
    let write = |text: &str| std::fs::write(largest, text).unwrap_or_else(|e| panic!("{e}"));
    write(&format!("{text}{}", note(100).document()));
    say("opening after another program appended a note", once(|| std::mem::forget(open(path))).1);
    let (ledger, _) = once(|| open(path));
    say("  and storing the index", once(|| drop(ledger)).1);
    let middle = text[text.len() / 2..].find("barley").unwrap_or(0) + text.len() / 2;
    write(&format!("{}millet{}", &text[..middle], &text[middle + 6..]));
    say("opening after an edit by hand in the middle", once(|| std::mem::forget(open(path))).1);
    write(&format!("{}very dry {}", &text[..middle], &text[middle..]));
    say("  and one that moves all that follows", once(|| std::mem::forget(open(path))).1);
}

fn main() {
    let size = std::env::args().skip(1).find_map(|a| a.parse().ok()).unwrap_or(100_000);
    println!("{} threads", rayon::current_num_threads());
    measure(size, false);
    measure(size, true);
}
