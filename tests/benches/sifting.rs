//! Narrowing and asking next, over tables of 200 to 400,000 taxa by 500 characters.
//!
//! Run with `cargo bench --bench sifting`. Beside criterion's figures it prints each as a ratio to
//! reading the touched bytes once from memory, in the same run: the least of many rounds each, by
//! turns. `SIFT_TAXA=400000 SIFT_PLAIN=1` prints only those for one size, one JSON object a line,
//! for `tests/outside/sift.py`.

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{BenchmarkId, Criterion};
use hilum::key::statement::StateSet;
use hilum::key::{CharacterId, ConditionId, StateId};
use hilum::sift::bits::Bits;
use hilum::sift::{Observation, Reading, Seen, Specimen, Table, agree, next_questions};
use rust_decimal::Decimal;

mod large;

fn state(c: usize, s: u16) -> Observation {
    let seen = Seen::States(StateSet::of([StateId(s)]));
    Observation::new(CharacterId(c as u32), seen, ConditionId::FRESH)
}

fn measured(c: usize, value: i64) -> Observation {
    let seen = Seen::Numbers(vec![Reading::measured(Decimal::from(value), 0)]);
    Observation::new(CharacterId(c as u32), seen, ConditionId::FRESH)
}

/// Two observations that leave about a quarter of the taxa.
fn two() -> Vec<Observation> {
    vec![state(0, 0), state(5, 1)]
}

fn ask(table: &Table, left: &Bits) -> usize {
    next_questions(table, left, |_| 1.0, &two(), &Specimen::default()).len()
}

/// A plain pass: every word read once.
fn pass(words: &[u64]) -> u64 {
    let mut sums = [0u64; 8];
    let chunks = words.chunks_exact(8);
    for w in chunks {
        for i in 0..8 {
            sums[i] = sums[i].wrapping_add(w[i]);
        }
    }
    sums.into_iter().fold(0, u64::wrapping_add)
}

/// The same over all cores.
fn pass_of_all(words: &[u64]) -> u64 {
    use rayon::prelude::*;
    words.par_chunks(1 << 16).map(pass).reduce(|| 0, u64::wrapping_add)
}

/// The least time of each of two, by turns.
fn least(rounds: usize, mut a: impl FnMut(), mut b: impl FnMut()) -> (Duration, Duration) {
    let mut best = (Duration::MAX, Duration::MAX);
    for _ in 0..rounds {
        let start = Instant::now();
        a();
        best.0 = best.0.min(start.elapsed());
        let start = Instant::now();
        b();
        best.1 = best.1.min(start.elapsed());
    }
    best
}

/// The bytes of the sets of one state each, over all characters with states.
fn ratios(rows: usize, plain: bool) {
    let start = Instant::now();
    let table = large::table(rows);
    let built = start.elapsed();
    let (held, needed) = table.bytes();
    let words = Bits::none(rows).words().len();
    let with_states: Vec<usize> =
        (0..large::CHARACTERS).filter(|c| large::states(*c).is_some()).collect();
    let measures: Vec<usize> =
        (0..large::CHARACTERS).filter(|c| large::states(*c).is_none()).collect();
    let rounds = if rows > 100_000 { 40 } else { 200 };

    // One narrowing by each character in turn, so that each set comes from memory.
    let by_state: Vec<Observation> = with_states.iter().map(|c| state(*c, 0)).collect();
    let touched = vec![1u64; words * with_states.len()];
    let mut taxa = Bits::all(rows);
    let (ours, memory) = least(
        rounds,
        || by_state.iter().for_each(|o| table.keep(black_box(&mut taxa), o)),
        || _ = black_box(pass(black_box(&touched))),
    );
    let per = |d: Duration, n: usize| d.as_secs_f64() * 1e6 / n as f64;
    let narrowing = (per(ours, by_state.len()), per(memory, by_state.len()));

    let by_measure: Vec<Observation> = measures.iter().map(|c| measured(*c, 100)).collect();
    let planes: usize = measures.iter().map(|c| table.plane_words(CharacterId(*c as u32))).sum();
    let touched = vec![1u64; planes];
    let (ours, memory) = least(
        rounds,
        || by_measure.iter().for_each(|o| table.keep(black_box(&mut taxa), o)),
        || _ = black_box(pass(black_box(&touched))),
    );
    let narrowing_measure = (per(ours, by_measure.len()), per(memory, by_measure.len()));

    // Every state of every character counted over what is left, every measure cut.
    let left = agree(&table, &two(), 0).agreeing().clone();
    let sets: usize = with_states.iter().filter_map(|c| large::states(*c)).sum();
    let touched = vec![1u64; sets * words + planes + measures.len() * words];
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    let on_one = one.install(|| {
        least(
            rounds / 4,
            || _ = black_box(ask(&table, &left)),
            || _ = black_box(pass(black_box(&touched))),
        )
    });
    let on_all = least(
        rounds / 4,
        || _ = black_box(ask(&table, &left)),
        || _ = black_box(pass_of_all(black_box(&touched))),
    );
    // The states alone, which is what other engines are asked.
    let counts = || {
        let weights = hilum::sift::weights::Weights::equal(left.clone());
        with_states
            .iter()
            .map(|c| {
                let id = CharacterId(*c as u32);
                let split = hilum::sift::split::split(&table, id, &weights, ConditionId::FRESH);
                split.map_or(0, |s| s.answers.iter().map(|a| a.left).sum())
            })
            .sum::<usize>()
    };
    let counted = counts();
    let (states_on_one, _) = least(rounds / 4, || _ = black_box(counts()), || ());

    let ms = |d: Duration| d.as_secs_f64() * 1e3;
    if plain {
        println!(
            "{{\"taxa\":{rows},\"left\":{},\"counted\":{counted},\"narrowing_us\":{:.2},\"narrowing_measure_us\":{:.2},\"states_ms\":{:.3},\"ranking_ms\":{:.3},\"ranking_all_ms\":{:.3}}}",
            left.count(),
            narrowing.0,
            narrowing_measure.0,
            ms(states_on_one),
            ms(on_one.0),
            ms(on_all.0)
        );
        return;
    }
    println!(
        "\n{rows} taxa by {} characters, built in {:.1} s",
        large::CHARACTERS,
        built.as_secs_f64()
    );
    println!(
        "  memory             {:.1} MB held, {:.1} MB of bits needed: {:.3}",
        held as f64 / 1e6,
        needed as f64 / 1e6,
        held as f64 / needed as f64
    );
    let line = |what: &str, a: f64, b: f64, unit: &str| {
        println!("  {what:<18} {a:>9.2} {unit}, the touched bytes {b:>9.2} {unit}: {:.2}", a / b);
    };
    line("narrow, a state", narrowing.0, narrowing.1, "us");
    line("narrow, a measure", narrowing_measure.0, narrowing_measure.1, "us");
    line("ask next, 1 core", ms(on_one.0), ms(on_one.1), "ms");
    line("ask next, all", ms(on_all.0), ms(on_all.1), "ms");
}

fn sifting(c: &mut Criterion) {
    let mut group = c.benchmark_group("sifting");
    group.sample_size(10);
    for rows in [200, 20_000] {
        let table = large::table(rows);
        let left = agree(&table, &two(), 0).agreeing().clone();
        group.bench_with_input(BenchmarkId::new("narrow", rows), &table, |b, table| {
            let mut taxa = Bits::all(rows);
            let o = state(10, 0);
            b.iter(|| table.keep(black_box(&mut taxa), &o));
        });
        group.bench_with_input(BenchmarkId::new("ask next", rows), &table, |b, table| {
            b.iter(|| ask(table, black_box(&left)));
        });
    }
    group.finish();
}

fn main() {
    if std::env::var_os("SIFT_PLAIN").is_some() {
        let taxa = std::env::var("SIFT_TAXA").ok().and_then(|t| t.parse().ok()).unwrap_or(20_000);
        return ratios(taxa, true);
    }
    let mut criterion = Criterion::default().configure_from_args();
    sifting(&mut criterion);
    // A test run of the benches measures nothing.
    if std::env::args().any(|a| a == "--test") {
        return ratios(200, false);
    }
    [200, 20_000, 400_000].into_iter().for_each(|rows| ratios(rows, false));
    criterion.final_summary();
}
