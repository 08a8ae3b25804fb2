//! Reading, resolving and checking a key against the bare grammars' parse of the same file.
//!
//! Run with `cargo bench --bench reading`. For each size it times, one after the other in the same
//! run: the grammar of lines alone; both grammars (every line, and every run of figures in it);
//! reading and resolving; reading, resolving and checking with every rule. It prints the least of
//! several times and the ratios to the bare parse of both grammars. The goals: the whole at most
//! three times the bare parse, and times that grow with the size of the key.
//!
//! `READING_MEMORY=parse` (or `read`) prints instead the most memory that parsing (or parsing and
//! reading) holds, in times the size of the text: of one file a run.
//!
//! With file names as arguments (`cargo bench --bench reading -- keys/field-weeds.key`) it takes
//! these instead of the keys that it makes.

use std::hint::black_box;
use std::time::{Duration, Instant};

use hilum::check::{Options, examine};
use hilum::key::Key;
use hilum::text::notation;
use hilum::text::parse;
use hilum::text::source::Source;

mod grown;

/// The least of the times of several runs: what the machine's other work disturbs least.
fn least<T>(runs: usize, mut work: impl FnMut() -> T) -> Duration {
    let time = || {
        let start = Instant::now();
        black_box(work());
        start.elapsed()
    };
    std::iter::repeat_with(time).take(runs).min().unwrap_or_default()
}

fn measure(name: &str, text: &str) {
    // About ten megabytes in all, three times at least.
    let runs = (10_000_000 / text.len().max(1)).clamp(3, 200);
    let source = Source::new(name, text);
    let lines = least(runs, || parse::bare_parse(text));
    let both = least(runs, || parse::bare_parse(text) + notation::bare_parse(text));
    let read = least(runs, || Key::read(source.clone()));
    let whole = least(runs.div_ceil(4), || {
        let key = Key::read(source.clone());
        examine(&key, &Options::default()).findings.len()
    });
    let ms = |d: Duration| d.as_secs_f64() * 1e3;
    let ratio = |d: Duration| d.as_secs_f64() / both.as_secs_f64();
    println!(
        "{name:<24} {:>8.0} kB  lines {:>8.2} ms  both grammars {:>8.2} ms  read {:>8.2} ms ({:.2}; to lines alone {:.2})  read and check {:>9.2} ms ({:.2})",
        text.len() as f64 / 1e3,
        ms(lines),
        ms(both),
        ms(read),
        ratio(read),
        read.as_secs_f64() / lines.as_secs_f64(),
        ms(whole),
        ratio(whole),
    );
}

/// The most memory that `work` holds at a time beside what is there already, in bytes, as Linux
/// tells it; `None` elsewhere.
fn held<T>(work: impl FnOnce() -> T) -> Option<usize> {
    let of = |what: &str| -> Option<usize> {
        let status = std::fs::read_to_string("/proc/self/status").ok()?;
        let line = status.lines().find_map(|l| l.strip_prefix(what))?;
        Some(line.trim_start_matches(':').trim().strip_suffix(" kB")?.parse::<usize>().ok()? << 10)
    };
    // Five forgets the greatest size so far.
    std::fs::write("/proc/self/clear_refs", "5").ok()?;
    let before = of("VmRSS")?;
    let made = black_box(work());
    let most = of("VmHWM")?;
    drop(made);
    Some(most.saturating_sub(before))
}

/// What `stage` holds in memory, in times the size of the text.
fn memory(stage: &str, name: &str, text: &str) {
    let source = Source::new(name, text);
    let bytes = match stage {
        "parse" => held(|| parse::parse(source.clone())),
        _ => held(|| Key::read(source.clone())),
    };
    match bytes {
        Some(b) => {
            println!("{name}: to {stage} takes {:.1} times its size", b as f64 / text.len() as f64)
        }
        None => println!("{name}: this system does not tell what memory is held"),
    }
}

fn main() {
    let stage = std::env::var("READING_MEMORY").ok();
    let measure = |name: &str, text: &str| match &stage {
        Some(stage) => memory(stage, name, text),
        None => measure(name, text),
    };
    let files: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    println!("{} threads", rayon::current_num_threads());
    for file in &files {
        match std::fs::read_to_string(file) {
            Ok(text) => measure(file, &text),
            Err(e) => eprintln!("{file}: {e}"),
        }
    }
    if files.is_empty() {
        let sizes = [100, 1_000, 10_000, 100_000];
        // What was freed before would not be counted again.
        for couplets in &sizes[if stage.is_some() { 3 } else { 0 }..] {
            measure(&format!("{couplets} couplets"), &grown::key(*couplets));
        }
    }
}
