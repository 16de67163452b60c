//! What studies of many jobs cost: in draws, in parts, on one thread and on two, and one flush as they run it.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::study::progress::Nobody;
use farwheel::study::{orders, spread};
use rayon::{ThreadPool, ThreadPoolBuilder};

/// Cars that differ in what has to be flushed: four, six and eight bleeders.
const CARS: [(&str, &str); 3] = [
    ("4 bleeders", include_str!("../scenarios/splits/x.toml")),
    ("6 bleeders", include_str!("../scenarios/splits/hi.toml")),
    ("8 bleeders", include_str!("../scenarios/splits/hh.toml")),
];

fn car(text: &str) -> Scenario {
    farwheel::read(text, "a shipped scenario").expect("the shipped scenario is sound")
}

fn hatchback() -> Scenario {
    car(include_str!("../scenarios/compact-hatchback.toml"))
}

fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new().num_threads(threads).build().expect("threads to be had")
}

fn compare(car: &Scenario, draws: usize) -> orders::Orders {
    let question = orders::Question { draws, ..orders::Question::default() };
    orders::study(black_box(car), &question, &Options::default(), &Nobody).expect("it runs")
}

/// All 24 orders: linear in the draws, but for the part that is done once.
fn orders_in_draws(c: &mut Criterion) {
    let car = hatchback();
    let one = pool(1);
    let mut group = c.benchmark_group("orders of the hatchback, one thread");
    for draws in [0, 10, 20, 40] {
        group.throughput(Throughput::Elements(24 * draws.max(1) as u64));
        group.bench_with_input(BenchmarkId::new("draws", draws), &draws, |b, &draws| {
            one.install(|| b.iter(|| compare(&car, draws)));
        });
    }
    group.finish();
}

fn orders_on_threads(c: &mut Criterion) {
    let car = hatchback();
    let mut group = c.benchmark_group("orders of the hatchback, 40 draws");
    for threads in [1, 2] {
        let pool = pool(threads);
        group.bench_function(BenchmarkId::new("threads", threads), |b| {
            pool.install(|| b.iter(|| compare(&car, 40)));
        });
    }
    group.finish();
}

/// One flush: linear in the parts.
fn flush_in_parts(c: &mut Criterion) {
    let one = pool(1);
    let mut group = c.benchmark_group("one flush of a car with");
    for (name, text) in CARS {
        let car = car(text);
        group.throughput(Throughput::Elements(car.parts.len() as u64));
        group.bench_function(name, |b| {
            one.install(|| b.iter(|| flush(black_box(&car), &Options::for_draws(0))));
        });
    }
    group.finish();
}

/// One flush of the hatchback as studies run it.
fn flush_for_studies(c: &mut Criterion) {
    let car = hatchback();
    let mut group = c.benchmark_group("one flush of the hatchback");
    for (name, options) in
        [("for sums", Options::for_sums(0)), ("for draws", Options::for_draws(0))]
    {
        group.bench_function(name, |b| {
            b.iter(|| flush(black_box(&car), &options).expect("it runs"));
        });
    }
    group.finish();
}

fn spread_of_few_draws(c: &mut Criterion) {
    let car = hatchback();
    let one = pool(1);
    let question = spread::Question { draws: spread::LEAST_DRAWS, ..spread::Question::default() };
    c.bench_function("spread of the hatchback, 20 draws and their indices, one thread", |b| {
        one.install(|| {
            b.iter(|| {
                spread::study(black_box(&car), &question, &Options::default(), &Nobody)
                    .expect("it runs")
            })
        });
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = flush_for_studies, flush_in_parts, orders_in_draws, orders_on_threads, spread_of_few_draws
}
criterion_main!(benches);
