//! Reading, resolving and checking a key against the bare grammar's parse of the same file.
//!
//! Run with `cargo bench --bench reading`. The goal: the whole takes at most three times the bare
//! parse, and grows with the size of the key.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use hilum::key::Key;
use hilum::text::parse::bare_parse;
use hilum::text::source::Source;

mod grown;

fn reading(c: &mut Criterion) {
    let mut group = c.benchmark_group("reading");
    group.sample_size(10);
    for couplets in [100, 1_000, 10_000, 100_000] {
        let text = grown::key(couplets);
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_with_input(BenchmarkId::new("bare parse", couplets), &text, |b, text| {
            b.iter(|| bare_parse(black_box(text)));
        });
        let source = Source::new("grown.key", text);
        group.bench_with_input(
            BenchmarkId::new("read and resolve", couplets),
            &source,
            |b, source| {
                b.iter(|| Key::read(black_box(source.clone())).couplets.len());
            },
        );
    }
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
