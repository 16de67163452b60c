//! What one whole flush of the compact hatchback costs, flow solve included, at default accuracy.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::{check, flush};

const TEXT: &str = include_str!("../scenarios/compact-hatchback.toml");

fn hatchback() -> Scenario {
    farwheel::read(TEXT, "compact-hatchback.toml").expect("the shipped scenario is sound")
}

fn whole_job(c: &mut Criterion) {
    let car = hatchback();
    let plain = Options { estimate_error: false, ..Options::default() };
    let bare = Options { origins: false, ..plain.clone() };
    let mut group = c.benchmark_group("flush");
    for (name, options) in [
        ("one flush", plain),
        ("one flush, origins not told apart", bare),
        ("with the error estimate (three runs)", Options::default()),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| flush(black_box(&car), &options).expect("it runs"));
        });
    }
    group.finish();
}

fn around_it(c: &mut Criterion) {
    let car = hatchback();
    let mut group = c.benchmark_group("around it");
    group.bench_function("read the scenario", |b| {
        b.iter(|| farwheel::read(black_box(TEXT), "compact-hatchback.toml").expect("it is sound"))
    });
    group.bench_function("check", |b| {
        b.iter(|| check(black_box(&car), &Options::default()).expect("it is sound"));
    });
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(30);
    targets = whole_job, around_it
}
criterion_main!(benches);
