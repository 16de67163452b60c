//! What whole studies cost, each run in a process of its own so that its peak memory is its own too.

use super::measure::{Took, best_s, once, peak_mb};
use super::{hatchback, read};
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::study::orders::{Question, study};
use farwheel::study::progress::Nobody;
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::process::Command;
use std::time::Duration;

/// Turns taken where ratios are asked for.
const TURNS: usize = 5;

fn hh() -> Scenario {
    read(include_str!("../../scenarios/splits/hh.toml"))
}

fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new().num_threads(threads).build().expect("threads to be had")
}

/// Compares all orders on so many draws and so many threads.
fn orders(car: &Scenario, draws: usize, pool: &ThreadPool) -> Took {
    let question = Question { draws, ..Question::default() };
    once(|| pool.install(|| study(car, &question, &Options::default(), &Nobody).expect("it runs")))
        .0
}

/// Runs one study in this process and prints what it took.
pub fn child(which: &str) {
    let pool = pool(2);
    let took = match which {
        "hatchback" => orders(&hatchback(), 1000, &pool),
        "hh" => orders(&hh(), 0, &pool),
        other => panic!("no study {other}"),
    };
    println!("{} {} {}", took.wall_s, took.processor_s, peak_mb().unwrap_or(f64::NAN));
}

/// Best wall clock and its processor time of `runs` processes, with the largest of their peaks (MB).
fn in_processes(which: &str, runs: usize) -> (Took, f64) {
    let mut best = Took { wall_s: f64::INFINITY, processor_s: f64::INFINITY };
    let mut peak = f64::NAN;
    for _ in 0..runs {
        let program = std::env::current_exe().expect("this program has a place");
        let output = Command::new(program)
            .args(["--child", which])
            .output()
            .expect("it can be started again");
        let text = String::from_utf8(output.stdout).expect("figures");
        let figures: Vec<f64> = text.split_whitespace().filter_map(|x| x.parse().ok()).collect();
        let [wall_s, processor_s, mb] = figures[..] else { panic!("not three figures: {text}") };
        if wall_s < best.wall_s {
            best = Took { wall_s, processor_s };
        }
        peak = peak.max(mb);
    }
    (best, peak)
}

/// The middle one of ratios, each taken within one turn.
fn median(mut ratios: Vec<f64>) -> f64 {
    ratios.sort_by(f64::total_cmp);
    ratios[ratios.len() / 2]
}

/// Measures and prints the table of studies.
pub fn print() {
    println!("| what | target | here |");
    println!("| --- | --- | --- |");
    for (which, name, target, runs) in [
        (
            "hatchback",
            "`orders --draws 1000` of the compact hatchback (24,000 flushes, twice where thresholds are scaled)",
            "10 s",
            3,
        ),
        ("hh", "`orders`, all 40,320 of eight bleeders (`splits/hh.toml`)", "30 s, 300 MB", 2),
    ] {
        let (best, peak) = in_processes(which, runs);
        println!(
            "| {name}, two threads | {target} | {:.1} s ({:.1} s of processor time), {peak:.0} MB |",
            best.wall_s, best.processor_s
        );
    }
    threads_and_draws();
    parts();
}

fn threads_and_draws() {
    let car = hatchback();
    let (one, two) = (pool(1), pool(2));
    let (mut faster, mut dearer) = (Vec::new(), Vec::new());
    for _ in 0..TURNS {
        let none = orders(&car, 0, &one);
        let some = orders(&car, 60, &one);
        let twice = orders(&car, 120, &one);
        let both = orders(&car, 120, &two);
        faster.push(twice.wall_s / both.wall_s);
        dearer.push((twice.processor_s - none.processor_s) / (some.processor_s - none.processor_s));
    }
    println!(
        "| two threads over one (120 draws), median of {TURNS} | 1.8 times | {:.2} times |",
        median(faster)
    );
    println!(
        "| twice the draws (60, 120), what is done once taken off, median of {TURNS} | 2 times | {:.2} times |",
        median(dearer)
    );
}

/// One flush of cars with four, six and eight bleeders, and of one whose lines are cut into pieces.
fn parts() {
    let splits = [
        include_str!("../../scenarios/splits/x.toml"),
        include_str!("../../scenarios/splits/hi.toml"),
        include_str!("../../scenarios/splits/hh.toml"),
    ];
    let cars = splits.map(read);
    let cut = [1, 2, 4].map(|pieces| read(&lines_cut(splits[0], pieces)));
    for (name, cars) in [
        ("one flush of four, six, eight bleeders", cars),
        ("one flush, every line in 1, 2, 4 pieces", cut),
    ] {
        let mut best = [f64::INFINITY; 3];
        for _ in 0..2 * TURNS {
            for (best, car) in best.iter_mut().zip(&cars) {
                let run = || flush(car, &Options::for_draws(0)).expect("it runs");
                *best = best.min(best_s(Duration::from_millis(100), run));
            }
        }
        let shares: Vec<String> = cars
            .iter()
            .zip(best)
            .map(|(car, s)| {
                let n = car.parts.len();
                format!("{n} parts {:.2} ms, {:.0} µs a part", 1e3 * s, 1e6 * s / n as f64)
            })
            .collect();
        println!("| {name} | linear in parts | {} |", shares.join("; "));
    }
}

/// The scenario with each of its lines in so many pieces of the same length in all.
fn lines_cut(text: &str, pieces: usize) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let parts = line.strip_prefix("\"line ").and_then(|rest| {
            let (name, rest) = rest.split_once("\" = { like = \"tube\", from = \"")?;
            let (from, rest) = rest.split_once("\", length = \"")?;
            let metres: f64 = rest.split_once(" m")?.0.parse().ok()?;
            Some((name, from, metres))
        });
        let Some((name, from, metres)) = parts else {
            out.push_str(line);
            out.push('\n');
            continue;
        };
        let mut before = from.to_owned();
        for piece in 1..=pieces {
            // The last has the name that the hose is joined to.
            let this = match piece == pieces {
                true => format!("line {name}"),
                false => format!("line {name} {piece}"),
            };
            let length = metres / pieces as f64;
            out.push_str(&format!(
                "\"{this}\" = {{ like = \"tube\", from = \"{before}\", length = \"{length} m\" }}\n"
            ));
            before = this;
        }
    }
    out
}
