//! Long work broken off: what was found so far is kept, and what was left undone is said.

use std::fmt::Write;
use std::time::{Duration, Instant};

use hilum::check::{Options, Watch, examine};
use hilum::key::Key;
use hilum::text::source::Source;

/// A key as one long chain with an account of every taxon: each account is held against every
/// couplet on its way, which takes a while. Its second couplet points nowhere.
fn long(couplets: usize) -> String {
    let mut out = String::from("Key to a long chain\n\ncharacters\n");
    let states = ["red", "blue", "white"];
    for c in 0..40 {
        let _ = write!(out, "\norgan {c}: Organ{c} _\n  states    {}\n", states.join(", "));
    }
    out.push_str("\nkey\n\n");
    for i in 1..=couplets {
        let next = if i == 2 { "999999".to_string() } else { name(i) };
        let _ = writeln!(out, "{i}a  Organ{} red ..... {next}", i % 40);
        let on = if i < couplets { (i + 1).to_string() } else { name(0) };
        let _ = writeln!(out, "{i}b  Organ{} blue or white ..... {on}\n", i % 40);
    }
    out.push_str("taxa\n");
    for i in 1..=couplets {
        let _ = write!(out, "\n{} L.\n  ", name(i));
        for c in (i % 40..).take(8).map(|c| c % 40) {
            let state = if c == i % 40 { "red" } else { "blue, rarely white" };
            let _ = write!(out, "{}{c} {state}; ", if c == i % 40 { "Organ" } else { "organ" });
        }
        out.push_str("grows here.\n");
    }
    out
}

fn name(n: usize) -> String {
    let letter = |n: usize| (b'a' + (n % 26) as u8) as char;
    format!("Herba {}{}{}ensis", letter(n), letter(n / 26), letter(n / 676))
}

#[test]
fn what_was_found_before_the_end_is_kept() {
    let key = Key::read(Source::new("long.key", long(1_500)));
    let watch = Watch::new();
    let report = std::thread::scope(|scope| {
        let work =
            scope.spawn(|| examine(&key, &Options { watch: Some(&watch), ..Options::default() }));
        // As soon as the long part has begun.
        while watch.progress().1 == 0 && !work.is_finished() {
            std::thread::sleep(Duration::from_millis(1));
        }
        let (stage, done, of) = watch.progress();
        assert_eq!(stage, "running every taxon through the key");
        assert!(done > 0 && of > 1_000, "{done} of {of}");
        let asked = Instant::now();
        watch.stop();
        let report = work.join().expect("a report");
        (report, asked.elapsed())
    });
    let (report, after) = report;
    assert!(after < Duration::from_secs(20), "it ended {after:?} after it was asked to");
    assert!(report.not_applied.contains(&"wrong-name"), "{:?}", report.not_applied);
    assert!(report.findings.iter().any(|f| f.rule == "pointer-without-couplet"));
}
