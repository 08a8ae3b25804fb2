//! Every rule against the rules of the bare graph, on keys of 200 characters with two couplets a
//! taxon, up to 10,000 couplets.
//!
//! Run with `cargo bench --bench proving`. For each size it prints both times, their ratio, and
//! what the whole takes for each couplet and for each arrival of a taxon at a couplet: these two
//! stay level where the work grows with the size of the key and with the taxa that arrive.

use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};

use hilum::check::{Examination, Options, examine, rules};
use hilum::key::Key;
use hilum::text::source::Source;

const CHARACTERS: usize = 200;
const STATES: [&str; 4] = ["red", "blue", "white", "green"];

/// The rules that look at couplets and pointers and not at what they say.
const OF_THE_GRAPH: [&str; 11] = [
    "back-reference-disagrees",
    "circular-route",
    "couplet-not-reached",
    "couplet-with-one-lead",
    "key-not-reached",
    "label-twice",
    "pointer-without-couplet",
    "shared-couplet",
    "taxon-not-keyed",
    "taxon-twice",
    "taxon-without-account",
];

fn word(n: usize) -> String {
    let mut word = String::new();
    let mut rest = n;
    for _ in 0..4 {
        word.push(['b', 'c', 'd', 'f', 'g', 'l', 'm', 'n', 'p', 'r'][rest % 10]);
        word.push(['a', 'e', 'i', 'o', 'u'][rest / 10 % 5]);
        rest /= 50;
    }
    word
}

fn organ(n: usize) -> String {
    let word = word(n * 37 + 11);
    word[..1].to_uppercase() + &word[1..]
}

/// A balanced key in which every taxon is keyed out at two places far apart, each account with a
/// statement on every couplet of one of its two ways and ten more.
fn text(couplets: usize) -> String {
    let taxa = couplets.div_ceil(2);
    let mut out = String::from("Key to a grown flora\n  place    nowhere\n\ncharacters\n");
    for c in 0..CHARACTERS {
        let _ = write!(out, "\n{} _\n  states    {}\n", organ(c), STATES.join(", "));
    }
    let character = |couplet: usize| (couplet * 7 + couplet / 64) % CHARACTERS;
    out.push_str("\nkey\n\n");
    let mut ways: Vec<Vec<(usize, usize)>> = vec![Vec::new(); taxa];
    for i in 1..=couplets {
        for (letter, side) in [('a', 0), ('b', 1)] {
            let child = 2 * i + side;
            let states = [STATES[0], "blue or white"][side];
            let _ = write!(
                out,
                "{i}{letter}  {} {states}; of a look of its own ..... ",
                organ(character(i))
            );
            if child <= couplets {
                let _ = writeln!(out, "{child}");
                continue;
            }
            let taxon = (child - couplets - 1) % taxa;
            let _ = writeln!(out, "Herba {}", word(taxon));
            let mut at = child;
            let way = &mut ways[taxon];
            while way.len() < 40 && at > 1 {
                let said = character(at / 2);
                if !way.iter().any(|(c, _)| *c == said) {
                    way.push((said, at % 2));
                }
                at /= 2;
            }
        }
        out.push('\n');
    }
    out.push_str("taxa\n");
    for (t, way) in ways.iter().enumerate() {
        let _ = write!(out, "\nHerba {} L.\n  ", word(t));
        for (c, side) in way {
            let _ = write!(out, "{} {}; ", organ(*c), STATES[*side]);
        }
        for k in 0..10 {
            let c = (t * 13 + k * 29) % CHARACTERS;
            if !way.iter().any(|(w, _)| *w == c) {
                let _ = write!(out, "{} {}, rarely green; ", organ(c), STATES[(t + k) % 3]);
            }
        }
        out.push_str("grows here.\n");
    }
    out
}

/// The least time of some rounds.
fn least(rounds: usize, mut work: impl FnMut()) -> Duration {
    let mut best = Duration::MAX;
    for _ in 0..rounds {
        let start = Instant::now();
        work();
        best = best.min(start.elapsed());
    }
    best
}

fn measure(couplets: usize, rounds: usize) {
    let key = Key::read(Source::new("grown.key", text(couplets)));
    let asked: Vec<String> =
        rules::ALL.iter().filter(|r| !r.asked_by.is_empty()).map(|r| r.id.to_string()).collect();
    let options = Options { profiles: &asked, ..Options::default() };
    let of_graph: Vec<_> = OF_THE_GRAPH
        .iter()
        .map(|id| rules::find(id).unwrap_or_else(|| panic!("no rule {id}")))
        .collect();
    let bare = least(rounds, || {
        let exam = Examination::new(&key, &[], None);
        let mut found = Vec::new();
        of_graph.iter().filter_map(|r| r.examine).for_each(|examine| examine(&exam, &mut found));
        black_box(found);
    });
    let mut findings = 0;
    let whole = least(rounds, || findings = black_box(examine(&key, &options)).findings.len());
    let exam = Examination::new(&key, &[], None);
    let courses = exam.courses();
    let arrivals: usize =
        courses.of.iter().map(|r| courses.way(exam.ground(), r).arrived.len()).sum();
    let ms = |d: Duration| d.as_secs_f64() * 1e3;
    println!(
        "{couplets:>6} couplets, {:>5} taxa, {CHARACTERS} characters, {findings} findings: everything {:.0} ms, the graph {:.1} ms, ratio {:.1}; {:.1} us a couplet, {:.2} us for each of {arrivals} arrivals",
        key.taxa.len(),
        ms(whole),
        ms(bare),
        whole.as_secs_f64() / bare.as_secs_f64(),
        ms(whole) * 1e3 / couplets as f64,
        ms(whole) * 1e3 / arrivals as f64,
    );
}

fn main() {
    // A test run of the benches measures nothing.
    if std::env::args().any(|a| a == "--test") {
        return measure(100, 1);
    }
    [2_500, 5_000, 10_000].into_iter().for_each(|couplets| measure(couplets, 3));
}
