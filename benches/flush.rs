//! What one whole flush costs, flow solve included, at default accuracy: of the compact hatchback, and of a saloon with
//! a hydraulic modulator.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::{check, flush};

const TEXT: &str = include_str!("../scenarios/compact-hatchback.toml");

const SALOON: &str = include_str!("../scenarios/saloon-esc-plain-flush.toml");
const WITH_ROUTINE: &str = include_str!("../scenarios/saloon-esc-with-routine.toml");

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

/// With a flush's record, which holds what the modulator would bring out on the road, and for sums alone.
fn with_modulator(c: &mut Criterion) {
    let mut group = c.benchmark_group("saloon with ESC");
    for (name, text) in [("plain flush", SALOON), ("with the routine", WITH_ROUTINE)] {
        let car = farwheel::read(text, name).expect("the shipped scenario is sound");
        let bare = Options { origins: false, estimate_error: false, ..Options::default() };
        for (what, options) in [("one record", bare), ("for sums", Options::for_sums(0))] {
            group.bench_function(format!("{name}, {what}"), |b| {
                b.iter(|| flush(black_box(&car), &options).expect("it runs"));
            });
        }
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
    targets = whole_job, with_modulator, around_it
}
criterion_main!(benches);
