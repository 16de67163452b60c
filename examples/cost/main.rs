//! What Farwheel costs, as a table: `cargo run --release --example cost`. Takes a few minutes.
//!
//! Two threads are compared with one in turns, best of several runs each, since machines are shared and noisy.
//! Nothing here is asserted.

mod compared;
#[path = "../../tests/whole_job/mapping.rs"]
#[allow(dead_code)]
mod mapping;
mod measure;
#[path = "../../tests/reference/mod.rs"]
mod reference;
mod volumes;

use farwheel::job::options::Options;
use farwheel::job::{flush, intake};
use farwheel::scenario::model::Scenario;
use farwheel::study::orders::{self, Wishes};
use farwheel::study::progress::Nobody;
use measure::{best_s, once, peak_mb};
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::time::Duration;

fn car(text: &str) -> Scenario {
    intake::read_text(text, "shipped").expect("a shipped scenario reads")
}

fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new().num_threads(threads).build().expect("threads to be had")
}

fn compare(car: &Scenario, draws: usize) -> usize {
    let wishes = Wishes { draws, ..Wishes::default() };
    orders::study(car, &wishes, &Nobody).expect("it runs").orders.len()
}

fn row(what: &str, figure: &str, target: &str) {
    println!("| {what} | {figure} | {target} |");
}

fn main() {
    let hatchback = car(include_str!("../../scenarios/compact-hatchback.toml"));
    let (one, two) = (pool(1), pool(2));
    println!("| what | measured | wanted |\n| --- | --- | --- |");

    // First, while the process has held nothing else.
    let eight = car(include_str!("../../scenarios/splits/hh.toml"));
    let (took, count) = two.install(|| once(|| compare(&eight, 0)));
    let memory = peak_mb().map_or("unknown".to_owned(), |mb| format!("{mb:.0} MB"));
    let what = format!("all {count} orders of eight bleeders, two threads");
    row(&what, &format!("{:.1} s, {memory} at most", took.wall_s), "30 s, 300 MB");

    let (took, _) = two.install(|| once(|| compare(&hatchback, 1000)));
    row(
        "24 orders of the compact hatchback on 1000 draws, two threads",
        &format!("{:.1} s ({:.1} s of processor)", took.wall_s, took.processor_s),
        "10 s",
    );

    let (mut single, mut double) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..5 {
        single = single.min(one.install(|| once(|| compare(&hatchback, 60))).0.wall_s);
        double = double.min(two.install(|| once(|| compare(&hatchback, 60))).0.wall_s);
    }
    row("two threads against one, 60 draws", &format!("{:.2} times", single / double), "1.8 times");

    let mut of_draws = [f64::INFINITY; 4];
    for _ in 0..3 {
        for (best, draws) in of_draws.iter_mut().zip([0, 50, 100, 200]) {
            *best = best.min(one.install(|| once(|| compare(&hatchback, draws))).0.wall_s);
        }
    }
    let [none, a, b, c] = of_draws;
    row(
        "50, 100 and 200 draws, one thread, per draw",
        &format!(
            "{:.1}, {:.1}, {:.1} ms",
            1e3 * (a - none) / 50.0,
            1e3 * (b - none) / 100.0,
            1e3 * (c - none) / 200.0
        ),
        "linear",
    );

    let cars = [
        include_str!("../../scenarios/splits/x.toml"),
        include_str!("../../scenarios/splits/hi.toml"),
        include_str!("../../scenarios/splits/hh.toml"),
    ];
    let parts: Vec<String> = cars
        .iter()
        .map(|text| {
            let car = car(text);
            let options = Options::for_sums(0);
            let s = best_s(Duration::from_millis(500), || flush(&car, &options).expect("it runs"));
            format!("{} parts {:.2} ms", car.parts.len(), 1e3 * s)
        })
        .collect();
    row("one flush for sums", &parts.join(", "), "linear in parts");

    let (rows, exact_ml, within_ml) = compared::rows();
    println!(
        "\nThe far wheel of the compact hatchback alone, by eye: {exact_ml:.2} mL to clean by the independent \
         reference of the tests (within {within_ml:.2} mL).\n"
    );
    println!("| by | error | time of one run | fineness |\n| --- | --- | --- | --- |");
    for r in rows {
        println!("| {} | {:+.2} mL | {:.2} ms | {} |", r.name, r.error_ml, 1e3 * r.seconds, r.how);
    }
}
